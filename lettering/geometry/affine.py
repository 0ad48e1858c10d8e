"""A map of the plane that keeps straight lines straight and parallels parallel."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.point import Point, Vector


@dataclass(frozen=True, slots=True)
class Affine:
    """The map (x, y) -> (a x + c y + e, b x + d y + f), in the order SVG writes a matrix."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @classmethod
    def translation(cls, step: Vector) -> "Affine":
        """Return the map that displaces by `step`."""
        return cls(e=step.x, f=step.y)

    @classmethod
    def scaling(cls, x: float, y: float) -> "Affine":
        """Return the map that multiplies x and y about the origin."""
        return cls(a=x, d=y)

    @classmethod
    def rotation(cls, radians: float) -> "Affine":
        """Return the map that turns about the origin, from the x axis toward the y axis."""
        cosine, sine = math.cos(radians), math.sin(radians)
        return cls(cosine, sine, -sine, cosine)

    def __matmul__(self, first: "Affine") -> "Affine":
        """Return the map that applies `first`, then this one."""
        return Affine(
            self.a * first.a + self.c * first.b,
            self.b * first.a + self.d * first.b,
            self.a * first.c + self.c * first.d,
            self.b * first.c + self.d * first.d,
            self.a * first.e + self.c * first.f + self.e,
            self.b * first.e + self.d * first.f + self.f,
        )

    @property
    def determinant(self) -> float:
        """Signed factor of areas; negative when the map mirrors."""
        return self.a * self.d - self.b * self.c

    def inverse(self) -> "Affine":
        """Return the map that undoes this one; raises ZeroDivisionError when there is none."""
        k = 1 / self.determinant
        a, b, c, d = self.d * k, -self.b * k, -self.c * k, self.a * k
        return Affine(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))

    def apply(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the images of `points`, an array of any shape (..., 2)."""
        matrix = np.array([[self.a, self.b], [self.c, self.d]])
        moved: NDArray[np.float64] = points @ matrix + (self.e, self.f)
        return moved

    def apply_to(self, point: Point) -> Point:
        """Return the image of one point."""
        return Point(
            self.a * point.x + self.c * point.y + self.e,
            self.b * point.x + self.d * point.y + self.f,
        )
