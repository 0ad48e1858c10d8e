"""The convex hull agrees with shapely's."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lettering.geometry.hull import hull_of

COORDINATES = st.integers(-1000, 1000).map(lambda tenth: tenth / 10)


@given(st.lists(st.tuples(COORDINATES, COORDINATES), min_size=3, max_size=40))
def test_the_hull_is_shapelys(points: list[tuple[float, float]]) -> None:
    """Hull and shapely's hull are the same area, and its corners are some of the points, each once."""
    found = hull_of(np.array(points))
    expected = shapely.convex_hull(shapely.multipoints(points))

    assert {tuple(corner) for corner in found.tolist()} <= set(points)
    assert len({tuple(corner) for corner in found.tolist()}) == len(found)
    if expected.area > 0:
        drawn = shapely.Polygon(found)
        assert drawn.symmetric_difference(expected).area < 1e-9
        assert drawn.exterior.is_ccw  # with y up; with y down the same numbers turn from x toward y


@pytest.mark.parametrize(
    ("points", "corners"),
    [
        ([(1, 2)], [(1, 2)]),
        ([(1, 2), (1, 2)], [(1, 2)]),
        ([(0, 0), (2, 2), (1, 1)], [(0, 0), (2, 2)]),
        ([(0, 0), (2, 0), (2, 2), (0, 2), (1, 1), (1, 0)], [(0, 0), (2, 0), (2, 2), (0, 2)]),
    ],
)
def test_points_without_an_area_have_a_hull_too(
    points: list[tuple[float, float]], corners: list[tuple[float, float]]
) -> None:
    """A point, a line and a square, worked out by hand."""
    assert hull_of(np.array(points, dtype=float)).tolist() == [list(corner) for corner in corners]
