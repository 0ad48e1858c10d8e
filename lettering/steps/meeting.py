"""Lines whose bubbles meet, placed as one: on a neck as one speaker's, or touching as a reply."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise, product, takewhile

import numpy as np

from lettering.book.line import Joint
from lettering.bubbles.joined import LAP_X_HEIGHTS, NECK_X_HEIGHTS, beside
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point, Vector
from lettering.geometry.region import Region
from lettering.placing.placement import LineToPlace, Placement, Shape
from lettering.storage.placements import POSITION_DIGITS

HEADINGS = (Vector(0.4, 1.0), Vector(1.0, 0.6), Vector(-0.4, 1.0), Vector(-1.0, 0.6))
"""Where a body lies from the one before, so that it is read after it: below, or lower at the side."""
MOST_STACKS = 2
"""Stacks of each line that are tried with each other."""
MOST_WAYS = 24
"""Ways of lying together that are offered to placing: the cheapest."""
CLEAR_X_HEIGHTS = 0.5
"""Least distance of bubbles in a chain that do not meet, in x-heights."""
FLATNESS_MM = 0.05
"""How closely the polygon that placing sees follows the bodies."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bodies:
    """A line that may meet the one before: what it may look like, and what placing is told of it."""

    joint: Joint | None
    bodies: Sequence[Contour]
    to_place: LineToPlace


Way = tuple[tuple[int, Vector], ...]
"""For each line of a chain the shape it has, and the step from the first line's centre to its own."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meeting:
    """A chain of lines as one line to place."""

    to_place: LineToPlace
    alone: tuple[LineToPlace, ...]
    """The lines, as they would be placed alone."""
    ways: tuple[Way, ...]
    """For each shape how the lines lie in it."""

    @classmethod
    def of(cls, lines: Sequence[Bodies], x_height_mm: float) -> "Meeting":
        """Return lines as one, each but the first on a neck of the one before or lapping over it."""
        alone = tuple(line.to_place for line in lines)
        held = _held(alone)
        ways = (held[1],) if held else _ways(lines, x_height_mm)
        former = alone[0].former
        return cls(
            to_place=LineToPlace(
                line=alone[0].line,
                shapes=tuple(_shape(lines, way) for way in ways),
                speakers=tuple(speaker for line in alone for speaker in line.speakers),
                held=held[0] if held else None,
                former=replace(former, shape=0) if former else None,
            ),
            alone=alone,
            ways=ways,
        )

    def parted(self, placement: Placement) -> tuple[Placement, ...]:
        """Return where each of the lines goes."""
        first = Point(*(round(v, POSITION_DIGITS) for v in (placement.centre.x, placement.centre.y)))
        cuts = list(accumulate((len(line.speakers) for line in self.alone), initial=0))
        return tuple(
            replace(
                placement if line is self.alone[0] else Placement(line=line.line, shape=0, centre=first),
                shape=shape,
                centre=first + step,
                tips=placement.tips[start:end],
            )
            for line, (shape, step), (start, end) in zip(
                self.alone, self.ways[placement.shape], pairwise(cuts), strict=True
            )
        )


def _held(alone: Sequence[LineToPlace]) -> tuple[Placement, Way] | None:
    """Return the placement of all when none of them may move, and how they lie to each other."""
    held = [line.held for line in alone if line.held is not None]
    if len(held) < len(alone):
        return None
    tips = tuple(tip for one in held for tip in one.tips)
    way = tuple((one.shape, one.centre - held[0].centre) for one in held)
    return replace(held[0], shape=0, tips=tips), way


def _ways(lines: Sequence[Bodies], x_height: float) -> tuple[Way, ...]:
    """Return how the lines may lie together, each laid beside the one before."""
    ways: list[Way] = [((i, Vector(0.0, 0.0)),) for i in range(len(lines[0].bodies[:MOST_STACKS]))]
    for before, line in pairwise(lines):
        neck = line.joint == "neck"
        gap = (NECK_X_HEIGHTS if neck else -LAP_X_HEIGHTS) * x_height
        side = 0.0 if neck else _side(lines, line)
        shapes = range(len(line.bodies[:MOST_STACKS]))
        # A reply has a tail of its own: right below the other it would lie on that one's tail.
        beside_only = [one for one in HEADINGS if neck or abs(one.x) > abs(one.y)]
        headings = [heading for heading in beside_only if heading.x * side >= 0]
        grown = [
            (*way, (i, _step(before.bodies[way[-1][0]], line.bodies[i], heading, gap) + way[-1][1]))
            for way, i, heading in product(ways, shapes, headings)
        ]
        clear = [way for way in grown if _clear(lines, way, CLEAR_X_HEIGHTS * x_height)]
        ways = sorted(clear or grown, key=lambda way: _cost(lines, way))[:MOST_WAYS]
    return tuple(ways)


def _step(first: Contour, second: Contour, heading: Vector, gap: float) -> Vector:
    step = beside(first, second, heading, gap_mm=gap)
    return Vector(round(step.x, POSITION_DIGITS), round(step.y, POSITION_DIGITS))


def _clear(lines: Sequence[Bodies], way: Way, least: float) -> bool:
    """Tell whether the last line of a way keeps clear of all but the one before it."""
    *others, _, last = _areas(lines, way)
    return all(other.distance(last) >= least for other in others)


def _areas(lines: Sequence[Bodies], way: Way) -> list[Region]:
    return [
        Region.polygon(line.bodies[shape].moved(step).flattened(FLATNESS_MM))
        for line, (shape, step) in zip(lines, way, strict=False)
    ]


def _cost(lines: Sequence[Bodies], way: Way) -> float:
    return sum(line.to_place.shapes[shape].cost for line, (shape, _) in zip(lines, way, strict=False))


def _side(lines: Sequence[Bodies], reply: Bodies) -> float:
    """Return on which side of whom it answers the speaker of a reply is, -1 left or 1 right; 0 if not known.

    A reply lies on its own speaker's side, or the tails would cross.
    """
    before = [line for line in lines[: lines.index(reply)] if line.to_place.speakers][-1:]
    mouths = [[s.target.x for s in one.to_place.speakers if s.target] for one in (*before, reply)]
    return float(np.sign(mouths[1][0] - mouths[0][0])) if len(mouths) == 2 and all(mouths) else 0.0


def _shape(lines: Sequence[Bodies], way: Way) -> Shape:
    """Return the hull of all bodies, for nothing comes between them, and what bears the tails."""
    hull = Region.union(_areas(lines, way)).hull()
    parts = [
        line.to_place.shapes[shape].body + (step.x, step.y)
        for line, (shape, step) in zip(lines, way, strict=True)
    ]
    return Shape(
        body=hull.exterior(), cost=_cost(lines, way), parts=tuple(parts), springs=tuple(_springs(lines))
    )


def _springs(lines: Sequence[Bodies]) -> Iterator[tuple[int, ...]]:
    """Yield for each speaker which bodies may bear the tail: its line's, or one that a neck joins to that."""
    for first, line in enumerate(lines):
        after = takewhile(lambda k: lines[k].joint == "neck", range(first + 1, len(lines)))
        bearing = (first, *after)
        yield from (bearing for _ in line.to_place.speakers)


def meetings(lines: Sequence[Bodies], x_height_mm: float) -> dict[int, Meeting]:
    """Return the chains that meet, by the number of each of their lines."""
    chains: list[list[Bodies]] = []
    for line in lines:
        if line.joint is not None and chains:
            chains[-1].append(line)
        else:
            chains.append([line])
    met: dict[int, Meeting] = {}
    for chain in chains:
        if len(chain) > 1:
            meeting = Meeting.of(chain, x_height_mm)
            met |= {line.to_place.line: meeting for line in chain}
    return met


def to_place(lines: Sequence[Bodies], met: Mapping[int, Meeting]) -> Iterator[LineToPlace]:
    """Yield what is to be placed, chains as one."""
    for line in lines:
        number = line.to_place.line
        if number not in met:
            yield line.to_place
        elif met[number].to_place.line == number:
            yield met[number].to_place


def parted(placement: Placement, met: Mapping[int, Meeting]) -> tuple[Placement, ...]:
    """Return the placements of the lines that were placed as one."""
    return met[placement.line].parted(placement) if placement.line in met else (placement,)
