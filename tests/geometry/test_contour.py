"""Outlines against closed forms: areas, bounds, turning points and how closely a polygon follows."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour, at, extrema_parameters
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect

QUARTER = 4 / 3 * math.tan(math.pi / 8)
"""Handles of the usual four-piece circle, in radii (closed form)."""


def circle(radius: float = 1.0) -> Contour:
    """Return the usual circle of four cubics, within 0.03 % of the radius."""
    angles = np.arange(4) * math.pi / 2
    starts = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    along = np.stack([-np.sin(angles), np.cos(angles)], axis=1) * QUARTER
    arrive = np.roll(starts - along, -1, axis=0)
    return Contour(np.stack([starts, starts + along, arrive], axis=1) * radius)


coordinates = st.floats(-50, 50)
loops = st.integers(1, 5).flatmap(
    lambda n: st.lists(coordinates, min_size=6 * n, max_size=6 * n).map(
        lambda v: Contour(np.array(v).reshape(-1, 3, 2))
    )
)


def test_the_area_of_straight_sides_is_the_shoelace_formula() -> None:
    """A right triangle of legs 3 and 4 has area 6, negative when it runs the other way."""
    triangle = Contour.polygon(np.array([(0.0, 0.0), (3.0, 0.0), (0.0, 4.0)]))

    assert triangle.area == pytest.approx(6)
    assert triangle.reversed().area == pytest.approx(-6)


def test_the_area_of_a_round_is_that_of_its_cubics() -> None:
    """Four cubics with handles k enclose 4 (1/2 + 3k/5 - 3k^2/20), within 0.03 % of pi."""
    assert circle().area == pytest.approx(2 + 2.4 * QUARTER - 0.6 * QUARTER**2, rel=1e-12)
    assert circle().area == pytest.approx(math.pi, rel=3e-4)


@given(loops)
def test_the_exact_area_is_the_limit_of_polygons(loop: Contour) -> None:
    """Green's theorem on the cubics agrees with the shoelace formula on a fine polygon."""
    points = at(np.repeat(loop.pieces, 400, axis=0), np.tile(np.arange(400) / 400, len(loop)))

    x, y = points.T
    shoelace = (x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2
    assert loop.area == pytest.approx(shoelace, abs=0.5)


def test_bounds_are_those_of_the_curve_not_of_its_handles() -> None:
    """The cubic (0,0) (0,1) (1,1) (1,0) rises to 3/4: the Bernstein sum at one half."""
    arch = Contour(np.array([[(0, 0), (0, 1), (1, 1)], [(1, 0), (2 / 3, 0), (1 / 3, 0)]], dtype=float))

    assert arch.bounds == Rect(0, 0, 1, 0.75)


def test_turning_points_are_found_where_the_derivative_vanishes() -> None:
    """For y controls 0, 1, -1, 0 the derivative 3 - 18 t + 18 t^2 vanishes at (3 -+ sqrt 3) / 6."""
    piece = np.array([[(0, 0), (1, 1), (2, -1), (3, 0)]], dtype=float)

    assert extrema_parameters(piece)[0] == pytest.approx([(3 - math.sqrt(3)) / 6, (3 + math.sqrt(3)) / 6])


@given(loops, st.sampled_from([0.5, 0.05, 0.01]))
def test_a_polygon_follows_the_curve_within_the_tolerance(loop: Contour, tolerance: float) -> None:
    """Wang's bound holds: no point of a curve is further than the tolerance from its chords."""
    corners = loop.flattened(tolerance)
    ring = shapely.LineString(np.concatenate([corners, corners[:1]]))
    points = at(np.repeat(loop.pieces, 60, axis=0), np.tile(np.arange(60) / 60, len(loop)))

    assert shapely.distance(shapely.points(points), ring).max() <= tolerance * (1 + 1e-6)


@given(loops, st.lists(st.floats(-3, 3), min_size=6, max_size=6))
def test_an_affine_map_scales_the_area_by_its_determinant(loop: Contour, numbers: list[float]) -> None:
    """The area of the image is the area times the determinant, its sign kept."""
    by = Affine(*numbers)

    scale = 1 + abs(loop.area) * max(1.0, *(abs(n) for n in numbers)) ** 2
    assert loop.transformed(by).area == pytest.approx(by.determinant * loop.area, abs=1e-9 * scale + 1e-6)


def test_equal_outlines_are_equal_and_stay_so() -> None:
    """Two outlines of the same numbers are equal and hash alike, and their numbers cannot be changed."""
    assert circle() == circle()
    assert hash(circle()) == hash(circle())
    assert circle() != circle().moved(Vector(1, 0))
    with pytest.raises(ValueError, match="read-only"):
        circle().knots[0] = 0


def test_an_outline_of_another_shape_is_refused() -> None:
    """Knots that are not (n, 3, 2) are a mistake of the caller."""
    with pytest.raises(ValueError, match="shape"):
        Contour(np.zeros((2, 2)))


def test_straight_pieces_are_told_from_curved_ones() -> None:
    """The sides of a rectangle are straight, those of a circle are not."""
    assert Contour.rectangle(Rect(0, 0, 2, 1)).straight.all()
    assert not circle().straight.any()
