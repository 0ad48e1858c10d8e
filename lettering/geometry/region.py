"""Filled areas and what can be asked of them; the only room that knows the polygon library."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from lettering.geometry.affine import Affine
from lettering.geometry.contour import FLATNESS_MM, Contour, Points
from lettering.geometry.path import Path
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect

QUADRANT_SEGMENTS = 16
"""Chords in a quarter circle of a buffered corner: 0.1 % of the radius flat."""


@dataclass(frozen=True, slots=True)
class Region:
    """A filled area of the plane, made of polygons."""

    shape: BaseGeometry

    @classmethod
    def polygon(cls, corners: Points) -> "Region":
        """Return the area inside `corners`, shape (n, 2)."""
        return cls(_solid(corners))

    @classmethod
    def rectangle(cls, rect: Rect) -> "Region":
        """Return the area of a rectangle."""
        return cls(shapely.box(rect.x0, rect.y0, rect.x1, rect.y1))

    @classmethod
    def of_path(cls, path: Path, tolerance: float = FLATNESS_MM) -> "Region":
        """Return the area that a path fills under the non-zero rule, flattened within `tolerance`."""
        return cls.of_contours(path.contours, tolerance)

    @classmethod
    def of_contours(cls, contours: Iterable[Contour], tolerance: float) -> "Region":
        """Return the area inside outer contours less that inside holes (which run against them)."""
        flat = [(contour.area, _solid(contour.flattened(tolerance))) for contour in contours]
        if not flat:
            return cls(shapely.Polygon())
        outward = max(flat, key=lambda pair: abs(pair[0]))[0] > 0
        solid = shapely.union_all([shape for area, shape in flat if (area > 0) == outward])
        holes = shapely.union_all([shape for area, shape in flat if (area > 0) != outward])
        return cls(shapely.difference(solid, holes))

    @classmethod
    def union(cls, regions: Iterable["Region"]) -> "Region":
        """Return the area covered by any of `regions`."""
        return cls(shapely.union_all([region.shape for region in regions]))

    @property
    def is_empty(self) -> bool:
        """Whether there is no area at all."""
        return bool(self.shape.is_empty)

    @property
    def area(self) -> float:
        """Area, in the square of the coordinates' unit."""
        return float(self.shape.area)

    @property
    def perimeter(self) -> float:
        """Length of all boundaries."""
        return float(self.shape.length)

    @property
    def bounds(self) -> Rect:
        """The least rectangle round the area."""
        return Rect(*map(float, self.shape.bounds))

    @property
    def parts(self) -> int:
        """How many separate pieces there are."""
        return int(shapely.get_num_geometries(self.shape)) if not self.is_empty else 0

    def exterior(self) -> Points:
        """Return the outer boundary of the largest piece, shape (n, 2), turning from x toward y.

        Its start is not repeated.
        """
        pieces = shapely.get_parts(self.shape)
        largest = max(pieces, key=lambda piece: float(piece.area)) if len(pieces) > 1 else pieces[0]
        return _turning(shapely.get_exterior_ring(largest), forth=True)

    def rings(self) -> tuple[Points, ...]:
        """Return all boundaries, (n, 2) each: outer ones turning from x toward y, those of holes against."""
        found = []
        for piece in shapely.get_parts(self.shape):
            outer, *holes = shapely.get_rings(piece)
            found += [_turning(outer, forth=True), *(_turning(hole, forth=False) for hole in holes)]
        return tuple(found)

    def buffered(self, distance: float) -> "Region":
        """Return the area within `distance` of this one (or, when negative, deeper than that inside)."""
        return Region(shapely.buffer(self.shape, distance, quad_segs=QUADRANT_SEGMENTS))

    def hull(self) -> "Region":
        """Return the least convex area round this one."""
        return Region(shapely.convex_hull(self.shape))

    def moved(self, step: Vector) -> "Region":
        """Return the area displaced by `step`."""
        return Region(shapely.transform(self.shape, lambda xy: xy + (step.x, step.y)))

    def transformed(self, by: Affine) -> "Region":
        """Return the image of the area."""
        return Region(shapely.transform(self.shape, by.apply))

    def intersection(self, other: "Region") -> "Region":
        """Return the area in both."""
        return Region(shapely.intersection(self.shape, other.shape))

    def difference(self, other: "Region") -> "Region":
        """Return the area here and not in `other`."""
        return Region(shapely.difference(self.shape, other.shape))

    def contains(self, other: "Region") -> bool:
        """Tell whether `other` lies wholly inside, touching allowed."""
        return bool(shapely.covers(self.shape, other.shape))

    def holds(self, point: Point) -> bool:
        """Tell whether `point` lies inside or on the boundary."""
        return bool(shapely.intersects_xy(self.shape, point.x, point.y))

    def overlaps(self, other: "Region") -> bool:
        """Tell whether the two share a point."""
        return bool(shapely.intersects(self.shape, other.shape))

    def distance(self, other: "Region") -> float:
        """Return the least distance between the two, 0 when they touch."""
        return float(shapely.distance(self.shape, other.shape))

    def nearest(self, other: "Region") -> tuple[Point, Point]:
        """Return the points of this and of `other` that lie closest to each other."""
        (ax, ay), (bx, by) = shapely.get_coordinates(shapely.shortest_line(self.shape, other.shape))
        return Point(float(ax), float(ay)), Point(float(bx), float(by))

    def depth_of(self, inner: "Region") -> float:
        """Return the least distance from `inner` to this boundary; negative when it is not wholly inside."""
        apart = float(shapely.distance(shapely.boundary(self.shape), shapely.boundary(inner.shape)))
        if self.contains(inner):
            return apart
        outside = shapely.get_coordinates(shapely.difference(inner.shape, self.shape))
        return -float(shapely.distance(shapely.points(outside), self.shape).max())

    def distance_to(self, point: Point) -> float:
        """Return the distance from `point`, 0 when it lies inside."""
        return float(shapely.distance(self.shape, shapely.Point(point.x, point.y)))


def stacked(regions: Iterable[Region]) -> NDArray[np.object_]:
    """Return the shapes as an array, for questions asked of many at once with the ufuncs below."""
    return np.array([region.shape for region in regions], dtype=object)


def is_simple(corners: Points) -> bool:
    """Tell whether the closed polygon through `corners`, shape (n, 2), nowhere crosses or touches itself."""
    return bool(shapely.is_valid(shapely.Polygon(corners)))


def _turning(ring: BaseGeometry, *, forth: bool) -> Points:
    corners: Points = shapely.get_coordinates(ring)[:-1]
    return corners if bool(shapely.is_ccw(ring)) == forth else corners[::-1]


def _solid(corners: Points) -> BaseGeometry:
    return shapely.make_valid(shapely.Polygon(corners))
