"""The calmest outline stays within its band."""

import numpy as np
import pytest

from lettering.bubbles.calm import calmest


@pytest.mark.parametrize("width", [5.0, 40.0, 80.0])
@pytest.mark.parametrize("height", [4.0, 30.0, 60.0])
def test_even_a_plain_block_gets_an_outline_within_its_band(width: float, height: float) -> None:
    """Round a bare rectangle, the hardest ink there is, the outline reaches no further than it may."""
    block = np.array([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
    points = calmest(block, air=4.0).points(np.linspace(0, 2 * np.pi, 500))

    beyond = np.maximum(np.maximum(-points, points - (width, height)), 0)
    assert np.hypot(beyond[:, 0], beyond[:, 1]).max() <= 1.61 * 4.0
