"""A point, and the vector between two points; the two are different types."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Vector:
    """A displacement in the plane."""

    x: float
    y: float

    def __add__(self, other: "Vector") -> "Vector":
        return Vector(self.x + other.x, self.y + other.y)

    def __sub__(self, other: "Vector") -> "Vector":
        return Vector(self.x - other.x, self.y - other.y)

    def __mul__(self, factor: float) -> "Vector":
        return Vector(self.x * factor, self.y * factor)

    def __neg__(self) -> "Vector":
        return Vector(-self.x, -self.y)

    @property
    def length(self) -> float:
        """Length, in the unit of the coordinates."""
        return math.hypot(self.x, self.y)

    def unit(self) -> "Vector":
        """Return the vector of length 1 in the same direction; raises ZeroDivisionError for none."""
        return self * (1 / self.length)

    def turned(self, radians: float) -> "Vector":
        """Return the vector turned from the x axis toward the y axis."""
        cosine, sine = math.cos(radians), math.sin(radians)
        return Vector(self.x * cosine - self.y * sine, self.x * sine + self.y * cosine)


@dataclass(frozen=True, slots=True)
class Point:
    """A position in the plane."""

    x: float
    y: float

    def __add__(self, step: Vector) -> "Point":
        return Point(self.x + step.x, self.y + step.y)

    def __sub__(self, other: "Point") -> Vector:
        return Vector(self.x - other.x, self.y - other.y)

    def toward(self, other: "Point", share: float) -> "Point":
        """Return the point `share` of the way to `other` (0 is here, 1 is there)."""
        return self + (other - self) * share
