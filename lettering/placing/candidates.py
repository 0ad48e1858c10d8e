"""Places where one line's bubble might go, as arrays."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.geometry.rect import Rect
from lettering.geometry.support import Reach, boxes, moved, reach
from lettering.placing.placement import LineToPlace, Shape, SpreadToPlace
from lettering.placing.tails import Tails


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidates:
    """Places of one line: n of them, each with a shape, a centre and the tails it would have."""

    line: LineToPlace
    shape: NDArray[np.intp]
    """Index of the shape, (n,)."""
    centre: Points
    """Where the stack's origin lies, (n, 2), mm."""
    body: Reach
    """Reach of the body, (n, directions)."""
    box: NDArray[np.float64]
    """Box round the body, (n, 4): x0, y0, x1, y1, mm."""
    parts: NDArray[np.float64]
    """Boxes round each of the bubbles that meet in it, (parts, n, 4), mm: mostly one, the body itself."""
    tails: tuple[Tails, ...]
    """One for each speaker."""
    tail_hulls: Reach
    """Reach of the area round each tail, (speakers, n, directions)."""

    def __len__(self) -> int:
        return len(self.shape)

    @property
    def middle(self) -> Points:
        """Middle of the box round the body, (n, 2), mm."""
        return (self.box[:, :2] + self.box[:, 2:]) / 2

    def only(self, kept: NDArray[np.intp]) -> "Candidates":
        """Return the candidates at the indices `kept`."""
        return Candidates(
            line=self.line,
            shape=self.shape[kept],
            centre=self.centre[kept],
            body=self.body[kept],
            box=self.box[kept],
            parts=self.parts[:, kept],
            tails=tuple(tail.only(kept) for tail in self.tails),
            tail_hulls=self.tail_hulls[:, kept],
        )


def bodies(line: LineToPlace, shape: NDArray[np.intp], centre: Points) -> Candidates:
    """Return candidates of `line`: shapes (n,) at centres (n, 2), without tails yet."""
    body = moved(np.stack([reach(one.body) for one in line.shapes])[shape], centre)
    return Candidates(
        line=line,
        shape=shape,
        centre=centre,
        body=body,
        box=boxes(body),
        parts=_part_boxes(line)[:, shape] + np.tile(centre, 2),
        tails=(),
        tail_hulls=np.empty((0, *body.shape)),
    )


def _part_boxes(line: LineToPlace) -> NDArray[np.float64]:
    """Return the boxes of the bubbles that meet in each shape, (parts, shapes, 4), mm from its origin."""
    parts = [shape.parts or (shape.body,) for shape in line.shapes]
    return np.array(
        [[(*one.min(axis=0), *one.max(axis=0)) for one in own] for own in zip(*parts, strict=True)]
    )


def grid(spread: SpreadToPlace, line: LineToPlace, step_mm: float) -> tuple[NDArray[np.intp], Points]:
    """Return shapes (n,) and centres (n, 2): every `step_mm`, and flush with what is there."""
    found = [_grid_of(spread, shape, step_mm) for shape in line.shapes]
    which = np.repeat(np.arange(len(found)), [len(centres) for centres in found])
    return which, np.concatenate(found)


def _grid_of(spread: SpreadToPlace, shape: Shape, step: float) -> Points:
    low, high = shape.body.min(axis=0), shape.body.max(axis=0)
    rects = [rect for _, rect in spread.figures] + list(spread.keep_clear)
    xs = _stops(spread.frame.safe.x0, spread.frame.safe.x1, low[0], high[0], step)
    ys = _stops(spread.frame.safe.y0, spread.frame.safe.y1, low[1], high[1], step)
    sides = [(r.x0, r.x1) for r in rects] + [(g.x0, g.x1) for g in [spread.frame.gutter] if g]
    xs = np.union1d(xs, _flush(sides, low[0], high[0], xs[0], xs[-1]))
    ys = np.union1d(ys, _flush([(r.y0, r.y1) for r in rects], low[1], high[1], ys[0], ys[-1]))
    return np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)


CLEAR_MM = 2.2
"""Bubbles tried flush with something stand this far from it: clear of a tangent."""

DIGITS = 2
"""Places tried are whole hundredths of a millimetre, as placements are kept: one that is clear stays so."""

MOST_STOPS = 80
"""Most stops along one side, however large the page."""


def _stops(first: float, last: float, low: float, high: float, step: float) -> NDArray[np.float64]:
    """Return coordinates of the origin from end to end of the safe area; its middle if it is too small."""
    # Inward, so that none lies outside by the rounding; 1e-6 of slack for what is whole already.
    start, end = (np.ceil((first - low) * 10**DIGITS - 1e-6), np.floor((last - high) * 10**DIGITS + 1e-6))
    start, end = start / 10**DIGITS, end / 10**DIGITS
    if end <= start:
        return np.array([(start + end) / 2]).round(DIGITS)
    return np.linspace(start, end, int(min(np.ceil((end - start) / step) + 1, MOST_STOPS))).round(DIGITS)


def _flush(
    sides: list[tuple[float, float]], low: float, high: float, least: float, most: float
) -> NDArray[np.float64]:
    """Return coordinates where a body ends just before, or begins just after, each pair of sides."""
    stops = [at for a, b in sides for at in (a - CLEAR_MM - high, b + CLEAR_MM - low)]
    return np.array(sorted({round(at, DIGITS) for at in stops if least < at < most}))


def around(rect: Rect, step: float) -> Points:
    """Return points (n, 2) of a grid over `rect`, mm."""
    xs = np.arange(rect.x0, rect.x1 + step / 2, step)
    ys = np.arange(rect.y0, rect.y1 + step / 2, step)
    return np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2).round(DIGITS)
