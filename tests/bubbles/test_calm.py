"""The programme behind calm outlines gives the shortest answer, or says that there is none."""

import numpy as np
import pytest

from lettering.bubbles.calm import _least_distance, calmest


def test_the_least_distance_is_that_of_elementary_geometry() -> None:
    """The shortest vector beyond the line x + y = 2 is (1, 1) (Lawson & Hanson's LDP in two dimensions)."""
    assert _least_distance(np.array([[1.0, 1.0]]), np.array([2.0])) == pytest.approx([1, 1])


@pytest.mark.parametrize("gap", [1.0, 1e-3, 1e-9])
def test_contradictions_have_no_answer(gap: float) -> None:
    """Nothing is both above 1 and, by however little, below it; no wild numbers come back instead."""
    asked, bounds = np.array([[1.0, 0.0], [-1.0, 0.0]]), np.array([1.0, gap - 1.0])
    found = _least_distance(asked, bounds)

    assert found is None or (asked @ found - bounds).min() > -1e-6


@pytest.mark.parametrize("width", [5.0, 40.0, 80.0])
@pytest.mark.parametrize("height", [4.0, 30.0, 60.0])
def test_even_a_plain_block_gets_an_outline_within_its_band(width: float, height: float) -> None:
    """Round a bare rectangle, the hardest ink there is, the outline reaches no further than it may."""
    block = np.array([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
    points = calmest(block, air=4.0).points(np.linspace(0, 2 * np.pi, 500))

    beyond = np.maximum(np.maximum(-points, points - (width, height)), 0)
    assert np.hypot(beyond[:, 0], beyond[:, 1]).max() <= 1.61 * 4.0
