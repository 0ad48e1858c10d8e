"""What a page's letters measure: baselines, x-height, cap height."""

from collections.abc import Mapping, Sequence

import numpy as np

from lettering.capture.letters.baseline import Baseline, fit_baseline
from lettering.capture.letters.rows import REACH
from lettering.capture.letters.shapes import expected_shape

FLAT_FEET = frozenset("xzvwnhmkrilfTHELAKMNXZRFIP1247")
"""Characters that stand on the baseline; round ones reach a little below it."""
FLAT_TOPS = ("xzvw", "urnm", "aceos")
"""Small letters whose tops are level, the flattest first."""
FLAT_CAPITALS = ("HETLFIZ", "KMNXVWADPRB", "CGOQSJU0123456789")
"""Capitals whose tops are level, the flattest first."""
LEAST = 3
"""Fewer letters than this are no measure while rounder ones are to be had."""

Edges = Sequence[tuple[str, float, float, float]]
"""Letters of one row: character, x of the middle, y of the highest and of the lowest ink, page px."""


def row_baseline(edges: Edges, unit: float, former: Baseline) -> Baseline:
    """Return the baseline: it runs as all feet of the row run, and as high as the flat ones stand."""
    standing = [
        (x, foot, char in FLAT_FEET)
        for char, x, _, foot in edges
        if -0.1 < expected_shape(char).bottom < 0.1 and abs(foot - former.at(x)) < 0.4 * unit
    ]
    if len(standing) < LEAST:
        return former
    x, y, _ = np.array(standing).T
    line = fit_baseline(x, y, reach=REACH * unit, slope=former.slope(float(x.mean())), least=5)
    above = [foot - line.at(place) for place, foot, level in standing if level]
    return Baseline(line.x, line.y + float(np.median(above))) if len(above) >= LEAST else line


def heights(rows: Sequence[Edges], lines: Sequence[Baseline]) -> Mapping[str, list[float]]:
    """Return for each character the heights of its takes above their baselines, px."""
    found: dict[str, list[float]] = {}
    for edges, line in zip(rows, lines, strict=True):
        for char, x, top, _ in edges:
            found.setdefault(char, []).append(line.at(x) - top)
    return found


def level_height(tops: Mapping[str, list[float]], choices: Sequence[str]) -> float | None:
    """Return the usual height of the first choice of characters that has takes enough; none without any."""
    taken: list[float] = []
    for chars in choices:
        taken += [height for char in chars for height in tops.get(char, [])]
        if len(taken) >= LEAST:
            break
    return float(np.median(taken)) if taken else None
