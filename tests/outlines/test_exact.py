"""Shapes of known equation, rasterised by exact areas: what is traced is the equation again.

Without noise all that is left is the tracer's own error. Limits are two to four times what was measured.
"""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.outlines.trace import trace
from tests.outlines import exact
from tests.outlines.scanned import coverage_of
from tests.outlines.test_trace import kinks

SIZE = 64
X, Y, RADIUS = 32.2, 31.6, 20.0
SQUARE = np.array([(17.2, 16.7), (47.2, 16.7), (47.2, 46.7), (17.2, 46.7)])
WEDGE = exact.wedge(12.3, 32.2, 30.0, 39.7)
_U = np.polynomial.Polynomial([-1.6, 0.05])
CUBIC = 30 + 9 * _U**3 - 7 * _U
"""y of x, both px: a wave with two turns across the picture."""
LEFT, RIGHT, BOTTOM = 10.0, 54.0, 54.0


def traced(fine: NDArray[np.float64]) -> Contour:
    """Return the one outline of a shape that was seen without noise."""
    (outline,) = trace(exact.seen(fine).astype(np.float32), noise=0.0)
    return outline


def test_exact_areas_add_up_to_the_closed_forms() -> None:
    """Disc, square, wedge and what lies under a cubic have their areas to the last digits."""
    whole = CUBIC.integ()
    under = BOTTOM * (RIGHT - LEFT) - (whole(RIGHT) - whole(LEFT))
    for fine, area in (
        (exact.circle(X, Y, RADIUS, SIZE), math.pi * RADIUS**2),
        (exact.polygon(SQUARE, SIZE), 900.0),
        (exact.polygon(WEDGE, SIZE), 39.7**2 * math.tan(math.radians(15))),
        (exact.under(CUBIC, LEFT, RIGHT, BOTTOM, SIZE), under),
    ):
        assert fine.sum() / exact.FINER**2 == pytest.approx(area, rel=1e-10)
        assert fine.min() > -1e-9
        assert fine.max() < 1 + 1e-9


def test_exact_areas_agree_with_counting_points() -> None:
    """Each pixel is within what 64 points a pixel can tell of the covered share: half a point's row."""
    disc = coverage_of(lambda x, y: (x - X) ** 2 + (y - Y) ** 2 < RADIUS**2, SIZE)
    under = coverage_of(lambda x, y: (y > CUBIC(x)) & (y < BOTTOM) & (x > LEFT) & (x < RIGHT), SIZE)

    assert np.abs(exact.seen(exact.circle(X, Y, RADIUS, SIZE)) - disc).max() < 1 / 32
    assert np.abs(exact.seen(exact.under(CUBIC, LEFT, RIGHT, BOTTOM, SIZE)) - under).max() < 1 / 16


@pytest.mark.parametrize("radius", [4.0, RADIUS])
def test_a_circle_comes_back(radius: float) -> None:
    """Radius and place to a thousandth of a px, no bias, no kink; a small one as well as a large one."""
    outline = traced(exact.circle(X, Y, radius, SIZE))

    points = outline.flattened(0.0005)
    off = np.hypot(points[:, 0] - X, points[:, 1] - Y) - radius
    assert abs(off.mean()) < 0.001
    assert np.abs(off).max() < 0.003
    assert outline.area == pytest.approx(math.pi * radius**2, abs=0.002 * 2 * math.pi * radius)
    assert np.abs(kinks(outline)).max() < 1e-6


def test_a_square_comes_back() -> None:
    """Four corners at their places within a hundredth of a px, right angles to a degree."""
    outline = traced(exact.polygon(SQUARE, SIZE))

    sharp = np.abs(kinks(outline)) > 45
    found = outline.pieces[sharp, 0]
    assert sharp.sum() == 4
    assert np.linalg.norm(found[:, None] - SQUARE, axis=2).min(axis=0).max() < 0.015
    assert np.abs(np.abs(kinks(outline)[sharp]) - 90).max() < 1.0
    assert outline.area == pytest.approx(900, abs=0.02)


def test_a_wedge_of_thirty_degrees_comes_back() -> None:
    """Its point, drawn back by blur by more than a px, lies within a hundredth, its angle half a degree."""
    outline = traced(exact.polygon(WEDGE, SIZE))

    tip = int(np.argmin(outline.pieces[:, 0, 0]))
    assert np.linalg.norm(outline.pieces[tip, 0] - WEDGE[0]) < 0.01
    assert 180 - abs(kinks(outline)[tip]) == pytest.approx(30, abs=0.5)
    assert outline.area == pytest.approx(39.7**2 * math.tan(math.radians(15)), abs=0.02)


def test_a_cubic_comes_back() -> None:
    """The edge lies on its equation within a hundredth of a px everywhere and has no bias."""
    outline = traced(exact.under(CUBIC, LEFT, RIGHT, BOTTOM, SIZE))

    points = outline.flattened(0.0005)
    edge = points[(points[:, 0] > LEFT + 2) & (points[:, 0] < RIGHT - 2) & (points[:, 1] < BOTTOM - 6)]
    off = (edge[:, 1] - CUBIC(edge[:, 0])) / np.hypot(1, CUBIC.deriv()(edge[:, 0]))
    assert len(edge) > 40
    assert np.abs(off).max() < 0.01
    assert abs(off.mean()) < 0.001
