"""Walks along outlines against circles and rectangles."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.geometry.contour import Contour, at
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.geometry.walk import Walk, portion
from tests.geometry.test_contour import circle


def test_a_walk_is_as_long_as_the_outline() -> None:
    """Round a rectangle it is twice both sides, round a circle two pi radii."""
    assert Walk.along(Contour.rectangle(Rect(0, 0, 4, 3))).length == pytest.approx(14)
    assert Walk.along(circle(5)).length == pytest.approx(10 * math.pi, rel=1e-3)


def test_half_way_round_a_circle_is_the_opposite_point() -> None:
    """Half the way from (5, 0) is (-5, 0), heading the other way."""
    walk = Walk.along(circle(5))
    place = walk.place(walk.length / 2)

    assert (walk.point(place).x, walk.point(place).y) == pytest.approx((-5, 0), abs=1e-3)
    assert (walk.tangent(place).x, walk.tangent(place).y) == pytest.approx((0, -1), abs=1e-3)
    assert walk.way(place) == pytest.approx(walk.length / 2)


@given(st.floats(0, 2 * math.pi), st.floats(1, 30))
def test_the_nearest_place_lies_on_the_same_ray(angle: float, away: float) -> None:
    """From any point outside a circle the nearest place is where its ray to the middle crosses.

    The cubic circle's normals stray from the true ones by up to 0.003 radians.
    """
    walk = Walk.along(circle(5))
    near = walk.point(walk.nearest(Point((5 + away) * math.cos(angle), (5 + away) * math.sin(angle))))

    assert (near.x, near.y) == pytest.approx((5 * math.cos(angle), 5 * math.sin(angle)), abs=0.02)


@given(st.floats(0, 3.999), st.floats(0, 3.999))
def test_both_ways_between_two_places_make_up_the_outline(one: float, other: float) -> None:
    """The pieces from one place to another and on to the first again enclose the whole area."""
    walk = Walk.along(circle(5))
    if abs(one - other) < 1e-3:
        return
    pieces = np.concatenate([walk.between(one, other), walk.between(other, one)])

    assert Contour(pieces[:, :3]).area == pytest.approx(walk.contour.area)
    assert pieces[0, 0] == pytest.approx([walk.point(one).x, walk.point(one).y], abs=1e-6)


def test_a_part_of_a_cubic_is_the_same_curve() -> None:
    """De Casteljau: the part from a to b at t is the whole at a + (b - a) t."""
    piece = np.array([(0.0, 0.0), (1.0, 3.0), (4.0, -2.0), (5.0, 1.0)])
    part = portion(piece, 0.2, 0.7)

    for t in (0.0, 0.3, 0.8, 1.0):
        assert at(part[None], np.array([t])) == pytest.approx(at(piece[None], np.array([0.2 + 0.5 * t])))
