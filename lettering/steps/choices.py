"""The ways in which a line may look, and the line as it prints in one of them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lettering.book.book import Spread
from lettering.book.line import Line
from lettering.book.page import Frame
from lettering.bubbles.air import air_mm
from lettering.bubbles.body import body
from lettering.bubbles.bubble import Bubble
from lettering.bubbles.join import bubble
from lettering.bubbles.tail import tail
from lettering.checks.finished import FinishedLine
from lettering.errors import stop_point
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine
from lettering.placing.placement import LineToPlace, Placement, Shape, Speaker
from lettering.placing.tails import targets
from lettering.setting.stack import Stack
from lettering.setting.stacks import stacks
from lettering.steps.bench import Bench
from lettering.steps.former import as_before, as_it_was, as_kept, fixed, only_as_before, placed_before
from lettering.steps.necks import Partner, nearest

FLATNESS_MM = 0.05
"""Farthest the polygon that placing sees lies from the drawn body: a fortieth of the least distance kept."""


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
        stop_point()
        stays = was is not None and (was.held or (bench.stay and was.says == line.says))
        broken = as_before(line, was) if was is not None and stays else line
        offered = stacks(
            broken,
            bench.hands.of(line),
            x_height_mm=bench.x_height_mm,
            language=bench.book.language,
            band=bench.band,
        )
        if was is not None and stays:
            offered = only_as_before(offered, was)
        bodies = tuple(_body(stack, line, bench.x_height_mm) for stack in offered)
        given = offered[0].fixed_at
        before = placed_before(number, was, offered) if was is not None else None
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
                    else fixed(before, was.held)
                    if before and was and stays
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
        self, bench: Bench, frame: Frame, placement: Placement, partners: Sequence[Partner]
    ) -> FinishedLine:
        """Return the line as it prints at `placement`; a tail springs from one of `partners` where nearer."""
        stop_point()
        placement = as_it_was(as_kept(placement), self.to_place.former)
        step = placement.centre - Point(0.0, 0.0)
        held = self.was is not None and self.was.held
        return FinishedLine(
            number=placement.line,
            line=self.line,
            stack=self.stacks[placement.shape].moved(step),
            bubble=self._bubble(bench, frame, placement, partners),
            placement=replace(placement, held=held),
        )

    def _bubble(
        self, bench: Bench, frame: Frame, placement: Placement, partners: Sequence[Partner]
    ) -> Bubble | None:
        """Return the bubble at `placement`; sounds and bare captions have none, they stand on the art."""
        if self.line.voice == "sound" or (self.line.voice == "caption" and self.line.frame == "none"):
            return None
        placed = self.body_at(placement)
        own = Partner(placed, self.line.voice)
        tails = []
        for speaker, tip in zip(self.to_place.speakers, placement.tips, strict=True):
            bearer = nearest((own, *partners), tip)
            one = tail(
                bearer.body,
                target=_aim(speaker, placement.centre, frame),
                face=speaker.face,
                x_height_mm=bench.x_height_mm,
                line_mm=bench.line_mm,
                tip=tip,
                voice=bearer.voice,
            )
            tails.append(one)
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
            target, box, head = figure.target, figure.box, figure.head
            yield Speaker(who=who, target=target, face=figure.face, box=box, head=head)


def _aim(speaker: Speaker, centre: Point, frame: Frame) -> Point:
    """Return what a tail from a bubble at `centre` aims at, mm."""
    (x, y), *_ = targets(np.array([(centre.x, centre.y)]), speaker, frame).tolist()
    return Point(x, y)
