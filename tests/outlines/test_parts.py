"""Which parts of the ink become outlines, and how they reach glyph space."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, extrema_parameters
from lettering.geometry.contour import at as on_curve
from lettering.outlines.glyph_space import glyph_outline
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scanner, scans
from tests.outlines.test_trace import NOISE, noisy


def test_a_ring_has_a_hole_that_runs_the_other_way() -> None:
    """A ring gives an outer outline and a hole against it, with the right areas."""
    ring = noisy(lambda x, y: abs(np.hypot(x - 32, y - 32) - 15) < 4)

    outer, hole = sorted(trace(ring, noise=NOISE), key=lambda c: -c.area)

    assert outer.area == pytest.approx(math.pi * 19**2, rel=0.005)
    assert hole.area == pytest.approx(-math.pi * 11**2, rel=0.01)


def test_two_pieces_stay_two() -> None:
    """The dot of an i is its own outline."""

    def letter(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        return np.asarray(((abs(x - 32) < 4) & (abs(y - 42) < 14)) | (np.hypot(x - 32, y - 18) < 5))

    assert len(trace(noisy(letter), noise=NOISE)) == 2


def test_the_hairs_of_a_dry_brush_are_kept() -> None:
    """A stroke that ends in three hairs with two px of paper between keeps both gaps to their ends."""

    def brush(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        hair = (abs(x - 25) < 3) | (abs(x - 33) < 3) | (abs(x - 41) < 3)
        return np.asarray((abs(x - 33) < 11) & (y > 8) & (y < 56) & (hair | (y < 30)))

    (outline,) = trace(noisy(brush), noise=NOISE)

    assert outline.area == pytest.approx(22 * 22 + 18 * 26, rel=0.01)
    points = outline.flattened(0.01)
    points = points[points[:, 1] > 20]
    for gap in (29.0, 37.0):
        assert points[np.abs(points[:, 0] - gap) < 0.5, 1].min() == pytest.approx(30, abs=0.5)


def test_specks_and_pin_holes_are_no_part_of_the_letter() -> None:
    """A speck beside a stroke and a pin-hole in it, small beside the stem, leave no outline."""

    def letter(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        stroke = (abs(x - 32) < 6) & (abs(y - 32) < 20) & (np.hypot(x - 32, y - 30) > 1.0)
        return np.asarray(stroke | (np.hypot(x - 50, y - 20) < 1.2))

    assert len(trace(noisy(letter), noise=NOISE)) == 1


@pytest.mark.parametrize(("half_stem", "parts"), [(2.0, 2), (9.0, 1)])
def test_a_dot_is_judged_against_the_stem(half_stem: float, parts: int) -> None:
    """A dot 3.6 px across belongs to a stroke of 4 px, and is a speck beside one of 18."""

    def letter(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        return np.asarray(((abs(x - 26) < half_stem) & (abs(y - 32) < 24)) | (np.hypot(x - 52, y - 20) < 1.8))

    assert len(trace(noisy(letter), noise=NOISE)) == parts


@pytest.mark.parametrize(("half_stem", "outlines"), [(4.0, 2), (14.0, 1)])
def test_a_hole_is_judged_against_the_stem(half_stem: float, outlines: int) -> None:
    """A hole 5 px across is a counter in a stroke of 8 px, and a gap in the ink of one of 28."""

    def letter(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        ink = (abs(x - 32) < half_stem) & (abs(y - 32) < 24) & (np.hypot(x - 32, y - 30) > 2.5)
        return np.asarray(ink)

    assert len(trace(noisy(letter), noise=NOISE)) == outlines


def test_strokes_that_cross_are_one_outline_with_their_counter() -> None:
    """Two upright and two level strokes laid over each other: one outline, one hole, the area of both."""

    def letter(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        upright, level = abs(abs(x - 32) - 8) < 2.5, abs(abs(y - 32) - 8) < 2.5
        return np.asarray((upright & (abs(y - 32) < 20)) | (level & (abs(x - 32) < 20)))

    outer, hole = sorted(trace(noisy(letter), noise=NOISE), key=lambda contour: -contour.area)

    assert hole.area == pytest.approx(-11 * 11, abs=1.5)
    assert outer.area + hole.area == pytest.approx(4 * 40 * 5 - 4 * 25, rel=0.005)


@pytest.mark.parametrize("char", "aegS")
def test_traced_letters_turn_back_only_at_their_nodes(char: str) -> None:
    """In glyph space no piece passes its own ends by what can be seen: two of 1000 units (UFO and CFF)."""
    (scan,) = scans("delius", Scanner(ppi=300), char)

    outline = glyph_outline(trace(scan.coverage, noise=NOISE), units_per_px=6, baseline=100)

    assert max(map(_overshoot, outline.contours)) < 2.0


def _overshoot(contour: Contour) -> float:
    """Return how far a piece passes the box of its ends, at most."""
    farthest = 0.0
    for piece, parameters in zip(contour.pieces, extrema_parameters(contour.pieces), strict=True):
        low, high = np.minimum(piece[0], piece[3]), np.maximum(piece[0], piece[3])
        for t in parameters:
            place = on_curve(piece[None], np.array([t]))[0]
            farthest = max(farthest, float(np.maximum(low - place, place - high).max()))
    return farthest
