"""Lay out: every line of a book set in the hand, fitted with a bubble and placed on its spread."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lettering.book.book import Book, Spread
from lettering.book.line import Line
from lettering.book.page import Frame
from lettering.bubbles.air import air_mm, line_mm
from lettering.bubbles.body import body
from lettering.bubbles.bubble import Bubble
from lettering.bubbles.join import bubble
from lettering.bubbles.tail import tail
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.hand.hand import Hand
from lettering.placing.former import FormerLine
from lettering.placing.place import place
from lettering.placing.placement import LineToPlace, Placement, Shape, Speaker, SpreadToPlace
from lettering.placing.tails import targets
from lettering.placing.weights import weighted
from lettering.setting.forms import forms_of
from lettering.setting.reading_age import ReadingBand
from lettering.setting.stack import Stack
from lettering.setting.stacks import stacks
from lettering.steps.meeting import Bodies, meetings, parted, to_place
from lettering.steps.necks import nearer, necked_lines
from lettering.storage.placements import POSITION_DIGITS

FLATNESS_MM = 0.05
"""Farthest the polygon that placing sees lies from the drawn body: a fortieth of the least distance kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """A whole book with every line in its place."""

    book: Book
    hand: Hand
    x_height_mm: float
    """Size of plain lettering through the book."""
    spreads: tuple[FinishedSpread, ...]
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bench:
    """What lies ready for laying out any spread of one book."""

    book: Book
    hand: Hand
    band: ReadingBand
    x_height_mm: float
    stay: bool = False
    """Whether lines whose words are as before stay where they were, held or not."""

    @property
    def line_mm(self) -> float:
        """Width of the bubbles' line: it follows the hand's own stems, one through the book."""
        metrics = self.hand.metrics
        return line_mm(metrics.stem * self.x_height_mm / metrics.x_height)

    @property
    def life(self) -> float:
        """How much the bubbles' line varies: as much as the hand's own strokes, in widths."""
        return forms_of(self.hand).life


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
        choice.finished(bench, frame, placement, partner_of(i, choices, placed.placements))
        for i, (choice, placement) in enumerate(zip(choices, placed.placements, strict=True))
    ]
    lines = list(necked_lines(lines, x_height_mm=bench.x_height_mm, life=bench.life))
    return FinishedSpread(spread=spread, frame=frame, lines=tuple(lines), placed=placed)


def choices_of(bench: Bench, spread: Spread, former: Sequence[FormerLine | None]) -> "tuple[Choices, ...]":
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


def partner_of(index: int, choices: "Sequence[Choices]", placements: Sequence[Placement]) -> Contour | None:
    """Return the body that a neck joins to that of the line at `index`, where it is the first of the two."""
    following = index + 1
    if following == len(choices) or choices[following].line.joint != "neck":
        return None
    return choices[following].body_at(placements[following])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Choices:
    """The ways in which one line may look, and what is known of its place."""

    line: Line
    was: FormerLine | None
    stacks: tuple[Stack, ...]
    bodies: tuple[Contour, ...]
    to_place: LineToPlace

    @classmethod
    def of(cls, bench: Bench, spread: Spread, number: int, line: Line, was: FormerLine | None) -> "Choices":
        """Return what `line` may look like, in the rows it must keep when its place is fixed."""
        fixed = was is not None and (was.held or (bench.stay and was.says == line.says))
        broken = _as_before(line, was) if was is not None and fixed else line
        offered = stacks(
            broken,
            bench.hand,
            x_height_mm=bench.x_height_mm,
            language=bench.book.language,
            band=bench.band,
        )
        if was is not None and fixed:
            offered = _only_as_before(offered, was)
        bodies = tuple(_body(stack, line, bench.x_height_mm) for stack in offered)
        given = offered[0].fixed_at
        before = _placement(number, was, offered) if was is not None else None
        return cls(
            line=line,
            was=was,
            stacks=offered,
            bodies=bodies,
            to_place=LineToPlace(
                line=number,
                shapes=tuple(
                    Shape(body=contour.flattened(FLATNESS_MM), cost=stack.cost)
                    for stack, contour in zip(offered, bodies, strict=True)
                ),
                speakers=() if line.joint == "neck" else tuple(_speakers(line, spread)),
                # Tails are aimed anew unless the illustrator holds them: the speaker may have moved.
                held=(
                    Placement(line=number, shape=0, centre=given, held=True)
                    if given
                    else _fixed(before, was.held)
                    if before and was and fixed
                    else None
                ),
                former=before,
            ),
        )

    def only(self, index: int) -> "Choices":
        """Return the line in one of its stacks alone."""
        return replace(
            self,
            stacks=self.stacks[index : index + 1],
            bodies=self.bodies[index : index + 1],
            to_place=replace(self.to_place, shapes=self.to_place.shapes[index : index + 1]),
        )

    def body_at(self, placement: Placement) -> Contour:
        """Return the body at `placement`, mm on the page."""
        return self.bodies[placement.shape].moved(placement.centre - Point(0.0, 0.0))

    def finished(
        self, bench: Bench, frame: Frame, placement: Placement, partner: Contour | None
    ) -> FinishedLine:
        """Return the line as it will print at `placement`; its tail springs from `partner` where nearer."""
        placement = _as_it_was(_kept(placement), self.to_place.former)
        step = placement.centre - Point(0.0, 0.0)
        held = self.was is not None and self.was.held
        return FinishedLine(
            number=placement.line,
            line=self.line,
            stack=self.stacks[placement.shape].moved(step),
            bubble=self._bubble(bench, frame, placement, partner),
            placement=replace(placement, held=held),
        )

    def _bubble(
        self, bench: Bench, frame: Frame, placement: Placement, partner: Contour | None
    ) -> Bubble | None:
        """Return the bubble at `placement`; sounds and bare captions have none, they stand on the art."""
        if self.line.voice == "sound" or (self.line.voice == "caption" and self.line.frame == "none"):
            return None
        placed = self.body_at(placement)
        tails = [
            tail(
                nearer(placed, partner, tip),
                target=_aim(speaker, placement.centre, frame),
                face=speaker.face,
                x_height_mm=bench.x_height_mm,
                line_mm=bench.line_mm,
                tip=tip,
                voice=self.line.voice,
            )
            for speaker, tip in zip(self.to_place.speakers, placement.tips, strict=True)
        ]
        return bubble(
            placed,
            tails,
            line_mm=bench.line_mm,
            voice=self.line.voice,
            life=bench.life,
            seed=self.line.says,
        )


def _body(stack: Stack, line: Line, x_height_mm: float) -> Contour:
    boxes = [glyph.ink for glyph in stack.glyphs]
    return body(boxes, air_mm=air_mm(x_height_mm), voice=line.voice, frame=line.frame, seed=line.says)


def _speakers(line: Line, spread: Spread) -> Iterator[Speaker]:
    for who in line.who:
        figures = spread.figures_of(who)
        if line.off or not figures:
            yield Speaker(who=who, target=None, off=line.off or "top")
        else:
            figure = figures[min(line.figure, len(figures)) - 1]
            yield Speaker(who=who, target=figure.target, face=figure.face, box=figure.box)


def _placement(number: int, was: FormerLine, offered: Sequence[Stack]) -> Placement:
    """Return where the line was, in the offered stack that has its former rows, or else in the best."""
    rows = [tuple(row.text for row in stack.rows) for stack in offered]
    shape = rows.index(was.rows) if was.rows in rows else 0
    return Placement(line=number, shape=shape, centre=was.position, tips=was.tips, held=was.held)


def _only_as_before(offered: tuple[Stack, ...], was: FormerLine) -> tuple[Stack, ...]:
    """Return the offered stack that has the former rows alone, or all of them when none has."""
    same = tuple(stack for stack in offered if tuple(row.text for row in stack.rows) == was.rows)
    return same[:1] or offered


def _as_before(line: Line, was: FormerLine) -> Line:
    """Return the line with its rows forced to be the former ones, when its words are still as many."""
    words = iter(line.says.split())
    counts = [len(row.split()) for row in was.rows]
    if sum(counts) != len(line.says.split()):
        return line
    rows = [" ".join(next(words) for _ in range(count)) for count in counts]
    return replace(line, says="\n".join(rows))


SAME_TIP_MM = 0.05
"""A tail that would end this near to where it ended before is left as it was."""


def _fixed(before: Placement, held: bool) -> Placement:
    return replace(before, held=True, tips=before.tips if held else ())


def _as_it_was(placement: Placement, before: Placement | None) -> Placement:
    """Return the placement with its former tips, when it has not moved and they differ by rounding only."""
    if before is None or before.centre != placement.centre or len(before.tips) != len(placement.tips):
        return placement
    near = [(a - b).length <= SAME_TIP_MM for a, b in zip(before.tips, placement.tips, strict=True)]
    return replace(placement, tips=before.tips) if all(near) else placement


def _kept(placement: Placement) -> Placement:
    """Return the placement as it is kept on disk, so that a book looks the same placed now or read back."""
    centre, *tips = (
        Point(round(p.x, POSITION_DIGITS), round(p.y, POSITION_DIGITS))
        for p in (placement.centre, *placement.tips)
    )
    return replace(placement, centre=centre, tips=tuple(tips))


def _aim(speaker: Speaker, centre: Point, frame: Frame) -> Point:
    """Return what a tail from a bubble at `centre` aims at, mm."""
    (x, y), *_ = targets(np.array([(centre.x, centre.y)]), speaker, frame).tolist()
    return Point(x, y)
