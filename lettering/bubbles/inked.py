"""A bubble's outline as the pen draws it: a line that swells and thins, slowly, and closes without a joint.

The line is drawn as two outlines close together, both stroked alike: where they part it is thicker. So it
stays a plain path with a plain stroke in every file, and its inside is filled as ever.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.chance import Chance
from lettering.geometry.contour import Contour, Points
from lettering.geometry.walk import Walk

SWELLS = (1, 2, 3)
"""How often the line swells on its way round. House default: slow, as pressure and speed change."""

MOST_LIFE = 0.2
"""Greatest standard deviation of the line's width, in widths: beyond it a line looks torn."""

Floats = NDArray[np.float64]


def inked(
    outlines: Sequence[Contour], *, line_mm: float, life: float, seed: str
) -> tuple[tuple[Contour, ...], float]:
    """Return the outlines to stroke and the width of the stroke, mm, for a line of mean width `line_mm`.

    `life` is the standard deviation of the line's width in widths. Equal `seed` draws the same line.
    """
    life = min(life, MOST_LIFE)
    if life <= 0 or line_mm <= 0:
        return tuple(outlines), line_mm
    edges: list[Contour] = []
    most = 2 * life
    for index, outline in enumerate(outlines):
        swell = life * _swell(outline, Chance(f"{seed}\n{index}" if seed else ""))
        half = (np.maximum(swell, -most) + most) * line_mm / 2
        edges += [_shifted(outline, half), _shifted(outline, -half)]
    return tuple(edges), line_mm * (1 - most)


def _swell(outline: Contour, chance: Chance) -> Floats:
    """Return at each knot how much thicker the line is than usual, mean 0 and standard deviation 1."""
    walk = Walk.along(outline, steps=8)
    way = walk.ways[:-1:8] / walk.length * 2 * np.pi
    phases = np.pi * chance.spread("swell", len(SWELLS))
    waves = np.sin(np.multiply.outer(way, np.array(SWELLS)) + phases)
    swell: Floats = waves.sum(axis=1) * (2 / len(SWELLS)) ** 0.5
    return swell


def _shifted(outline: Contour, by: Floats) -> Contour:
    """Return an outline whose knots, with their handles, move outward by `by`, shape (n,)."""
    knots = outline.knots
    arriving = _unit(knots[:, 0] - np.roll(knots[:, 2], 1, axis=0))
    middle = _unit(arriving + _unit(knots[:, 1] - knots[:, 0]))
    outward = np.stack([middle[:, 1], -middle[:, 0]], axis=1) * by[:, None]
    moved = knots + outward[:, None]
    moved[:, 2] += np.roll(outward, -1, axis=0) - outward
    return Contour(moved)


def _unit(vectors: Points) -> Points:
    unit: Points = vectors / np.maximum(np.hypot(vectors[:, 0], vectors[:, 1]), 1e-12)[:, None]
    return unit
