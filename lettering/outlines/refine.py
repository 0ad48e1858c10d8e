"""The last small part of a pixel: the outline is moved until the scan of it would be the scan we have."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dposv

from lettering.geometry.compiled import compiled
from lettering.outlines.arms import straighten, strain
from lettering.outlines.equations import normal_equations
from lettering.outlines.light import Kernel, Walk
from lettering.outlines.nodes import Nodes

STEPS = 8
"""Most steps that are tried: most letters are still after five, far starts take more."""

FARTHEST = 8.0
"""A step that changes a place or a handle by more, px, is not tried: outlines lie within a px of the edge."""

STILL = 0.3
"""No more steps when one gains less than this, in units of the noise (chi squared): no eye could tell."""

CAUTION = 1.0
"""How short the first step is held, as a multiple of the ties: eased where steps help, else tightened."""

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

    `noise` is the standard deviation a pixel would have if its noise were white. Levenberg and
    Marquardt's steps with weak ties to the start, and with the arms of corners held straight; blur, ink
    and paper are fitted between them.
    """
    ties = nodes.usual**-2
    gone, caution, equations = np.zeros(nodes.unknowns), CAUTION, None
    bent = strain(nodes)
    sight = adjusted(seen(nodes, scan, blur=blur), scan)
    for _ in range(steps):
        equations = equations or _equations(sight, noise)
        step = _solved(equations, ties, gone, caution)
        if step is None or np.abs(step).max() > FARTHEST:
            caution *= 8
            continue
        after = seen(sight.nodes.moved(step), scan, blur=sight.blur, ink=sight.ink, paper=sight.paper)
        gain = (sight.misfit - after.misfit) / noise**2 + ties @ (gone**2 - (gone + step) ** 2)
        gain += bent - strain(after.nodes)
        if gain < 0:
            caution *= 8
            continue
        sight, gone, caution, equations = adjusted(after, scan), gone + step, caution / 4, None
        bent = strain(after.nodes)
        if gain < STILL:
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


def _equations(sight: Sight, noise: float) -> tuple[_Numbers, _Numbers]:
    """Return the matrix and the right side of what scan and arms ask for, in units of the noise."""
    felt = sight.kernel.felt(sight.miss)
    known, pull = normal_equations(sight.nodes, sight.kernel.walk, felt, sight.blur)
    clear = (sight.ink - sight.paper) / noise
    known, pull = known * clear**2, pull * (clear / noise)
    straighten(sight.nodes, known, pull)
    return known, pull


def _solved(
    equations: tuple[_Numbers, _Numbers], ties: _Numbers, gone: _Numbers, caution: float
) -> _Numbers | None:
    """Return the step of all unknowns that all wishes agree on; none where rounding hides it."""
    known, pull = equations
    # Least squares with ties are positive definite: Cholesky takes half the work of any other way.
    _, step, failed = dposv(known + np.diag(ties * (1 + caution)), pull - ties * gone)
    return None if failed else np.asarray(step)
