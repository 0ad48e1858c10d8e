"""Rows of letter-like boxes, so that bubbles can be tried without any lettering."""

import numpy as np
import shapely
from hypothesis import strategies as st
from shapely.affinity import scale

from lettering.geometry.rect import Rect

X_HEIGHT = 4.0
"""Height of an x in the mock rows, mm."""

PITCH = 8.0
"""Distance between baselines, mm."""


def rows(widths: list[float], seed: int = 0, x_height: float = X_HEIGHT) -> list[Rect]:
    """Return boxes for letters, some with ascenders or descenders, in centred rows of `widths` x-heights."""
    random = np.random.default_rng(seed)
    boxes = []
    for i, width in enumerate(widths):
        left, right, baseline = -width / 2, width / 2, i * PITCH / X_HEIGHT
        while left < right:
            advance = min(float(random.choice([0.6, 0.75, 0.85, 1.05])), right - left)
            up, down = (float(v) for v in random.choice([[1.0, 0.0], [1.7, 0.0], [1.0, 0.5]]))
            boxes.append(Rect(left, baseline - up, left + 0.85 * advance, baseline + down))
            left += advance + (0.65 if random.random() < 0.2 else 0.0)
    return [Rect(b.x0 * x_height, b.y0 * x_height, b.x1 * x_height, b.y1 * x_height) for b in boxes]


def evened(ink: shapely.Geometry) -> shapely.Geometry:
    """Return the hull of the ink and its mirror image upside down: what the most air is measured from."""
    return shapely.union(ink, scale(ink, yfact=-1, origin="center")).convex_hull


@st.composite
def stacks(draw: st.DrawFn) -> list[Rect]:
    """Draw stacks of one to seven rows, from a word to a paragraph: [Rect(...), ...]."""
    middle = draw(st.floats(1.5, 16.0))
    count = draw(st.integers(1, 7))
    shares = draw(st.lists(st.floats(0.55, 1.0), min_size=count, max_size=count))
    return rows([max(0.6, middle * share) for share in shares], seed=draw(st.integers(0, 99)))
