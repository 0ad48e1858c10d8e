"""The edge of the ink: where coverage passes one half, to a small part of a pixel."""

from dataclasses import dataclass

import numpy as np
from contourpy import LineType, contour_generator
from numpy.typing import NDArray
from scipy import ndimage

from lettering.geometry.contour import Points

STEP = 0.5
"""Distance between points of an edge, px: finer than the blur, so that nothing of it is lost."""

SPECK = 0.08
"""A piece or hole of less area than this share of a square of the stem is no part of the letter."""


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """One closed edge of the ink, in evenly spaced points."""

    points: Points
    """Shape (n, 2), x right and y down, px; the ink lies on the right hand of who walks along (on screen)."""
    step: float
    """Arc length from a point to the next, px."""

    @property
    def length(self) -> float:
        """Arc length of the whole edge, px."""
        return self.step * len(self.points)


NEARBY = 0.25
"""Distance on each side over which the slope of coverage is taken, px: far less than its blur."""


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """A smoothed picture that can be asked for its value and slope anywhere."""

    spline: NDArray[np.float64]
    """Spline coefficients of the smoothed coverage, shape (h, w)."""

    @classmethod
    def of(cls, smooth: NDArray[np.float64]) -> "Field":
        """Return the field of coverage that has been smoothed, shape (h, w)."""
        return cls(np.asarray(ndimage.spline_filter(smooth, order=3)))

    def at(self, points: Points) -> tuple[NDArray[np.float64], Points]:
        """Return values, shape (n,), and gradients, shape (n, 2), at `points`, px."""
        around = np.array([(0, 0), (NEARBY, 0), (-NEARBY, 0), (0, NEARBY), (0, -NEARBY)])
        where = np.concatenate(points[None] + around[:, None] - 0.5).T[::-1]
        seen = ndimage.map_coordinates(self.spline, where, order=3, prefilter=False, mode="nearest")
        value, right, left, below, above = seen.reshape(5, -1)
        return value, np.stack([right - left, below - above], axis=1) / (2 * NEARBY)


def edges_of(coverage: NDArray[np.float64], smoothing: float) -> tuple[Edge, ...]:
    """Return the edges of the ink in `coverage`, shape (h, w), without specks and pin-holes."""
    smooth = ndimage.gaussian_filter(coverage, smoothing, mode="constant", truncate=5)
    lines = contour_generator(z=smooth, line_type=LineType.Separate).lines(0.5)
    rough = [np.asarray(line[:-1]) + 0.5 for line in lines if len(line) > 4]
    field = Field.of(smooth)
    return tuple(_settled(field, line) for line in without_specks(rough))


def without_specks(lines: list[Points], speck: float = SPECK) -> list[Points]:
    """Return the closed polygons that are large enough beside the stem of the largest one."""
    if not lines:
        return []
    areas = np.array([abs(enclosed(line)) for line in lines])
    largest = int(np.argmax(areas))
    stem = 2 * areas[largest] / perimeter(lines[largest])
    return [line for line, area in zip(lines, areas, strict=True) if area >= speck * stem**2]


def enclosed(points: Points) -> float:
    """Return the signed area of a polygon; positive when it turns from x toward y."""
    x, y = (points - points[0]).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def perimeter(points: Points) -> float:
    """Return the length of a closed polygon."""
    return float(np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1).sum())


def _settled(field: Field, line: Points) -> Edge:
    """Space the points evenly and slide each down the slope to where coverage is one half."""
    points = _even(line)
    for _ in range(2):
        value, slope = field.at(points)
        steep = np.maximum((slope**2).sum(axis=1), 1e-3)
        move = slope * ((0.5 - value) / steep)[:, None]
        points = points + np.clip(move, -0.5, 0.5)
    points = _even(points)
    return Edge(points, perimeter(points) / len(points))


def _even(line: Points) -> Points:
    """Return points at equal arc length round a closed polygon."""
    closed = np.concatenate([line, line[:1]])
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    count = max(12, round(along[-1] / STEP))
    at = np.arange(count) * (along[-1] / count)
    return np.stack([np.interp(at, along, closed[:, axis]) for axis in (0, 1)], axis=1)
