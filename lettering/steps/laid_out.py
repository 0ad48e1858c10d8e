"""Lay out: every line of a book set in its hand, fitted with a bubble and placed on its spread."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lettering.book.book import Book, Spread
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread
from lettering.hand.hands import Hands
from lettering.placing.former import FormerLine
from lettering.placing.place import place
from lettering.placing.placement import LineToPlace, Placement, SpreadToPlace
from lettering.placing.weights import weighted
from lettering.steps.bench import Bench
from lettering.steps.choices import Choices
from lettering.steps.meeting import Bodies, meetings, parted, to_place
from lettering.steps.necks import Partner, necked_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """A whole book with every line in its place."""

    book: Book
    hands: Hands
    x_height_mm: float
    """Size of plain lettering through the book."""
    spreads: tuple[FinishedSpread, ...]
    findings: tuple[Finding, ...] = ()


def lay_out(
    bench: Bench,
    spread: Spread,
    former: Sequence[FormerLine | None],
    detail: NDArray[np.float64] | None,
) -> FinishedSpread:
    """Return `spread` with every line set, fitted and placed.

    `former` tells for each line where it was before; `detail` how busy the art is, as placing wants it.
    """
    frame = bench.book.frame(spread)
    choices = choices_of(bench, spread, former)
    bodies = [Bodies(joint=c.line.joint, bodies=c.bodies, to_place=c.to_place) for c in choices]
    met = meetings(bodies, bench.x_height_mm)
    placed = place(
        spread_to_place(bench, spread, tuple(to_place(bodies, met)), detail),
        weights=weighted(bench.book.placing),
    )
    placements = {p.line: p for whole in placed.placements for p in parted(whole, met)}
    placed = replace(placed, placements=tuple(placements[number] for number in sorted(placements)))
    lines = [
        choice.finished(bench, frame, placement, partners_of(i, choices, placed.placements))
        for i, (choice, placement) in enumerate(zip(choices, placed.placements, strict=True))
    ]
    lines = list(necked_lines(lines, x_height_mm=bench.x_height_mm, life=bench.life))
    return FinishedSpread(spread=spread, frame=frame, lines=tuple(lines), placed=placed)


def choices_of(bench: Bench, spread: Spread, former: Sequence[FormerLine | None]) -> tuple[Choices, ...]:
    """Return for each line of `spread` the ways in which it may look."""
    lines = enumerate(zip(spread.lines, former, strict=True), 1)
    return tuple(Choices.of(bench, spread, number, line, was) for number, (line, was) in lines)


def spread_to_place(
    bench: Bench,
    spread: Spread,
    lines: tuple[LineToPlace, ...],
    detail: NDArray[np.float64] | None = None,
) -> SpreadToPlace:
    """Return all that placing wants to know of `spread` and of its `lines`."""
    return SpreadToPlace(
        frame=bench.book.frame(spread),
        lines=lines,
        figures=tuple((figure.who, figure.box) for figure in spread.figures),
        keep_clear=spread.keep_clear,
        x_height_mm=bench.x_height_mm,
        detail=detail,
    )


def partners_of(
    index: int, choices: Sequence[Choices], placements: Sequence[Placement]
) -> tuple[Partner, ...]:
    """Return what necks join to the body of the line at `index`, where it is the first of them."""
    found = []
    for following in range(index + 1, len(choices)):
        if choices[following].line.joint != "neck":
            break
        choice = choices[following]
        found.append(Partner(choice.body_at(placements[following]), choice.line.voice))
    return tuple(found)
