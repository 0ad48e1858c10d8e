"""The last small part of a pixel: the outline is moved until the scan of it would be the scan we have."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lettering.outlines.compiled import compiled
from lettering.outlines.equations import normal_equations
from lettering.outlines.light import Kernel, Walk
from lettering.outlines.nodes import Nodes

STEPS = 6
"""Most Gauss-Newton steps: most letters are still after four, far starts take more."""

STILL = 0.004
"""No more steps when no node moves farther than this, px."""

_Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sight:
    """An outline as the scanner would see it, beside the scan."""

    nodes: Nodes
    kernel: Kernel
    blur: float
    """Gaussian blur, px."""
    ink: float
    """Coverage of full ink, about 1."""
    paper: float
    """Coverage of bare paper, about 0."""
    coverage: NDArray[np.float64]
    """Shape (h, w): coverage of the model."""
    miss: NDArray[np.float64]
    """Shape (h, w): the scan less the model."""

    @property
    def misfit(self) -> float:
        """Sum of the squares of the misses."""
        return float((self.miss**2).sum())


def seen(
    nodes: Nodes, scan: NDArray[np.float64], *, blur: float, ink: float = 1.0, paper: float = 0.0
) -> Sight:
    """Return what a scanner of this `blur` would see of the nodes, beside the `scan`."""
    kernel = Kernel.of(Walk.along(nodes), (scan.shape[0], scan.shape[1]), blur)
    coverage = kernel.coverage()
    miss = scan - paper - (ink - paper) * coverage
    return Sight(nodes=nodes, kernel=kernel, blur=blur, ink=ink, paper=paper, coverage=coverage, miss=miss)


def refined(
    nodes: Nodes, scan: NDArray[np.float64], *, noise: float, blur: float, steps: int = STEPS
) -> Sight:
    """Return the outline that explains `scan` best, shape (h, w) of coverage with `noise` in it.

    `noise` is the standard deviation a pixel would have if its noise were white. Gauss-Newton with
    weak ties to the start; blur, ink and paper are fitted between the steps.
    """
    ties = nodes.usual**-2
    gone = np.zeros(nodes.unknowns)
    sight = adjusted(seen(nodes, scan, blur=blur), scan)
    for _ in range(steps):
        step = _step(sight, noise, ties, gone)
        sight, share = _taken(sight, scan, step, noise)
        gone = gone + share * step
        sight = adjusted(sight, scan)
        if share == 0 or np.abs(step[: 2 * len(nodes)]).max() < STILL:
            break
    return sight


def adjusted(sight: Sight, scan: NDArray[np.float64]) -> Sight:
    """Return the sight with blur, ink and paper set to what the misses ask for, to first order."""
    contrast = sight.ink - sight.paper
    known, pull = np.zeros((3, 3)), np.zeros(3)
    _asked(sight.coverage, sight.miss, contrast / 2, known, pull, np.zeros(3))
    # Weak ties: a quarter px² of blur and a tenth of the contrast are no news.
    known += np.diag(np.array([0.25, 0.1, 0.1]) ** -2 * 1e-3)
    blur = math.sqrt(min(max(sight.blur**2 + np.linalg.solve(known, pull)[0], 0.3**2), 3.0**2))
    blur = min(max(blur, sight.blur / 1.5), sight.blur * 1.5)
    # The levels are those for the blur the coverage was seen under, so that they never add to the misfit.
    change = np.linalg.solve(known[1:, 1:], pull[1:])
    ink, paper = sight.ink + change[0], sight.paper + change[1]
    miss = scan - paper - (ink - paper) * sight.coverage
    return replace(sight, blur=blur, ink=ink, paper=paper, miss=miss)


@compiled
def _asked(
    coverage: _Numbers, miss: _Numbers, spreading: float, known: _Numbers, pull: _Numbers, gains: _Numbers
) -> None:
    """Add up the equations of blur, ink and paper: matrix (3, 3) and right side (3,).

    A px² more of blur lets every pixel gain `spreading` of what its four neighbours exceed it by.
    """
    for y in range(1, coverage.shape[0] - 1):
        for x in range(1, coverage.shape[1] - 1):
            here = coverage[y, x]
            sides = coverage[y, x - 1] + coverage[y, x + 1] + coverage[y - 1, x] + coverage[y + 1, x]
            gains[0], gains[1], gains[2] = spreading * (sides - 4 * here), here, 1 - here
            for i in range(3):
                pull[i] += gains[i] * miss[y, x]
                for j in range(3):
                    known[i, j] += gains[i] * gains[j]


def _step(
    sight: Sight, noise: float, ties: NDArray[np.float64], gone: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the Gauss-Newton step of all unknowns."""
    felt = sight.kernel.felt(sight.miss)
    known, pull = normal_equations(sight.nodes, sight.kernel.walk, felt, sight.blur)
    clear = (sight.ink - sight.paper) / noise
    pull = pull * (clear / noise) - ties * gone
    return np.asarray(np.linalg.solve(known * clear**2 + np.diag(ties), pull))


def _taken(
    sight: Sight, scan: NDArray[np.float64], step: NDArray[np.float64], noise: float
) -> tuple[Sight, float]:
    """Return the sight after as much of `step` as makes it no worse, and that share."""
    for share in (1.0, 0.3):
        moved = sight.nodes.moved(share * step)
        after = seen(moved, scan, blur=sight.blur, ink=sight.ink, paper=sight.paper)
        if after.misfit <= sight.misfit + noise**2:
            return after, share
    return sight, 0.0
