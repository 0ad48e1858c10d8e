"""A hand on the table: every take with its paper, what a book lacks; takes renamed, dropped, preferred."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from typing import Any
from unicodedata import normalize

from lettering.book.line import Line
from lettering.drawing import Drawing, Group, Layer, Painted
from lettering.errors import HandError
from lettering.export.svg import path_data, svg
from lettering.geometry.affine import Affine
from lettering.geometry.outline import on_page
from lettering.geometry.point import Point, Vector
from lettering.hand.asking import unlettered_pairs
from lettering.hand.grid import on_grid
from lettering.hand.hand import Hand
from lettering.hand.missing import wanted
from lettering.hand.names import take_name
from lettering.hand.take import Take
from lettering.setting.reading_age import band_for
from lettering.setting.stacks import stacks
from lettering.setting.stand_ins import missing
from lettering.setting.words import shown
from lettering.steps.hands import lines_in
from lettering.steps.on_table import OnTable
from lettering.storage.ufo import write_hand

Plain = dict[str, Any]

MOST_PAIRS = 12
"""Pairs worth lettering that are told."""
DRAWN_MM_PER_UNIT = 0.01
"""Size at which single takes are drawn on the page."""
TRY_X_HEIGHT_MM = 4.0
"""Size at which a sentence is tried, mm."""


def hand_view(state: OnTable) -> Plain:
    """Return what the hand holds, character by character, and what the lines set in it need that it lacks."""
    base = state.path.parent
    texts = [shown(line.says) for line in lines_in(base / state.book.hand, state.book, base)]
    hand = state.hand
    if hand is None:
        chars = sorted({char for text in texts for char in text if not char.isspace()})
        return {"there": False, "lacks": chars, "few": [], "pairs": [], "characters": []}
    return {
        "there": True,
        "name": hand.name,
        "lacks": list(missing("".join(texts), hand)),
        "few": [{"char": w.char, "has": w.has, "wants": w.wants} for w in wanted(texts, hand) if w.has],
        "pairs": [pair for pair, _ in unlettered_pairs(texts, hand)[:MOST_PAIRS]],
        "characters": [
            {"char": char, "takes": len(takes), "first": _drawn(takes[0]), "advance": _advance(takes[0])}
            for char, takes in sorted(hand.takes.items())
        ],
    }


def takes_view(hand: Hand, char: str) -> list[Plain]:
    """Return every take of one character: its outline, and the crop of paper that it was traced from."""
    return [
        {
            "name": take.name,
            "char": take.char,
            "drawn": _drawn(take),
            "advance": _advance(take),
            "crop": take.picture is not None,
            "page": take.source.page if take.source else None,
            "row": take.source.row + 1 if take.source else None,
            "place": take.source.place + 1 if take.source else None,
        }
        for take in hand.takes.get(char, ())
    ]


def crop(hand: Hand, name: str) -> bytes:
    """Return the crop of paper that a take was traced from, as PNG; raises HandError when there is none."""
    picture = _take(hand, name).picture
    if picture is None:
        raise HandError("no picture of this take was kept.", name)
    return picture


def without_take(hand: Hand, name: str) -> Hand:
    """Return the hand without one take; raises HandError for the last of its character."""
    take = _take(hand, name)
    left = tuple(one for one in hand.takes[take.char] if one is not take)
    return _with_takes(hand, {take.char: left})


def preferred(hand: Hand, name: str) -> Hand:
    """Return the hand with a take as the usual one of its character: it changes names with the first."""
    take = _take(hand, name)
    first, *others = hand.takes[take.char]
    if take is first:
        return hand
    swapped = {take.name: first.name, first.name: take.name}
    takes = [replace(take, name=first.name)]
    takes += [replace(first, name=take.name) if one is take else one for one in others]
    words = {
        text: tuple(replace(w, takes=tuple(swapped.get(t, t) for t in w.takes)) for w in group)
        for text, group in hand.words.items()
    }
    return replace(hand, takes={**hand.takes, take.char: tuple(takes)}, words=words)


def renamed(hand: Hand, name: str, char: str) -> Hand:
    """Return the hand with a take told to draw another character; raises HandError when that is none."""
    char = normalize("NFC", char.strip())
    if not char or len(char) > 4 or any(part.isspace() for part in char):
        raise HandError("a take draws one character.", name, "Type the character that it is.")
    take = _take(hand, name)
    if char == take.char:
        return hand
    have = hand.takes.get(char, ())
    used = {one.name for one in have}
    free = next(n for number in count(1) if (n := take_name(char, number)) not in used)
    moved = replace(take, name=free, char=char)
    left = tuple(one for one in hand.takes[take.char] if one is not take)
    return _with_takes(hand, {take.char: left, char: (*have, moved)})


def _with_takes(hand: Hand, changed: dict[str, tuple[Take, ...]]) -> Hand:
    """Return the hand with other takes of some characters; words that used a take that is gone go too."""
    takes = {**hand.takes, **changed}
    takes = {char: _first_named(char, group) for char, group in takes.items() if group}
    if not takes:
        raise HandError("a hand without a take is none.", hint="Gather another page first.")
    drawn = {take.name: take.char for group in takes.values() for take in group}
    words = {
        text: kept
        for text, group in hand.words.items()
        if (kept := tuple(w for w in group if "".join(drawn.get(n, " ") for n in w.takes) == text))
    }
    kerning = {pair: by for pair, by in hand.kerning.items() if pair[0] in takes and pair[1] in takes}
    return replace(hand, takes=takes, words=words, kerning=kerning)


def _first_named(char: str, group: Sequence[Take]) -> tuple[Take, ...]:
    """Return takes of which the first has the usual name."""
    usual = take_name(char, 1)
    if any(take.name == usual for take in group):
        return tuple(sorted(group, key=lambda take: take.name != usual))
    first, *others = group
    return (replace(first, name=usual), *others)


def with_sides(hand: Hand, name: str, left: float, right: float) -> Hand:
    """Return the hand with so many font units more room on the left and right of a take; less when negative.

    Raises HandError when that would leave the take no advance. Gathering another page learns all sides anew.
    """
    take = _take(hand, name)
    advance = on_grid(take.advance + left + right)
    if advance <= 0:
        raise HandError("the sides of this take would meet.", name, "Pull them apart.")
    outline = take.outline.transformed(Affine.translation(Vector(on_grid(left), 0.0)))
    wider = replace(take, outline=outline, advance=advance)
    group = tuple(wider if one is take else one for one in hand.takes[take.char])
    return replace(hand, takes={**hand.takes, take.char: group})


def keep_hand(state: OnTable, hand: Hand) -> None:
    """Write the hand where the book file says it is; raises OutputError."""
    write_hand(hand, state.path.parent / state.book.hand)


def tried(state: OnTable, sentence: str) -> str:
    """Return a sentence lettered in the hand, as SVG; raises LetteringError when it cannot be."""
    line = Line(who=(), says=" ".join(sentence.split()), voice="caption")
    bench = state.bench
    best = stacks(
        line, bench.hand, x_height_mm=TRY_X_HEIGHT_MM, language=state.book.language, band=band_for((9, 9))
    )[0]
    ink = best.ink
    step = Point(2.0, 2.0) - Point(ink.x0, ink.y0)
    glyphs = tuple(Painted(path=glyph.path, char=glyph.char) for glyph in best.moved(step).glyphs)
    box = best.moved(step).ink.inset(-2.0)
    layer = Layer(id="tried", title="Lettering", groups=(Group(id="tried-1", title=line.says, items=glyphs),))
    return svg(
        Drawing(
            title=line.says,
            description="A sentence in the hand.",
            language=state.book.language,
            trim=box,
            bleed_mm=0.0,
            layers=(layer,),
        )
    )


def _advance(take: Take) -> float:
    return round(take.advance * DRAWN_MM_PER_UNIT, 3)


def _drawn(take: Take) -> Plain:
    """Return a take as path data and the box round its ink, at a hundredth of a mm a font unit, y down."""
    if not take.outline.contours:
        return {"d": "", "box": [0.0, 0.0, 1.0, 1.0]}
    path = on_page(take.outline, origin=Point(0.0, 0.0), mm_per_unit=DRAWN_MM_PER_UNIT)
    box = path.bounds
    return {"d": path_data(path), "box": [round(v, 2) for v in (box.x0, box.y0, box.width, box.height)]}


def _take(hand: Hand, name: str) -> Take:
    for group in hand.takes.values():
        for take in group:
            if take.name == name:
                return take
    raise HandError("the hand has no such take any more.", name)
