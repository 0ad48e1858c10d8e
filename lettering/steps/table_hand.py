"""The hands of a book on the table: every take with its paper, what the book lacks, a sentence tried.

A hand is asked for by whose it is: the key of a character that has one of its own, or nothing for the book's.
"""

from collections import Counter
from itertools import chain
from typing import Any
from zlib import crc32

from lettering.book.line import Line
from lettering.drawing import Drawing, Group, Layer, Painted
from lettering.errors import HandError
from lettering.export.svg import path_data, svg
from lettering.geometry.outline import on_page
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.hand.asking import unlettered_pairs
from lettering.hand.edited import take_named
from lettering.hand.hand import Hand
from lettering.hand.missing import wanted
from lettering.hand.names import UNNAMED
from lettering.hand.take import Take
from lettering.setting.reading_age import band_for
from lettering.setting.stacks import stacks
from lettering.setting.stand_ins import clusters, missing
from lettering.setting.words import shown
from lettering.steps.hands import lines_in
from lettering.steps.on_table import OnTable
from lettering.steps.retrace import every_take

Plain = dict[str, Any]

MOST_PAIRS = 12
"""Pairs worth lettering that are told."""
DRAWN_MM_PER_UNIT = 0.01
"""Size at which single takes are drawn on the page."""
TRY_X_HEIGHT_MM = 4.0
"""Size at which a sentence is tried, mm."""


def hand_name(state: OnTable, whose: str) -> str:
    """Return the glyph set of a hand as the book file names it; raises HandError when nobody has it."""
    if not whose:
        return state.book.hand
    for one in state.book.cast:
        if one.key == whose and one.hand is not None:
            return one.hand
    raise HandError("nobody in the cast has a hand of that name.", whose)


def hand_of(state: OnTable, whose: str) -> Hand | None:
    """Return a hand of the book; none where there is none yet, or it cannot be read."""
    name = hand_name(state, whose)
    if state.hands is None or name in state.troubles:
        return None
    return state.hands.others[whose] if whose else state.hands.own


def demanded(state: OnTable, whose: str) -> Hand:
    """Return a hand of the book; raises HandError when it is not there."""
    hand = hand_of(state, whose)
    if hand is None:
        raise HandError(
            "there is no such hand yet.", hand_name(state, whose), "Gather a lettered page first."
        )
    return hand


def hand_view(state: OnTable, whose: str = "") -> Plain:
    """Return what a hand holds, character by character, and what the lines set in it need that it lacks."""
    base, name = state.path.parent, hand_name(state, whose)
    texts = [shown(line.says) for line in lines_in(base / name, state.book, base)]
    hand = hand_of(state, whose)
    seen: Plain = {"whose": whose, "hands": _hands(state), "there": hand is not None}
    if hand is None:
        chars = sorted({char for text in texts for char in text if not char.isspace()})
        return seen | {"lacks": chars, "few": [], "pairs": [], "characters": [], "aside": [], "pages": []}
    return seen | {
        "name": hand.name,
        "lacks": list(missing("".join(texts), hand)),
        "few": [{"char": w.char, "has": w.has, "wants": w.wants} for w in wanted(texts, hand) if w.has],
        "pairs": [pair for pair, _ in unlettered_pairs(texts, hand)[:MOST_PAIRS]],
        "characters": [
            {"char": char, "takes": len(takes), "first": _drawn(takes[0]), "advance": _advance(takes[0])}
            for char, takes in sorted(hand.takes.items())
        ],
        "aside": [_seen(take) for take in sorted(chain(*hand.aside.values()), key=_doubt)],
        "pages": [{"name": page, "letters": count} for page, count in _pages(hand).items()],
    }


def _doubt(take: Take) -> tuple[object, ...]:
    """Return what doubts are ordered by: those of the reading first, each kind as it stands on paper."""
    source = take.source
    where = (source.page, source.row, source.place) if source else ("", 0, 0)
    return (not take.doubtful, take.aside if take.doubtful else "", *where)


def _hands(state: OnTable) -> list[Plain]:
    """Return whose hands there are in the book, its own first."""
    own = [("", "The book"), *((one.key, one.name) for one in state.book.cast if one.hand is not None)]
    return [{"whose": whose, "name": name} for whose, name in own]


def _pages(hand: Hand) -> dict[str, int]:
    """Return how many letters came from each lettered page."""
    every = (take.source.page for take in every_take(hand) if take.source and take.source.page)
    return dict(sorted(Counter(every).items()))


def takes_view(hand: Hand, char: str) -> list[Plain]:
    """Return every take of one character: its outline, and the crop of paper that it was traced from."""
    return [_seen(take) for take in hand.takes.get(char, ())]


def letter_view(hand: Hand, name: str) -> Plain:
    """Return one drawing, the size of its crop, px, and the drawings before and after it in its row.

    `px` is how many px of the crop a mm of its drawn outline is; none when that was not kept.
    """
    take = take_named(hand, name)
    row = [one for one in every_take(hand) if one.source and take.source and _row(one) == _row(take)]
    row.sort(key=lambda one: (one.source.place, one.source.box.x0) if one.source else (0, 0.0))
    at = next((i for i, one in enumerate(row) if one is take), 0)
    beside = {"before": row[at - 1] if at else None, "after": row[at + 1] if at + 1 < len(row) else None}
    box = take.source.box if take.source else Rect(0.0, 0.0, 0.0, 0.0)
    scale = take.source.units_per_px if take.source else None
    return _seen(take) | {
        "size": [box.width, box.height],
        "px": 1 / (DRAWN_MM_PER_UNIT * scale) if scale else None,
        **{side: _seen(one) if one else None for side, one in beside.items()},
    }


def _row(take: Take) -> tuple[str, int] | None:
    return (take.source.page, take.source.row) if take.source else None


def _seen(take: Take) -> Plain:
    """Return what is shown of a take; `crop` is by which its picture is known from others, or none."""
    source = take.source
    return {
        "name": take.name,
        "char": "" if take.char == UNNAMED else take.char,
        "letters": [] if take.char == UNNAMED else list(clusters(take.char)),
        "drawn": _drawn(take),
        "advance": _advance(take),
        "crop": None if take.picture is None else _known_by(take.picture),
        "aside": take.aside,
        "doubtful": take.doubtful,
        "page": source.page if source else None,
        "row": source.row + 1 if source else None,
        "place": source.place + 1 if source else None,
    }


def crop(hand: Hand, name: str, known: str = "") -> bytes:
    """Return the crop of paper that a take was traced from, as PNG.

    Raises HandError when there is none, or another than the one that is `known` as `_seen` told it.
    """
    picture = take_named(hand, name).picture
    if picture is None or known not in ("", _known_by(picture)):
        raise HandError("no such picture of this take was kept.", name)
    return picture


def _known_by(picture: bytes) -> str:
    return str(crc32(picture))


def tried(state: OnTable, sentence: str, whose: str = "") -> str:
    """Return a sentence lettered in a hand, as SVG; raises LetteringError when it cannot be."""
    line = Line(who=(), says=" ".join(sentence.split()), voice="caption")
    best = stacks(
        line,
        demanded(state, whose),
        x_height_mm=TRY_X_HEIGHT_MM,
        language=state.book.language,
        band=band_for((9, 9)),
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
