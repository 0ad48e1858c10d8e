"""The way from traced pixels to glyph space."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.geometry.contour import Contour, extrema_parameters
from lettering.outlines.glyph_space import LEAST_PIECE, glyph_outline, smooth_joins, with_extrema

KAPPA = 0.5522847498
"""Handle of a quarter circle, 4 (sqrt 2 - 1) / 3 of the radius."""


def circle(radius: float, x: float, y: float, turned: float = 0.0) -> Contour:
    """Return a circle of four pieces that turns from x toward y, its nodes turned by `turned` radians."""
    angles = turned + np.arange(4) * np.pi / 2
    at = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    on = np.stack([-np.sin(angles), np.cos(angles)], axis=1)
    ends = np.roll(at, -1, axis=0)
    back = ends - KAPPA * np.roll(on, -1, axis=0)
    return Contour(np.stack([at, at + KAPPA * on, back], axis=1) * radius + (x, y))


def test_the_baseline_comes_to_lie_at_zero_and_y_points_up() -> None:
    """A square that stands on the baseline stands on y = 0, its left side at its distance."""
    square = Contour.polygon(np.array([(10, 20), (30, 20), (30, 60), (10, 60)], dtype=float))

    bounds = glyph_outline([square], units_per_px=10, baseline=60, origin=5).bounds

    assert (bounds.x0, bounds.y0, bounds.x1, bounds.y1) == pytest.approx((50, 0, 250, 400))


def test_outer_outlines_run_counter_clockwise_and_holes_clockwise() -> None:
    """CFF and UFO want outer outlines of positive area with y up, holes of negative."""
    outer, hole = circle(20, 40, 40), circle(10, 40, 40).reversed()

    outline = glyph_outline([outer, hole], units_per_px=8, baseline=60)

    assert [contour.area > 0 for contour in outline.contours] == [True, False]


def test_a_sloping_baseline_is_levelled() -> None:
    """The points of a baseline that falls to the right all come to y = 0."""
    slope = math.tan(0.1)
    along = Contour.polygon(np.array([(5, 50), (45, 50 + 40 * slope), (45, 20 + 40 * slope), (5, 20)]))

    outline = glyph_outline([along], units_per_px=1, baseline=50, slope=slope, origin=5)

    heights = outline.contours[0].knots[:, 0, 1]
    assert np.sort(np.abs(heights))[:2] == pytest.approx([0, 0], abs=1e-9)


@given(turned=st.floats(0, math.pi / 2), radius=st.floats(60, 400))
def test_extrema_lie_on_the_curve_and_the_shape_stays(turned: float, radius: float) -> None:
    """After the division no piece turns back by a visible amount, and the area is the circle's own.

    An extremum that is left lies within `LEAST_PIECE` of a node, so the handle there, `KAPPA` of a radius
    long, reaches past it by less than `KAPPA * LEAST_PIECE`; the curve itself by far less.
    """
    before = circle(radius, 0, 0, turned)

    after = with_extrema(before)

    p = after.pieces
    low, high = np.minimum(p[:, 0], p[:, 3]), np.maximum(p[:, 0], p[:, 3])
    over = np.maximum(low[:, None] - p, p - high[:, None]).max()
    assert over < KAPPA * LEAST_PIECE
    assert after.area == pytest.approx(before.area, rel=0.004)
    assert smooth_joins(after).all()


def test_extrema_of_a_turned_circle_are_found() -> None:
    """A circle of radius 200 whose nodes lie askew gets nodes at its four extrema."""
    after = with_extrema(circle(200, 0, 0, 0.6))

    places = after.knots[:, 0]
    for wanted in ((200, 0), (0, 200), (-200, 0), (0, -200)):
        assert np.hypot(*(places - wanted).T).min() < 0.5
    assert all(len(t) == 0 for t in extrema_parameters(after.pieces))
