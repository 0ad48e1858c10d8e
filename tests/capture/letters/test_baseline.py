"""Baselines against lines and waves of known equation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.capture.letters.baseline import fit_baseline


@given(st.floats(-0.2, 0.2), st.floats(-500, 500), st.integers(0, 1000))
def test_a_straight_row_gives_its_own_line(slope: float, level: float, seed: int) -> None:
    """Feet on a straight line give that line and its slope (closed form)."""
    x = np.sort(np.random.default_rng(seed).uniform(0, 1500, 25))
    line = fit_baseline(x, slope * x + level, reach=300)
    for place in (-50.0, 400.0, 1700.0):
        assert line.at(place) == pytest.approx(slope * place + level, abs=1e-6)
        assert line.slope(place) == pytest.approx(slope, abs=1e-9)


def test_descenders_among_the_feet_are_set_aside() -> None:
    """A few feet far below the line do not pull it down."""
    x = np.linspace(0, 1500, 30)
    y = np.where(np.arange(30) % 7 == 3, 40.0, 0.0)
    line = fit_baseline(x, y, reach=300)

    assert max(abs(line.at(place)) for place in x) < 0.5


def test_a_slow_wave_is_followed() -> None:
    """A row that swings once over its length is followed within a tenth of its swing."""
    x = np.linspace(0, 3000, 60)
    line = fit_baseline(x, 10 * np.sin(2 * np.pi * x / 3000), reach=250)

    assert max(abs(line.at(place) - 10 * np.sin(2 * np.pi * place / 3000)) for place in x) < 1.5
