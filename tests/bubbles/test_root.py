"""Roots of tails stand where the outline is calm, on the side of the mouth: bodies of known geometry."""

import numpy as np
import pytest

from lettering.bubbles.root import roots
from lettering.geometry.contour import Points

WIDE, HIGH, CORNER = 70.0, 36.0, 9.0


def rounded_box(steps: int = 24) -> Points:
    """Return a box about the origin, mm, whose corners are quarters of circles."""
    turn = (np.arange(steps) + 0.5) * np.pi / 2 / steps
    quarter = CORNER * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    inner = np.array([WIDE / 2 - CORNER, HIGH / 2 - CORNER])
    corners = []
    for k, signs in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        c, s = ((1, 0), (0, 1), (-1, 0), (0, -1))[k]
        corners.append(quarter @ np.array([[c, s], [-s, c]]) + inner * signs)
    return np.concatenate(corners)


@pytest.mark.parametrize("mouth", [(48.0, 34.0), (-48.0, 34.0), (52.0, 45.0), (-41.0, 26.0), (44.0, -36.0)])
def test_a_root_leaves_a_corner_for_the_side_next_to_it(mouth: tuple[float, float]) -> None:
    """To a mouth beyond a corner the tail springs from a straight side next to it."""
    x, y = roots(rounded_box(), np.array([mouth]))[0][0]

    on_long = abs(abs(y) - HIGH / 2) < 0.05
    on_short = abs(abs(x) - WIDE / 2) < 0.05
    assert on_long != on_short
    assert abs(x) <= WIDE / 2 - CORNER if on_long else abs(y) <= HIGH / 2 - CORNER
    assert x * mouth[0] > 0
    assert y * mouth[1] > 0 or on_short


def test_a_mouth_straight_before_a_side_has_its_root_there() -> None:
    """Below a long side a root follows its mouth; level with the end it stands on the end."""
    mouths = np.array([(0.0, 60.0), (10.0, 60.0), (70.0, 0.0), (-70.0, 0.0)])
    found, out = roots(rounded_box(), mouths)

    assert found == pytest.approx(np.array([(0, 18), (6, 18), (35, 0), (-35, 0)]), abs=1.5)
    assert out == pytest.approx(np.array([(0, 1), (0, 1), (1, 0), (-1, 0)]), abs=0.05)


def test_a_round_is_as_calm_everywhere() -> None:
    """On a circle a root stands where the line from the middle to the mouth leaves it (closed form)."""
    turn = np.arange(360) * np.pi / 180
    circle = 20 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    way = np.linspace(0, 2 * np.pi, 37)
    aim = np.stack([np.cos(way), np.sin(way)], axis=1)

    assert roots(circle, 50 * aim)[0] == pytest.approx(20 * aim, abs=0.01)
