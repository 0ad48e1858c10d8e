"""Corners put to the question: one that the scan does not ask for becomes smooth."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.outlines.nodes import Nodes
from lettering.outlines.refine import Sight, refined

BENT = 0.26
"""A corner is doubted when its arms bend by more than this share of its turn: a round pen's end does."""

MILD = math.radians(40.0)
"""A corner that turns less than this is doubted too: a bend of a few px turns as suddenly under blur."""

ARM = 2.0
"""Length of arm on each side that is looked at for bending, px: as far as blur hides a corner's shape."""

FAINT = math.radians(18.0)
"""A corner that turns less than this is no corner."""

REACH = 3.0
"""Distance from a corner within which the scan speaks of it, px."""

WORTH = 3.0
"""A corner is kept when without it the misfit near it grows by this, in units of the noise (chi squared)."""

ROUNDS = 2
"""Times the corners are questioned: where one goes its neighbours may become doubtful."""


def without_doubtful(sight: Sight, scan: NDArray[np.float64], *, noise: float) -> Sight:
    """Return the outline with its doubtful corners made smooth, where the scan is explained as well so."""
    for _ in range(ROUNDS):
        doubted = doubtful(sight.nodes)
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


def doubtful(nodes: Nodes) -> NDArray[np.bool_]:
    """Return which corners, shape (n,), are mild or turn in their arms as well as in their point."""
    pieces, before = nodes.pieces, np.empty_like(nodes.after)
    before[nodes.after] = np.arange(len(nodes))
    bend = _bends(pieces) - _bends(pieces[before, ::-1])
    turns = np.abs(nodes.turns)
    return np.asarray(nodes.corner & ((turns < MILD) | (np.abs(bend) > BENT * turns)))


def _bends(pieces: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far each piece turns, radians, shape (n,), in the length of an arm from its start."""
    a, b, c = (pieces[:, k + 1] - pieces[:, k] for k in range(3))
    t = np.linspace(0, 1, 33)[:, None, None]
    velocity = (1 - t) ** 2 * a + 2 * t * (1 - t) * b + t * t * c
    along = np.cumsum(np.hypot(velocity[..., 0], velocity[..., 1]) * (3 / 32), axis=0)
    last = np.minimum((along < ARM).sum(axis=0), len(t) - 1)
    end = velocity[last, np.arange(len(pieces))]
    return np.asarray(np.arctan2(a[:, 0] * end[:, 1] - a[:, 1] * end[:, 0], (a * end).sum(axis=1)))


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
