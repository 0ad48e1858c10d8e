"""Heavier letters against exact offsets."""

import math

import numpy as np
import pytest

from lettering.geometry.contour import Contour
from lettering.geometry.heavier import heavier
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region
from tests.typeface_hand import typeface_hand

KAPPA = 4 / 3 * (math.sqrt(2) - 1)
"""Handle of a cubic quarter circle of radius 1."""


def circle(radius: float) -> Contour:
    """Return a circle of four cubic pieces, counter-clockwise with y up."""
    turns = np.arange(4) * math.pi / 2
    out = np.stack([np.cos(turns), np.sin(turns)], axis=1) * radius
    along = np.stack([-np.sin(turns), np.cos(turns)], axis=1) * radius * KAPPA
    return Contour(np.stack([out, out + along, np.roll(out, -1, 0) - np.roll(along, -1, 0)], axis=1))


@pytest.mark.parametrize("by", [5.0, -5.0])
def test_a_circle_stays_a_circle(by: float) -> None:
    """Offsetting a circle gives the circle of the greater (or lesser) radius, by closed form."""
    np.testing.assert_allclose(heavier(circle(100), by).knots, circle(100 + by).knots, atol=1e-9)


def test_a_square_keeps_its_corners() -> None:
    """Offsetting a square gives a square: its corners are mitred."""
    moved = heavier(Contour.rectangle(Rect(0, 0, 10, 10)), 2)

    assert moved == Contour.rectangle(Rect(-2, -2, 12, 12))


def test_holes_shrink() -> None:
    """A hole, which runs the other way, closes up as its outline grows heavier."""
    assert abs(heavier(circle(50).reversed(), 5).area) < abs(circle(50).area)


@pytest.mark.parametrize("name", ["delius", "patrick-hand", "schoolbell"])
@pytest.mark.parametrize("char", "aegsRM&")
def test_letters_against_exact_offsets(name: str, char: str) -> None:
    """A heavier letter covers what an exact offset of its area covers, but for corners (shapely's buffer)."""
    hand = typeface_hand(name)
    contours = hand.takes[char][0].outline.contours
    by = 0.13 * hand.metrics.stem
    made = Region.of_contours([heavier(contour, by) for contour in contours], 0.2)
    exact = Region.of_contours(contours, 0.2).buffered(by)

    assert made.intersection(exact).area / Region.union([made, exact]).area > 0.97
