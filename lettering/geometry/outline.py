"""An outline in glyph space (font units, y up), and its one way onto the page."""

from dataclasses import dataclass

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True)
class Outline:
    """Closed outlines in font units, y up, the baseline at y = 0.

    Outer outlines run counter-clockwise and holes clockwise, as CFF and UFO have it.
    """

    contours: tuple[Contour, ...]

    @property
    def bounds(self) -> Rect:
        """The least rectangle round the ink, font units (y0 is the lowest); ValueError when empty."""
        return Rect.around(contour.bounds for contour in self.contours)

    def transformed(self, by: Affine) -> "Outline":
        """Return the image of the outline under a map that does not mirror."""
        return Outline(tuple(contour.transformed(by) for contour in self.contours))


def on_page(outline: Outline, *, origin: Point, mm_per_unit: float, turn: float = 0.0) -> Path:
    """Return `outline` on the page: the only place where glyph space meets page space.

    `origin` is where the glyph's (0, 0) comes to lie, mm. `turn` is in radians, positive when the
    letter's right side sinks on the page.
    """
    flip = Affine.scaling(mm_per_unit, -mm_per_unit)
    place = Affine.translation(origin - Point(0, 0)) @ Affine.rotation(turn) @ flip
    # The flip turns every contour round; the non-zero rule does not mind, and neither does SVG.
    return Path(tuple(contour.transformed(place) for contour in outline.contours))
