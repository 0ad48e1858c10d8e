"""What changed between two rounds, line by line, and the proof that all else is as it was."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lettering.book.book import Spread, pages_label
from lettering.book.line import Line
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine, FormerSpread, match, match_spreads
from lettering.storage.rounds import Round, RoundLine, RoundSpread

MOVED_MM = 0.02
"""Lines that moved by less are where they were: positions are kept to 0.01 mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that is not as it was."""

    kind: str
    """`words`, `size`, `rows`, `moved`, `voice`, `speaker`, `outline`, `new`, `gone`, `art`, `hand`,
    `finding`, `finding gone`, `new spread`, `gone spread`; for the book as a whole the name of the fact."""
    where: str
    before: str = ""
    after: str = ""
    moved_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePair:
    """A line before and after; one of them is none when it is new or gone."""

    number: int
    """On its spread, from 1; before when it is gone."""
    before: RoundLine | None
    after: RoundLine | None

    @property
    def same(self) -> bool:
        """Whether every outline has the same bytes."""
        a, b = self.before, self.after
        return a is not None and b is not None and (a.lettering, a.bubble) == (b.lettering, b.bubble)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadPair:
    """A spread before and after, with its lines."""

    before: RoundSpread | None
    after: RoundSpread | None
    lines: tuple[LinePair, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two rounds side by side."""

    spreads: tuple[SpreadPair, ...]
    differences: tuple[Difference, ...]

    @property
    def unchanged(self) -> int:
        """Number of lines whose outlines have the same bytes in both."""
        return sum(line.same for spread in self.spreads for line in spread.lines)


def compare(before: Round, after: Round) -> Comparison:
    """Return what changed from one round to another; lines are matched by speaker and words."""
    found = match_spreads([_as_spread(s) for s in after.spreads], [_former(s) for s in before.spreads])
    by_pages = {spread.pages: spread for spread in before.spreads}
    pairs = [
        _pair(by_pages[was.pages] if was else None, spread)
        for spread, was in zip(after.spreads, found, strict=True)
    ]
    kept = {was.pages for was in found if was}
    pairs += [_pair(spread, None) for spread in before.spreads if spread.pages not in kept]
    differences = [*_facts(before, after), *(one for pair in pairs for one in _of_spread(pair))]
    if before.hand_sha256 != after.hand_sha256:
        differences.append(Difference(kind="hand", where="the hand"))
    differences += _findings(before, after)
    return Comparison(spreads=tuple(pairs), differences=tuple(differences))


def _as_spread(spread: RoundSpread) -> Spread:
    lines = tuple(Line(who=line.who, says=line.says) for line in spread.lines)
    return Spread(pages=spread.pages, lines=lines)


def _former(spread: RoundSpread) -> FormerSpread:
    return FormerSpread(spread.pages, tuple(map(_former_line, spread.lines)))


def _former_line(line: RoundLine) -> FormerLine:
    return FormerLine(
        who=line.who, says=line.says, rows=line.rows, position=Point(*line.centre), x_height_mm=line.x_height
    )


def _pair(before: RoundSpread | None, after: RoundSpread | None) -> SpreadPair:
    old = before.lines if before else ()
    new = after.lines if after else ()
    former = [_former_line(line) for line in old]
    index = {id(line): k for k, line in enumerate(former)}
    found = match(_as_spread(after).lines, former) if after else ()
    matched = [index[id(was)] if was else None for was in found]
    lines = [
        LinePair(number=n, before=old[k] if k is not None else None, after=line)
        for n, (line, k) in enumerate(zip(new, matched, strict=True), 1)
    ]
    lines += [
        LinePair(number=k + 1, before=line, after=None) for k, line in enumerate(old) if k not in matched
    ]
    return SpreadPair(before=before, after=after, lines=tuple(lines))


def _of_spread(pair: SpreadPair) -> Iterator[Difference]:
    old, new = pair.before, pair.after
    some = new or old
    assert some is not None
    label = pages_label(some.pages)
    if old is None or new is None:
        yield Difference(kind="new spread" if old is None else "gone spread", where=label)
    elif (old.art, old.art_sha256) != (new.art, new.art_sha256):
        yield Difference(kind="art", where=label, before=old.art, after=new.art)
    for line in pair.lines:
        yield from _of_line(line, f"{label}, line {line.number}")


def _of_line(pair: LinePair, where: str) -> Iterator[Difference]:
    old, new = pair.before, pair.after
    if old is None or new is None:
        kind = "new" if old is None else "gone"
        yield Difference(
            kind=kind, where=where, before=old.says if old else "", after=new.says if new else ""
        )
        return
    if pair.same and (old.who, old.says, old.voice) == (new.who, new.says, new.voice):
        return
    sides: tuple[tuple[str, str, str], ...] = (
        ("words", old.says, new.says),
        ("speaker", " + ".join(old.who), " + ".join(new.who)),
        ("voice", old.voice, new.voice),
        ("rows", " / ".join(old.rows), " / ".join(new.rows)),
        ("size", f"{old.x_height:.2f} mm", f"{new.x_height:.2f} mm"),
    )
    told = [Difference(kind=k, where=where, before=a, after=b) for k, a, b in sides if a != b]
    if old.says != new.says:
        told = [one for one in told if one.kind != "rows"]  # other words are other rows
    moved = math.dist(old.centre, new.centre)
    if moved > MOVED_MM:
        a, b = (f"{x:.1f}, {y:.1f} mm" for x, y in (old.centre, new.centre))
        told.append(Difference(kind="moved", where=where, before=a, after=b, moved_mm=round(moved, 2)))
    yield from told or [Difference(kind="outline", where=where)]


def _facts(before: Round, after: Round) -> Iterator[Difference]:
    """Yield what the book file says otherwise of the book as a whole, where both rounds tell of it."""
    old = dict(before.facts)
    for name, value in after.facts:
        if old.get(name, value) != value:
            yield Difference(kind=name, where="the book", before=old[name], after=value)


def _findings(before: Round, after: Round) -> Iterator[Difference]:
    old, new = ([(one[0], one[2], one[3]) for one in side.findings] for side in (before, after))
    yield from (Difference(kind="finding", where=w, after=f"{t} [{c}]") for c, w, t in _less(new, old))
    yield from (Difference(kind="finding gone", where=w, before=f"{t} [{c}]") for c, w, t in _less(old, new))


def _less(
    some: Sequence[tuple[str, str, str]], others: Sequence[tuple[str, str, str]]
) -> list[tuple[str, str, str]]:
    return [one for one in some if one not in others]
