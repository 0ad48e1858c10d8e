"""Two lines whose bubbles meet, placed as one: on a neck as one speaker's, or touching as a reply."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product

import numpy as np

from lettering.book.line import Joint
from lettering.bubbles.joined import LAP_X_HEIGHTS, NECK_X_HEIGHTS, beside
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point, Vector
from lettering.geometry.region import Region
from lettering.placing.placement import LineToPlace, Placement, Shape
from lettering.storage.placements import POSITION_DIGITS

WAYS = (Vector(0.4, 1.0), Vector(1.0, 0.6), Vector(-0.4, 1.0), Vector(-1.0, 0.6))
"""Where the second body lies from the first, so that it is read second: below, or lower at the side."""
MOST_STACKS = 2
"""Stacks of each line that are tried with each other."""
FLATNESS_MM = 0.05
"""How closely the polygon that placing sees follows the bodies."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bodies:
    """A line that may meet the one before: what it may look like, and what placing is told of it."""

    joint: Joint | None
    bodies: Sequence[Contour]
    to_place: LineToPlace


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meeting:
    """Two lines as one line to place."""

    to_place: LineToPlace
    alone: tuple[LineToPlace, LineToPlace]
    """The two lines, as they would be placed alone."""
    ways: tuple[tuple[int, int, Vector], ...]
    """For each shape: the shape of the first line, that of the second, and the step between their centres."""

    @classmethod
    def of(cls, first: Bodies, second: Bodies, *, neck: bool, x_height_mm: float) -> "Meeting":
        """Return the two lines as one, the second on a neck or lapping over the first."""
        gap = (NECK_X_HEIGHTS if neck else -LAP_X_HEIGHTS) * x_height_mm
        held = _held(first.to_place, second.to_place)
        side = 0.0 if neck else _side(first.to_place, second.to_place)
        ways = (held[1],) if held else tuple(_ways(first.bodies, second.bodies, gap, side))
        shapes = tuple(_shape(first, second, way) for way in ways)
        former = first.to_place.former
        speakers = first.to_place.speakers + (() if neck else second.to_place.speakers)
        return cls(
            to_place=LineToPlace(
                line=first.to_place.line,
                shapes=shapes,
                speakers=speakers,
                held=held[0] if held else None,
                former=replace(former, shape=0) if former else None,
            ),
            alone=(first.to_place, second.to_place),
            ways=ways,
        )

    def parted(self, placement: Placement) -> tuple[Placement, Placement]:
        """Return where each of the two lines goes."""
        one, two, step = self.ways[placement.shape]
        first, second = self.alone
        cut = len(first.speakers)
        centre = Point(*(round(v, POSITION_DIGITS) for v in (placement.centre.x, placement.centre.y)))
        return (
            replace(placement, shape=one, centre=centre, tips=placement.tips[:cut]),
            Placement(line=second.line, shape=two, centre=centre + step, tips=placement.tips[cut:]),
        )


def _held(first: LineToPlace, second: LineToPlace) -> tuple[Placement, tuple[int, int, Vector]] | None:
    """Return the placement of both when both must not move, and how they lie to each other."""
    one, two = first.held, second.held
    if one is None or two is None:
        return None
    tips = one.tips + two.tips
    return replace(one, shape=0, tips=tips), (one.shape, two.shape, two.centre - one.centre)


def _side(first: LineToPlace, second: LineToPlace) -> float:
    """Return on which side of the first speaker the second is, -1 left or 1 right; 0 when it is not known.

    A reply lies on its own speaker's side, or the tails would cross.
    """
    one, two = ([s.target.x for s in line.speakers if s.target] for line in (first, second))
    return float(np.sign(two[0] - one[0])) if one and two else 0.0


def _ways(
    firsts: Sequence[Contour], seconds: Sequence[Contour], gap: float, side: float
) -> Iterator[tuple[int, int, Vector]]:
    ways = [way for way in WAYS if way.x * side >= 0]
    pairs = product(enumerate(firsts[:MOST_STACKS]), enumerate(seconds[:MOST_STACKS]), ways)
    for (i, first), (j, second), way in pairs:
        step = beside(first, second, way, gap_mm=gap)
        yield i, j, Vector(round(step.x, POSITION_DIGITS), round(step.y, POSITION_DIGITS))


def _shape(first: Bodies, second: Bodies, way: tuple[int, int, Vector]) -> Shape:
    """Return the hull of both bodies: nothing comes between them."""
    i, j, step = way
    parts = (first.bodies[i], second.bodies[j].moved(step))
    areas = [Region.polygon(body.flattened(FLATNESS_MM)) for body in parts]
    cost = first.to_place.shapes[i].cost + second.to_place.shapes[j].cost
    return Shape(body=Region.union(areas).hull().exterior(), cost=cost)


def meetings(lines: Sequence[Bodies], x_height_mm: float) -> dict[int, Meeting]:
    """Return the pairs that meet, by the number of their first line; a third in a row stands by itself."""
    met: dict[int, Meeting] = {}
    for first, second in pairwise(lines):
        if second.joint is not None and first.to_place.line - 1 not in met:
            pair = Meeting.of(first, second, neck=second.joint == "neck", x_height_mm=x_height_mm)
            met[first.to_place.line] = pair
    return met


def to_place(lines: Sequence[Bodies], met: Mapping[int, Meeting]) -> Iterator[LineToPlace]:
    """Yield what is to be placed, pairs as one."""
    for line in lines:
        number = line.to_place.line
        if number in met:
            yield met[number].to_place
        elif number - 1 not in met:
            yield line.to_place


def parted(placement: Placement, met: Mapping[int, Meeting]) -> tuple[Placement, ...]:
    """Return the placements of the lines that were placed as one."""
    return met[placement.line].parted(placement) if placement.line in met else (placement,)
