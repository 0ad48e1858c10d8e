"""How much room is missing on a spread that cannot keep its rules, between what, and what would help."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from lettering.geometry.rect import Rect
from lettering.placing.candidates import Candidates
from lettering.placing.placement import Broken, LineToPlace, SpreadToPlace
from lettering.placing.rules import BETWEEN_MM, LINE_MM

_EDGES = {"left": "the left margin", "right": "the right margin", "top": "the top", "bottom": "the foot"}
FOLD = "the fold"

FIGURE, LINE, CLEAR, FRAME = "figure", "line", "keep-clear", "frame"

_APART = {"wide": ("to the left", "to the right"), "high": ("up", "down")}
"""Where the two sides of a room move to make it larger."""


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something that a bubble keeps clear of."""

    kind: str
    """`figure`, `line`, `keep-clear` or `frame`."""
    name: str
    """What people call it: "toad's box", 'line 2', 'the fold'."""
    rect: Rect
    """Where it is, the distance kept from it counted, mm."""


@dataclass(frozen=True, slots=True)
class Room:
    """An upright place as large as it can be among obstacles."""

    rect: Rect
    beside: tuple[Obstacle, Obstacle, Obstacle, Obstacle]
    """What stops it at its left, top, right and bottom."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """Room that one line lacks where it lacks least."""

    line: int
    """Number of the line on its spread, from 1."""
    axis: Literal["wide", "high"]
    """`wide` or `high`."""
    found_mm: float
    """Room there is."""
    wanted_mm: float
    """Room the line's best-fitting bubble needs there."""
    between: tuple[Obstacle, Obstacle]
    """What the room lies between."""

    @property
    def missing_mm(self) -> float:
        """Room that is missing; 0 when the line fits and only its order or its tail is in the way."""
        return max(self.wanted_mm - self.found_mm, 0.0)

    def __str__(self) -> str:
        if not self.missing_mm:
            return f"line {self.line} has room only where its order or its tail would be wrong"
        first, second = (obstacle.name for obstacle in self.between)
        if first == second:
            return f"line {self.line} finds no room beside {first}"
        return (
            f"line {self.line} finds {self.found_mm:.0f} mm between {first} and {second}, "
            f"{self.axis}, and needs {self.wanted_mm:.0f} mm"
        )

    @property
    def advice(self) -> str:
        """What would make room: a figure moved by so many mm or drawn smaller, or the line split."""
        if self.missing_mm and self.between[0] == self.between[1]:
            return f"draw {self.between[0].name} smaller, round what must stay visible"
        ways = zip(self.between, _APART[self.axis], strict=True)
        far = math.ceil(self.missing_mm)
        moves = [f"move {o.name} {far} mm {way}" for o, way in ways if far and o.kind in (FIGURE, CLEAR)]
        return ", or ".join([*moves, f"split line {self.line} into two bubbles"])


def rooms(area: Rect, obstacles: Sequence[Obstacle]) -> Iterator[Room]:
    """Yield every upright place in `area` that no obstacle enters and that cannot be made larger.

    By trying all pairs of left and right ends that obstacles offer: some hundreds on a spread.
    """
    frame = {side: Obstacle(FRAME, name, area) for side, name in _EDGES.items()}
    inside = [o for o in obstacles if o.rect.overlaps(area)]
    lefts = [(area.x0, frame["left"]), *((o.rect.x1, o) for o in inside if area.x0 < o.rect.x1 < area.x1)]
    rights = [(area.x1, frame["right"]), *((o.rect.x0, o) for o in inside if area.x0 < o.rect.x0 < area.x1)]
    for (x0, left), (x1, right) in product(lefts, rights):
        if x0 < x1:
            yield from _between(x0, left, x1, right, area, inside, frame)


def _between(
    x0: float,
    left: Obstacle,
    x1: float,
    right: Obstacle,
    area: Rect,
    obstacles: Sequence[Obstacle],
    frame: dict[str, Obstacle],
) -> Iterator[Room]:
    """Yield the places from `x0` to `x1`, from each obstacle in the strip down to the next."""
    within = sorted((o for o in obstacles if o.rect.x0 < x1 and x0 < o.rect.x1), key=lambda o: o.rect.y0)
    y0, top = area.y0, frame["top"]
    for bottom in (*within, frame["bottom"]):
        y1 = area.y1 if bottom is frame["bottom"] else min(bottom.rect.y0, area.y1)
        if y1 > y0 and _reached(left, y0, y1) and _reached(right, y0, y1):
            yield Room(Rect(x0, y0, x1, y1), (left, top, right, bottom))
        if bottom is not frame["bottom"] and bottom.rect.y1 > y0:
            y0, top = bottom.rect.y1, bottom


def _reached(side: Obstacle, y0: float, y1: float) -> bool:
    """Tell whether an obstacle at the side really stops a place between two heights."""
    return side.kind == FRAME or (side.rect.y0 < y1 and y0 < side.rect.y1)


def shortages(
    spread: SpreadToPlace, chosen: Sequence[Candidates], broken: Iterable[Broken]
) -> tuple[Shortage, ...]:
    """Return for each line that breaks a rule how near it comes to having room, by number of the line.

    `chosen` holds one candidate a line, in speaking order. The other bubbles stay where they are. A line that
    the illustrator holds is hers to move; one that only stays is told of.
    """
    concerned = sorted({number for one in broken for number in one.lines[-1:]})
    return tuple(
        _shortage(spread, chosen, index)
        for index, one in enumerate(chosen)
        if one.line.line in concerned and not _held(one.line)
    )


def _held(line: LineToPlace) -> bool:
    """Tell whether a line may not move at all, rather than stays where it was."""
    return line.held is not None and (line.former is None or line.former.held)


def _shortage(spread: SpreadToPlace, chosen: Sequence[Candidates], index: int) -> Shortage:
    line = chosen[index].line
    sizes = [tuple((shape.body.max(axis=0) - shape.body.min(axis=0)).tolist()) for shape in line.shapes]
    obstacles = list(_obstacles(spread, chosen, index))
    best: Shortage | None = None
    for room, (width, height) in product(rooms(spread.frame.safe, obstacles), sizes):
        short_x, short_y = width - room.rect.width, height - room.rect.height
        wide = short_x >= short_y
        found = Shortage(
            line=line.line,
            axis="wide" if wide else "high",
            found_mm=room.rect.width if wide else room.rect.height,
            wanted_mm=width if wide else height,
            between=(room.beside[0], room.beside[2]) if wide else (room.beside[1], room.beside[3]),
        )
        if best is None or found.missing_mm < best.missing_mm:
            best = found
    return best or _full(spread, line, min(height for _, height in sizes), obstacles)


def _full(
    spread: SpreadToPlace, line: LineToPlace, height_mm: float, obstacles: Iterable[Obstacle]
) -> Shortage:
    """Return that `line` finds no room at all, beside what fills most of the safe area."""
    most = max(obstacles, key=lambda obstacle: _shared(obstacle.rect, spread.frame.safe))
    return Shortage(line=line.line, axis="high", found_mm=0.0, wanted_mm=height_mm, between=(most, most))


def _shared(a: Rect, b: Rect) -> float:
    """Return the area that two rectangles share, mm²."""
    width, height = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
    return max(width, 0.0) * max(height, 0.0)


def _obstacles(spread: SpreadToPlace, chosen: Sequence[Candidates], index: int) -> Iterator[Obstacle]:
    for who, rect in spread.figures:
        yield Obstacle(FIGURE, f"{who}'s box", rect.inset(-LINE_MM))
    for rect in spread.keep_clear:
        name = f"the place to keep clear at {rect.x0:g}, {rect.y0:g} mm"
        yield Obstacle(CLEAR, name, rect.inset(-LINE_MM))
    if spread.frame.gutter is not None:
        yield Obstacle(FRAME, FOLD, spread.frame.gutter)
    for other, one in enumerate(chosen):
        if other != index:
            x0, y0, x1, y1 = one.box[0].tolist()
            yield Obstacle(LINE, f"line {one.line.line}", Rect(x0, y0, x1, y1).inset(-BETWEEN_MM))
