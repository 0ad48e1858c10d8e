"""The edges of hard shadows that cross letters, against exact coverage in linear light."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from lettering.capture.box import Box
from lettering.capture.ink.ink import find_ink
from lettering.capture.light import encoded
from lettering.capture.page import PageImage
from tests.capture.test_any_paper import lettered

PAPER, INK, LENS_PX = 0.8, 0.03, 0.8


@pytest.mark.parametrize(("left", "wide"), [(0.45, 2), (0.45, 6), (0.3, 12)])
def test_a_shadow_s_edge_is_no_ink(left: float, wide: float) -> None:
    """Where a shadow's edge crosses letters, coverage is theirs alone (the exact area, by FreeType)."""
    sim = lettered()
    height, width = sim.coverage.shape
    down, across = np.indices((height, width))
    away = (across + 0.8 * down - 0.75 * width) / np.hypot(1, 0.8)
    light = left + (1 - left) * np.clip(away / wide + 0.5, 0, 1)
    seen = gaussian_filter((PAPER + (INK - PAPER) * sim.coverage) * light, LENS_PX)
    seen += np.random.default_rng(1).normal(0, 0.004, seen.shape)
    pixels = np.asarray(encoded(np.clip(seen, 0, 1).astype(np.float32)) >> 8, dtype=np.uint8)
    ink = find_ink(PageImage(name="page.png", pixels=pixels, ppi=300))
    true = gaussian_filter(sim.coverage, LENS_PX)
    off = np.abs(ink.coverage(Box(0, 0, height, width)) - true)
    near, paper, edge = np.abs(away) < 12, true < 0.02, (true > 0.05) & (true < 0.95)

    assert off[near & paper].mean() < 0.04
    assert off[near & edge].mean() < 0.07
    assert np.quantile(off[near], 0.99) < 0.35
    assert off[~near & (np.abs(away) < 60)].mean() < 0.02
