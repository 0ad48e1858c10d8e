"""Reach along a fan of directions, against exact distances between polygons."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lettering.geometry.rect import Rect
from lettering.geometry.support import DIRECTIONS, boxes, clearance, clearances, moved, reach, reach_of


def oval(x: float, y: float, wide: float, high: float) -> np.ndarray:
    """Return corners of an ellipse about (x, y)."""
    turn = np.linspace(0, 2 * np.pi, 96, endpoint=False)
    return np.stack([x + wide * np.cos(turn), y + high * np.sin(turn)], axis=1)


sizes = st.floats(5, 40)
places = st.floats(-90, 90)


@given(places, places, sizes, sizes)
def test_clearance_never_sees_more_than_there_is(x: float, y: float, wide: float, high: float) -> None:
    """Between two ovals it stays below shapely's exact distance, by no more than their roundness explains.

    The gap g that a direction shows obeys g'' + g = -r, r the sum of both radii of curvature (Schneider 2014,
    Convex Bodies, 2.5); so a direction that is off the widest gap by d shows at least
    gap cos d - r (1 - cos d). The corners of an oval leave out up to 0.02 mm of it.
    """
    one, other = oval(0, 0, 30, 18), oval(x, y, wide, high)
    off = math.cos(math.pi / DIRECTIONS)
    flattest = 30**2 / 18 + max(wide, high) ** 2 / min(wide, high)
    exact = shapely.distance(shapely.Polygon(one), shapely.Polygon(other))
    seen = float(clearance(reach(one), reach(other)))

    assert seen <= exact + 1e-9
    if exact > 0:
        assert seen >= off * (exact - 0.04) - flattest * (1 - off)


@given(places, places)
def test_shapes_that_meet_have_no_clearance(x: float, y: float) -> None:
    """Wherever shapely says that two ovals meet, clearance is not positive."""
    one, other = oval(0, 0, 30, 18), oval(x, y, 25, 25)

    if shapely.intersects(shapely.Polygon(one), shapely.Polygon(other)):
        assert clearance(reach(one), reach(other)) <= 0


def test_a_table_of_clearances_agrees_with_pairs() -> None:
    """The table of all pairs holds what each pair gives by itself."""
    random = np.random.default_rng(4)
    first = moved(reach(oval(0, 0, 20, 9)), random.uniform(-80, 80, (5, 2)))
    second = moved(reach(oval(0, 0, 12, 14)), random.uniform(-80, 80, (7, 2)))
    table = clearances(first, second)

    assert table == pytest.approx(clearance(first[:, None], second[None]))


def test_boxes_are_exact() -> None:
    """The box round a rectangle is the rectangle."""
    assert boxes(reach_of(Rect(3, -4, 11, 25))) == pytest.approx([3, -4, 11, 25])
