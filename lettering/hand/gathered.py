"""Drawn letters become a hand: takes chosen and named, spacing learnt, everything measured."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from lettering.geometry.outline import Outline
from lettering.hand.grid import DECIMALS, gridded, gridded_all, on_grid
from lettering.hand.hand import Hand, Metrics, Word
from lettering.hand.incoming import Letter, all_letters, by_char, start_of
from lettering.hand.look import Look
from lettering.hand.measure import metrics, page_scales, row_pitch
from lettering.hand.names import aside_name, take_name
from lettering.hand.numbering import numbered
from lettering.hand.odd import doubles, reasons
from lettering.hand.profile import Profile
from lettering.hand.rows import Gap, lettered
from lettering.hand.spacing import Report, Spacing, kerning, learnt, white
from lettering.hand.take import Drawn, Source, Take
from lettering.hand.word import whole_words

SETTLED = 8.0
"""Room changed by less is left as it was, font units: 0.06 mm at an x-height of 4 mm, which nobody sees."""
WORD_SPACE = 0.9
"""Ink to ink between words where none were seen and there is no n to go by, x-heights."""


@dataclass(frozen=True, slots=True)
class SetAsideTake:
    """A drawing that is unlike the others of its character and was not taken into the hand, and why."""

    char: str
    source: Source | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathering:
    """A hand and what is worth saying about how it came to be."""

    hand: Hand
    set_aside: tuple[SetAsideTake, ...]
    spacing: Report


def hand_from(
    drawn: Sequence[Drawn], *, name: str, mm_per_unit: float | None, previous: Hand | None = None
) -> Hand:
    """Return the hand that these drawn letters make, together with a `previous` hand if there is one.

    Takes of `previous` keep their names; letters of a page that it already knows replace what came from
    that page. The same letters give the same hand, gathered once or again.
    """
    return gathering(drawn, name=name, mm_per_unit=mm_per_unit, previous=previous).hand


def gathering(
    drawn: Sequence[Drawn], *, name: str, mm_per_unit: float | None, previous: Hand | None = None
) -> Gathering:
    """Return the hand as `hand_from` does, with what was set aside and how well its spacing is known."""
    every = all_letters(drawn, previous)
    look = Look.at([letter.drawn for letter in every])
    # What the reading was not sure of teaches nothing.
    letters = [letter for letter in every if not letter.doubtful]
    groups = by_char(letters)
    twice = {id(group[i]) for group in groups.values() for i in doubles([lt.drawn for lt in group], look)}
    aside = _set_aside(groups, look)
    kept = {
        char: numbered([letter for letter in group if id(letter) not in twice | aside.keys()], look, group)
        for char, group in groups.items()
    }
    kept = {char: group for char, group in kept.items() if group}
    outlines = {char: [letter.drawn.outline for letter in group.values()] for char, group in kept.items()}
    typical = {char: look.profiles[id(group[min(group)].drawn)] for char, group in kept.items()}
    measured = metrics(outlines, word_space=0.0, row_pitch=None)
    rows = lettered([letter.drawn for letter in letters if id(letter) not in aside], look.bounds)
    spacing, report = learnt(rows.inside, rows.words, typical, look.profiles, measured.x_height)
    room = _Room(spacing, measured.x_height)
    scales = page_scales([letter.drawn for letter in letters], look.bounds)
    pitch = row_pitch([letter.drawn for letter in letters], look.bounds, scales)
    former = previous.metrics.row_pitch if previous else measured.row_pitch
    takes = _takes(kept, look, room, scales)
    doubts = {id(letter): letter.drawn.doubt or "" for letter in every if letter.doubtful}
    unused = _aside(every, aside | doubts, look, room, scales)
    hand = Hand(
        name=previous.name if previous else name,
        metrics=_on_grid(
            replace(
                measured,
                word_space=_word_space(rows.between, look, room, outlines, previous),
                row_pitch=pitch or former,
            )
        ),
        takes=takes,
        kerning={
            pair: on_grid(by)
            for pair, by in kerning(spacing, rows.inside, look.profiles, typical, measured.x_height).items()
        },
        words=_words(kept, takes, look, [letter.drawn for letter in letters]),
        aside=unused,
        pages=previous.pages if previous else (),
        mm_per_unit=_mm_per_unit(mm_per_unit, letters, previous),
    )
    told = tuple(
        SetAsideTake(take.char, take.source, take.aside or "")
        for takes in unused.values()
        for take in takes
        if not take.doubtful
    )
    return Gathering(hand=hand, set_aside=told, spacing=report)


@dataclass(frozen=True, slots=True)
class _Room:
    """The white that belongs to each side of a letter: its sidebearings."""

    spacing: Spacing
    x_height: float

    def left(self, char: str, own: Profile) -> float:
        sides = self.spacing.sides
        return sides.constant / 2 + sides.left.get(char, 0.0) - white(own.left, self.x_height)

    def right(self, char: str, own: Profile) -> float:
        sides = self.spacing.sides
        return sides.constant / 2 + sides.right.get(char, 0.0) - white(own.right, self.x_height)


def _set_aside(groups: Mapping[str, Sequence[Letter]], look: Look) -> dict[int, str]:
    """Return by identity the letters that look unlike the others of their character, with the reason."""
    odd = {
        id(group[index]): reason
        for group in groups.values()
        for index, reason in reasons([letter.drawn for letter in group], look).items()
    }
    wanted = {id(letter) for group in groups.values() for letter in group if letter.called_back}
    return {key: reason for key, reason in odd.items() if key not in wanted}


def _aside(
    letters: Sequence[Letter],
    reasons_: Mapping[int, str],
    look: Look,
    room: "_Room",
    scales: Mapping[str, float],
) -> dict[str, tuple[Take, ...]]:
    """Return the drawings that are set aside by character, in the order of the pages."""
    found: dict[str, list[Take]] = defaultdict(list)
    for letter in (letter for letter in letters if id(letter) in reasons_):
        char = letter.drawn.char
        start, advance = _sides(letter.drawn, look, room)
        found[char].append(
            Take(
                name=aside_name(char, len(found[char]) + 1),
                char=char,
                outline=gridded(letter.drawn.outline, -start),
                advance=advance,
                source=letter.source and _placed(letter, start, scales),
                picture=letter.drawn.picture or None,
                aside=reasons_[id(letter)],
                doubtful=letter.doubtful,
                as_drawn=letter.drawn.as_drawn,
            )
        )
    return {char: tuple(found[char]) for char in sorted(found)}


def _takes(
    kept: Mapping[str, Mapping[int, Letter]], look: Look, room: _Room, scales: Mapping[str, float]
) -> dict[str, tuple[Take, ...]]:
    """Return the takes by character, each with its own room on both sides."""
    ordered = [(group[number], number) for _, group in sorted(kept.items()) for number in sorted(group)]
    fresh = {letter.drawn.char for letter, _ in ordered if letter.former is None}
    sides = [_settled(letter, _sides(letter.drawn, look, room), fresh) for letter, _ in ordered]
    outlines = gridded_all([letter.drawn.outline for letter, _ in ordered], [-start for start, _ in sides])
    usual = {char: _usual(group.values(), look) for char, group in kept.items()}
    takes: dict[str, list[Take]] = defaultdict(list)
    for (letter, number), (start, advance), outline in zip(ordered, sides, outlines, strict=True):
        foot, lean = usual[letter.drawn.char]
        take = Take(
            name=take_name(letter.drawn.char, number),
            char=letter.drawn.char,
            outline=outline,
            advance=advance,
            source=letter.source and _placed(letter, start, scales),
            picture=letter.drawn.picture or None,
            rise=on_grid(look.bounds[id(letter.drawn)].y0 - foot),
            turn=round(look.leans[id(letter.drawn)] - lean, 4) + 0.0,
            called_back=letter.called_back,
            as_drawn=letter.drawn.as_drawn,
        )
        takes[take.char].append(take)
    return {char: tuple(group) for char, group in takes.items()}


def _usual(group: Iterable[Letter], look: Look) -> tuple[float, float]:
    """Return the height of the foot, font units, and the lean, radians, that a character usually has."""
    keys = [id(letter.drawn) for letter in group]
    return median(look.bounds[key].y0 for key in keys), median(look.leans[key] for key in keys)


def _settled(letter: Letter, sides: tuple[float, float], fresh: Collection[str]) -> tuple[float, float]:
    """Return where a letter's advance begins and how long it is: as before where nobody sees the difference.

    So a new page changes the glyphs of the characters that it shows, and leaves the others as they are.
    """
    if letter.former is None or letter.drawn.char in fresh:
        return sides
    former = start_of(letter.former.source), letter.former.advance
    near = abs(former[0] - sides[0]) <= SETTLED and abs(former[1] - sides[1]) <= 2 * SETTLED
    return former if near else sides


def _words(
    kept: Mapping[str, Mapping[int, Letter]],
    takes: Mapping[str, Sequence[Take]],
    look: Look,
    every: Sequence[Drawn],
) -> dict[str, tuple[Word, ...]]:
    """Return the words that were lettered on known pages, all of whose letters were kept."""
    pairs = [
        (group[number].drawn, take)
        for char, group in kept.items()
        for number, take in zip(sorted(group), takes[char], strict=True)
    ]
    known = [(d, take) for d, take in pairs if take.source and take.source.start is not None]
    named = {id(d): (take.name, take.source.start or 0.0) for d, take in known if take.source}
    return whole_words([d for d in every if d.source.page], named, look.touching)


def _sides(drawn: Drawn, look: Look, room: _Room) -> tuple[float, float]:
    """Return where a letter's advance begins in its row, and how long it is, font units."""
    box, own = look.bounds[id(drawn)], look.profiles[id(drawn)]
    before, after = room.left(drawn.char, own), room.right(drawn.char, own)
    return on_grid(box.x0 - before), on_grid(before + box.width + after)


def _placed(letter: Letter, start: float, scales: Mapping[str, float]) -> Source:
    source = letter.source
    assert source is not None
    alone = letter.drawn.source is not source  # its place in the row was never known
    return replace(
        source,
        units_per_px=source.units_per_px or scales.get(source.page),
        start=None if alone and letter.name else start,
    )


def _word_space(
    between: Sequence[Gap],
    look: Look,
    room: _Room,
    outlines: Mapping[str, Sequence[Outline]],
    previous: Hand | None,
) -> float:
    """Return the advance of the space: what is left between words when both letters have their room."""
    if between:
        return median(
            gap.width
            - room.right(gap.first.char, look.profiles[id(gap.first)])
            - room.left(gap.second.char, look.profiles[id(gap.second)])
            for gap in between
        )
    if previous:
        return previous.metrics.word_space
    # With no words to measure, words stand an n apart (common practice, no source).
    usual = room.spacing.sides.constant / 2
    width = median(o.bounds.width for o in outlines["n"]) if "n" in outlines else WORD_SPACE * room.x_height
    return max(width - usual, usual)


def _on_grid(measured: Metrics) -> Metrics:
    names = ("x_height", "cap_height", "ascender", "descender", "stem", "word_space", "row_pitch")
    return replace(
        measured,
        **{name: on_grid(getattr(measured, name)) for name in names},
        baseline_drift=round(measured.baseline_drift, DECIMALS + 1),
        slant=round(measured.slant, 4),
    )


def _mm_per_unit(measured: float | None, letters: Sequence[Letter], previous: Hand | None) -> float | None:
    """Return the size on paper: that of the previous hand as long as letters of it remain."""
    known = previous.mm_per_unit if previous and any(letter.name for letter in letters) else None
    return known or measured
