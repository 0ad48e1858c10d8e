"""An outline in page space: millimetres, y down."""

from dataclasses import dataclass

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True)
class Path:
    """Closed outlines in millimetres on the page, y down, filled by the non-zero rule."""

    contours: tuple[Contour, ...]
    """Outer outlines and holes; a hole runs against the outline it pierces."""

    @property
    def bounds(self) -> Rect:
        """The least rectangle round the filled shape, mm; raises ValueError for an empty path."""
        return Rect.around(contour.bounds for contour in self.contours)

    def moved(self, step: Vector) -> "Path":
        """Return the path displaced by `step` mm."""
        return Path(tuple(contour.moved(step) for contour in self.contours))

    def transformed(self, by: Affine) -> "Path":
        """Return the image of the path."""
        return Path(tuple(contour.transformed(by) for contour in self.contours))
