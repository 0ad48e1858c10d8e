"""Corners put to the question: one that the scan does not ask for becomes smooth."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.outlines.arms import turned
from lettering.outlines.nodes import Nodes
from lettering.outlines.refine import Sight, refined

PLAIN = math.radians(24.0)
"""A corner that exceeds the bends of its arms by less is doubted: a round pen's end turns in its arms too.

By trial on letters of nine typefaces: of 150 corners one is doubted that should not be, of 60 letters one
has a bend that passes. By the scan alone they cannot be told: under blur a tight bend explains it as well.
"""

STEADY, SWAY = 0.06, math.radians(120.0)
"""Noise (sd of coverage) that bends arms little, and how much more a corner must turn for what exceeds it.

The tooth of the paper under a pencil feigns corners all along a stroke.
"""

LOOKED = 4.0
"""Length of arm on each side whose bends speak against a corner, px."""

FAINT = math.radians(18.0)
"""A corner that turns less than this is no corner."""

REACH = 3.0
"""Distance from a corner within which the scan speaks of it, px."""

WORTH = 10.0
"""A corner is kept when without it the misfit near it grows by this, in units of the noise (chi squared)."""

ROUNDS = 2
"""Times the corners are questioned: where one goes its neighbours may become doubtful."""


def without_doubtful(sight: Sight, scan: NDArray[np.float64], *, noise: float) -> Sight:
    """Return the outline with its doubtful corners made smooth, where the scan is explained as well so."""
    for _ in range(ROUNDS):
        doubted = doubtful(sight.nodes, noise)
        if not doubted.any():
            break
        bare = refined(sight.nodes.smoothed(doubted), scan, noise=noise, blur=sight.blur)
        before, after = (_misfits(sight.nodes, s, noise) for s in (sight, bare))
        faint = np.abs(sight.nodes.turns) < FAINT
        gone = doubted & (faint | (after - before < WORTH))
        if not gone.any():
            break
        if (gone == doubted).all():
            sight = bare
        else:
            sight = refined(sight.nodes.smoothed(gone), scan, noise=noise, blur=sight.blur)
    return sight


def doubtful(nodes: Nodes, noise: float) -> NDArray[np.bool_]:
    """Return which corners, shape (n,), hardly turn more in their point than in their arms."""
    before, after = turned(nodes, LOOKED)
    plain = np.abs(nodes.turns) - np.abs(before) - np.abs(after)
    return np.asarray(nodes.corner & (plain < PLAIN + SWAY * max(noise - STEADY, 0.0)))


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
