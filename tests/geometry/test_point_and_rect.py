"""Points, vectors and upright rectangles against elementary geometry."""

import math

import pytest

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline, on_page
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect


def test_points_and_vectors_are_different_things() -> None:
    """A point and a vector of the same numbers are not equal; their sums and differences are typed."""
    assert Point(1, 2) != Vector(1, 2)
    assert Point(4, 6) - Point(1, 2) == Vector(3, 4)
    assert Point(1, 2) + Vector(3, 4) == Point(4, 6)
    assert Point(0, 0).toward(Point(10, 20), 0.25) == Point(2.5, 5)


def test_vectors_measure_and_turn() -> None:
    """3, 4 is 5 long; its unit is 1 long; a quarter turn takes x toward y."""
    assert Vector(3, 4).length == 5
    assert Vector(3, 4).unit().length == pytest.approx(1)
    turned = Vector(1, 0).turned(math.pi / 2)
    assert (turned.x, turned.y) == pytest.approx((0, 1))
    assert -(Vector(1, 2) + Vector(1, 1) - Vector(0, 1)) * 2 == Vector(-4, -4)
    with pytest.raises(ZeroDivisionError):
        Vector(0, 0).unit()


def test_rectangles_know_their_sides_and_neighbours() -> None:
    """Sizes, insets, holding, overlapping and the nearest point of a rectangle."""
    rect = Rect.sized(1, 2, 4, 6)

    assert (rect.width, rect.height, rect.centre) == (4, 6, Point(3, 5))
    assert rect.inset(1) == Rect(2, 3, 4, 7)
    assert rect.contains(rect.inset(0.5))
    assert not rect.overlaps(rect.moved(Vector(4, 0)))
    assert rect.overlaps(rect.moved(Vector(3, 0)))
    assert rect.nearest(Point(9, 5)) == Point(5, 5)
    assert Rect.around([rect, Rect(0, 0, 1, 1)]) == Rect(0, 0, 5, 8)
    with pytest.raises(ValueError, match="no rectangle"):
        Rect.around([])


def test_glyph_space_meets_page_space_with_y_turned_over() -> None:
    """A box of 100 x 200 units above the baseline stands above its origin on the page."""
    glyph = Outline((Contour.rectangle(Rect(0, 0, 100, 200)),))
    path = on_page(glyph, origin=Point(10, 50), mm_per_unit=0.01)

    assert path.bounds == Rect(10, 48, 11, 50)
    assert glyph.bounds == Rect(0, 0, 100, 200)
    assert path.moved(Vector(1, 1)).bounds == Rect(11, 49, 12, 51)
