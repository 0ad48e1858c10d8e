"""Moved: the illustrator takes one bubble to another place, and sees at once how it looks and what is wrong.

book = opened(path)                         # the book as it is placed
desk = on_desk(book, 3)                     # its fourth spread, ready for moves
move = moved(desk, 2, to=Point(120, 60))    # line 2 follows the hand: milliseconds
move.line, move.broken, move.desk           # how it is drawn now, what it breaks, the spread with it
book = kept(book, 3, move.desk)             # let go: held from now on, written, checked
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from lettering.checks.check import check_book
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.errors import LetteringError
from lettering.geometry.point import Point
from lettering.placing.placement import Broken, Placement
from lettering.placing.standing import Standing
from lettering.setting.reading_age import band_for
from lettering.steps.bench import Bench
from lettering.steps.choices import Choices
from lettering.steps.laid_out import LaidOut, choices_of, partners_of, spread_to_place
from lettering.steps.necks import necked_lines
from lettering.steps.place import book_as_placed, to_keep
from lettering.storage.placements import placements_path, write_placements


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenBook:
    """A book whose bubbles may be moved."""

    path: Path
    """The book file."""
    result: LaidOut


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Desk:
    """One spread with all that is needed to follow a bubble that is dragged over it."""

    bench: Bench
    finished: FinishedSpread
    """The spread as it will print, moved bubbles and all."""
    choices: tuple[Choices, ...]
    """How each line looks, in speaking order."""
    standing: Standing

    def rows(self, number: int) -> tuple[tuple[str, ...], ...]:
        """Return the rows of every stack that line `number` may stand in, the best first.

        Setting and fitting them takes some tenths of a second.
        """
        every = _every_choice(self, number)
        return tuple(tuple(row.text for row in stack.rows) for stack in every.stacks)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moved:
    """A line in a new place."""

    line: FinishedLine
    """How it is drawn there: outline, tails, letters; mm on the page."""
    also: tuple[FinishedLine, ...]
    """Other lines that are drawn anew because a neck joins them to it."""
    broken: tuple[Broken, ...]
    """The hard rules that it breaks there, by itself or with another line; none where it may stand."""
    desk: Desk
    """The spread with the line in that place, for the next move."""


def opened(path: Path) -> OpenBook:
    """Return the book at `path` with every line where its placements say; raises LetteringError."""
    return OpenBook(path=path, result=book_as_placed(path))


def on_desk(book: OpenBook, index: int) -> Desk:
    """Return spread `index` of the book, from 0, ready for moves."""
    result, finished = book.result, book.result.spreads[index]
    bench = Bench(
        book=result.book,
        hands=result.hands,
        band=band_for(result.book.reader_age),
        x_height_mm=result.x_height_mm,
        stay=True,
    )
    choices = choices_of(bench, finished.spread, to_keep([finished])[0].lines)
    placements = [replace(line.placement, shape=0) for line in finished.lines]
    meets = {(a.number, b.number) for a, b in pairwise(finished.lines) if b.line.joint is not None}
    spread = spread_to_place(bench, finished.spread, tuple(choice.to_place for choice in choices))
    standing = Standing.of(spread, placements, frozenset(meets))
    return Desk(bench=bench, finished=finished, choices=choices, standing=standing)


def moved(
    desk: Desk,
    number: int,
    *,
    to: Point | None = None,
    tips: Sequence[Point] | None = None,
    rows: tuple[str, ...] | None = None,
) -> Moved:
    """Return line `number` with its stack's origin at `to`, its tails ending at `tips`, in these `rows`.

    What is not given stays, but tails follow a bubble that moves: they are aimed anew unless `tips`, one for
    each speaker, mm, says where they end. `rows` is one of `desk.rows(number)`. The line is held from now on.
    Nothing is written. Raises LetteringError when there is no such line or no such stack.
    """
    index = _index(desk, number)
    if rows is not None and rows != _rows(desk.finished.lines[index]):
        desk = _restacked(desk, index, rows)
    before = desk.finished.lines[index].placement
    centre = to or before.centre
    if tips is None:
        tips = before.tips if centre == before.centre and rows is None else ()
    placement = Placement(line=number, shape=0, centre=centre, tips=tuple(tips), held=True)
    placement = replace(placement, tips=desk.standing.tips(placement))
    standing = desk.standing.moved(placement)
    lines = _drawn(desk, index, placement)
    desk = replace(desk, standing=standing, finished=replace(desk.finished, lines=lines))
    near = _joined(desk, index)
    return Moved(
        line=lines[index],
        also=tuple(lines[i] for i in near if i != index),
        broken=standing.broken(number),
        desk=desk,
    )


def released(desk: Desk, number: int) -> Desk:
    """Return the spread with line `number` no longer held: the next placing may move it."""
    index = _index(desk, number)
    line = desk.finished.lines[index]
    line = replace(line, placement=replace(line.placement, held=False))
    lines = (*desk.finished.lines[:index], line, *desk.finished.lines[index + 1 :])
    return replace(desk, finished=replace(desk.finished, lines=lines))


def kept(book: OpenBook, index: int, desk: Desk) -> OpenBook:
    """Return the book with spread `index` as it is on the desk, and its findings; the placements are written.

    Raises OutputError when they cannot be written; they are then as they were.
    """
    result = book.result
    placed = replace(
        desk.finished.placed,
        placements=tuple(line.placement for line in desk.finished.lines),
        free=0,
        broken=desk.standing.all_broken,
        missing=(),
        advice=(),
    )
    finished = replace(desk.finished, placed=placed)
    spreads = (*result.spreads[:index], finished, *result.spreads[index + 1 :])
    write_placements(to_keep(spreads), placements_path(book.path))
    findings = check_book(spreads, result.book, result.hands, desk.bench.band)
    return replace(book, result=replace(result, spreads=spreads, findings=findings))


def _index(desk: Desk, number: int) -> int:
    for index, line in enumerate(desk.finished.lines):
        if line.number == number:
            return index
    raise LetteringError(f"there is no line {number}.", desk.finished.spread.label)


def _rows(line: FinishedLine) -> tuple[str, ...]:
    return tuple(row.text for row in line.stack.rows)


def _every_choice(desk: Desk, number: int) -> Choices:
    """Return a line in all stacks that it may stand in."""
    index = _index(desk, number)
    free = replace(desk.bench, stay=False)
    return Choices.of(free, desk.finished.spread, number, desk.finished.spread.lines[index], None)


def _restacked(desk: Desk, index: int, rows: tuple[str, ...]) -> Desk:
    """Return the desk with a line in other rows, where it stands."""
    line = desk.finished.lines[index]
    every = _every_choice(desk, line.number)
    texts = [tuple(row.text for row in stack.rows) for stack in every.stacks]
    if rows not in texts:
        hint = "Offered are: " + "; ".join(" / ".join(text) for text in texts) + "."
        where = f"{desk.finished.spread.label}, line {line.number}"
        raise LetteringError(f"the line cannot stand as '{' / '.join(rows)}'.", where, hint)
    choice = every.only(texts.index(rows))
    choices = (*desk.choices[:index], choice, *desk.choices[index + 1 :])
    lines = tuple(one.to_place for one in choices)
    spread = replace(desk.standing.spread, lines=lines)
    standing = replace(desk.standing, spread=spread)
    return replace(desk, choices=choices, standing=standing)


def _joined(desk: Desk, index: int) -> range:
    """Return the indices of a line and of those that a neck joins to it."""
    necks = [line.joint == "neck" for line in desk.finished.spread.lines]
    first = last = index
    while first and necks[first]:
        first -= 1
    while last + 1 < len(necks) and necks[last + 1]:
        last += 1
    return range(first, last + 1)


def _drawn(desk: Desk, index: int, placement: Placement) -> tuple[FinishedLine, ...]:
    """Return the lines of the spread, that at `index` drawn at `placement` and held."""
    placements = [line.placement for line in desk.finished.lines]
    placements[index] = placement
    stand = [replace(one, shape=0) for one in placements]
    lines = list(desk.finished.lines)
    near = _joined(desk, index)
    for i in near:
        partners = partners_of(i, desk.choices, stand)
        line = desk.choices[i].finished(desk.bench, desk.finished.frame, stand[i], partners)
        lines[i] = replace(line, placement=replace(line.placement, held=placements[i].held))
    if len(near) == 1:
        return tuple(lines)
    return tuple(necked_lines(lines, x_height_mm=desk.bench.x_height_mm, life=desk.bench.life))
