"""Corners put to the question: one that the scan does not ask for becomes smooth."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.outlines.nodes import Nodes
from lettering.outlines.refine import Sight, refined

MILD = np.radians(75.0)
"""A corner that turns less than this is doubted; a round pen's end may have looked like it."""

SPIKE = np.radians(140.0)
"""A corner that turns more than this is doubted too: a round end may have been drawn out to a spike."""

FAINT = np.radians(18.0)
"""A corner that turns less than this is no corner."""

REACH = 3.0
"""Distance from a corner within which the scan speaks of it, px."""

WORTH = 4.0
"""A corner is kept when without it the misfit near it grows by this, in units of the noise (chi squared)."""


def without_doubtful(sight: Sight, start: Nodes, scan: NDArray[np.float64], *, noise: float) -> Sight:
    """Return the outline with its doubtful corners made smooth, where the scan is explained as well so.

    `start` are the nodes before they were refined.
    """
    turns = np.abs(sight.nodes.turns)
    mild = start.corner & ((np.abs(start.turns) < MILD) | (turns < MILD) | (turns > SPIKE))
    if not mild.any():
        return sight
    bare = refined(start.smoothed(mild), scan, noise=noise, blur=sight.blur)
    before, after = (_misfits(sight.nodes, s, noise) for s in (sight, bare))
    gone = mild & ((turns < FAINT) | (after - before < WORTH))
    if (gone == mild).all():
        return bare
    if not gone.any():
        return sight
    return refined(start.smoothed(gone), scan, noise=noise, blur=sight.blur)


def _misfits(nodes: Nodes, sight: Sight, noise: float) -> NDArray[np.float64]:
    """Return for each node the misfit of `sight` round it, shape (n,), in units of the noise."""
    squares = (sight.miss / noise) ** 2
    totals = np.zeros(len(nodes))
    reach = np.arange(-math.ceil(REACH), math.ceil(REACH) + 1)
    for i in np.flatnonzero(nodes.corner):
        px, py = nodes.places[i]
        x = np.clip(math.floor(px) + reach, 0, squares.shape[1] - 1)
        y = np.clip(math.floor(py) + reach, 0, squares.shape[0] - 1)[:, None]
        totals[i] = squares[y, x][(x + 0.5 - px) ** 2 + (y + 0.5 - py) ** 2 < REACH**2].sum()
    return totals
