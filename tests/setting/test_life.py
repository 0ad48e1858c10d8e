"""The swing of a baseline."""

import numpy as np
import pytest

from lettering.setting.life import MOST_DRIFT, WAVES, Swing

WAY = np.linspace(0, 4000, 40_001)


def test_it_swings_as_far_as_the_hand() -> None:
    """Over a long way the standard deviation of the swing is that of the hand, and its mean is nought."""
    rise = Swing("Who left a cello?", 0.022).rise(WAY)

    assert rise.std() == pytest.approx(0.022, rel=0.02)
    assert rise.mean() == pytest.approx(0, abs=0.001)


def test_a_crooked_hand_is_held_back() -> None:
    """However far a hand's letters stray, rows swing no farther than a reader accepts."""
    assert Swing("so", 0.2).rise(WAY).std() == pytest.approx(MOST_DRIFT, rel=0.02)


def test_slope_is_the_derivative() -> None:
    """Letters lean as the baseline rises: the slope is the finite difference of the rise."""
    swing = Swing("so", 0.02)

    np.testing.assert_allclose(np.gradient(swing.rise(WAY), WAY)[1:-1], swing.slope(WAY)[1:-1], atol=1e-5)


def test_it_is_slow() -> None:
    """There is no tremble: nothing swings faster than the shortest wave (Fourier analysis)."""
    power = np.abs(np.fft.rfft(Swing("so", 0.02).rise(WAY) * np.hanning(len(WAY)))) ** 2
    waves = np.fft.rfftfreq(len(WAY), WAY[1] - WAY[0])

    assert power[waves > 1.1 / min(WAVES)].sum() < 1e-6 * power.sum()


def test_words_decide() -> None:
    """The same words swing the same way, other words another way."""
    one, same, other = (Swing(words, 0.02).rise(WAY) for words in ("so", "so", "so!"))

    assert np.array_equal(one, same)
    assert not np.allclose(one, other)


def test_a_ruled_hand_does_not_swing() -> None:
    """A hand without drift stands still."""
    assert not Swing("so", 0.0).rise(WAY).any()
