"""An upright rectangle."""

from collections.abc import Iterable
from dataclasses import dataclass

from lettering.geometry.point import Point, Vector


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle with x0 <= x1 and y0 <= y1."""

    x0: float
    y0: float
    x1: float
    y1: float

    @classmethod
    def sized(cls, x: float, y: float, width: float, height: float) -> "Rect":
        """Return the rectangle with its first corner at (x, y)."""
        return cls(x, y, x + width, y + height)

    @classmethod
    def around(cls, rects: Iterable["Rect"]) -> "Rect":
        """Return the least rectangle that holds all of `rects`; raises ValueError for none."""
        held = tuple(rects)
        if not held:
            raise ValueError("no rectangle to go around")
        return cls(
            min(r.x0 for r in held),
            min(r.y0 for r in held),
            max(r.x1 for r in held),
            max(r.y1 for r in held),
        )

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.y1 - self.y0

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def moved(self, step: Vector) -> "Rect":
        """Return the rectangle displaced by `step`."""
        return Rect(self.x0 + step.x, self.y0 + step.y, self.x1 + step.x, self.y1 + step.y)

    def inset(self, margin: float) -> "Rect":
        """Return the rectangle with every side moved inward by `margin` (outward when negative)."""
        return Rect(self.x0 + margin, self.y0 + margin, self.x1 - margin, self.y1 - margin)

    def contains(self, other: "Rect") -> bool:
        """Tell whether `other` lies inside, touching allowed."""
        return self.x0 <= other.x0 and self.y0 <= other.y0 and other.x1 <= self.x1 and other.y1 <= self.y1

    def overlaps(self, other: "Rect") -> bool:
        """Tell whether the two share more than an edge."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1

    def nearest(self, point: Point) -> Point:
        """Return the point of the rectangle closest to `point`."""
        return Point(min(max(point.x, self.x0), self.x1), min(max(point.y, self.y0), self.y1))
