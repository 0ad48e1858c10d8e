"""The burst of a shout never crosses itself, and its spikes are no needles."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lettering.bubbles import burst as burst_module
from lettering.bubbles.burst import LEAST_POINT, burst
from lettering.bubbles.chance import Chance
from lettering.geometry.contour import Contour

AIR = 4.0
QUARTER = 4 / 3 * (math.sqrt(2) - 1)
"""Handles of a quarter circle, in radii: the usual approximation, within 0.03 %."""


def ellipse(half_width: float, half_height: float) -> Contour:
    """Return an ellipse as four cubics, turning from x toward y, mm."""
    corners = np.array([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)])
    onward = np.roll(corners, -1, axis=0)
    knots = np.stack([corners, corners + onward * QUARTER, onward + corners * QUARTER], axis=1)
    return Contour(knots * np.array([half_width, half_height]))


def polygon(outline: Contour) -> shapely.Polygon:
    """Return a fine polygon of an outline."""
    return shapely.Polygon(outline.flattened(0.002))


@st.composite
def cores(draw: st.DrawFn) -> Contour:
    """Draw ellipses, lying and standing, that turn with no radius below the air, as bodies do."""
    short = draw(st.floats(AIR, 40))
    # The least radius of curvature of an ellipse is short² / long.
    halves = short, draw(st.floats(short, short**2 / AIR))
    return ellipse(*draw(st.permutations(halves)))


@given(cores(), st.text(max_size=8))
def test_a_shout_never_crosses_itself(core: Contour, seed: str) -> None:
    """However narrow, tiny or long the core is, the burst round it is simple and holds the core's middle."""
    outline = polygon(burst(core, AIR, Chance(seed)))

    assert outline.is_valid
    assert outline.contains(shapely.Point(0, 0))


@given(cores(), st.text(max_size=8))
def test_no_spike_is_a_needle(core: Contour, seed: str) -> None:
    """The two sides of a spike leave its point at the least angle or more."""
    pieces = burst(core, AIR, Chance(seed)).pieces

    leaving, arriving = pieces[:, 1] - pieces[:, 0], np.roll(pieces[:, 2] - pieces[:, 3], 1, axis=0)
    lengths = np.linalg.norm(leaving, axis=1) * np.linalg.norm(arriving, axis=1)
    between = np.arccos((leaving * arriving).sum(axis=1) / lengths)
    assert between.min() >= LEAST_POINT - 1e-9


def test_without_a_least_angle_spikes_cross(monkeypatch: pytest.MonkeyPatch) -> None:
    """The check finds what it is for: needles on a narrow core cross near their points."""
    monkeypatch.setattr(burst_module, "LEAST_POINT", -math.pi)

    assert not polygon(burst(ellipse(10, 25), AIR, Chance("1"))).is_valid
