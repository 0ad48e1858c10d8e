"""The last small part of a pixel: the outline is moved until the scan of it would be the scan we have."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import linalg, sparse
from scipy.spatial import cKDTree

from lettering.outlines.light import Kernel, Walk
from lettering.outlines.nodes import Nodes
from lettering.outlines.settle import priors

STEPS = 4
"""Most Gauss-Newton steps: the third is usually below a thousandth of a pixel."""

STILL = 0.004
"""No more steps when no node moves farther than this, px."""


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
    ties = priors(nodes) ** -2
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
    more_blur = _diffused(sight.coverage) / 2 * (sight.ink - sight.paper)
    basis = np.stack([more_blur, sight.coverage, 1 - sight.coverage]).reshape(3, -1)
    # Weak ties: a quarter px² of blur and a tenth of the contrast are no news.
    weights = np.diag(np.array([0.25, 0.1, 0.1]) ** -2 * 1e-3)
    change = linalg.solve(basis @ basis.T + weights, basis @ sight.miss.ravel(), assume_a="pos")
    blur = math.sqrt(min(max(sight.blur**2 + change[0], 0.3**2), 3.0**2))
    blur = min(max(blur, sight.blur / 1.5), sight.blur * 1.5)
    miss = sight.miss - (basis.T @ np.array([0.0, *change[1:]])).reshape(scan.shape)
    return replace(sight, blur=blur, ink=sight.ink + change[1], paper=sight.paper + change[2], miss=miss)


def _diffused(picture: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what each pixel gains as its four neighbours even out with it; nothing at the rim."""
    gain = np.zeros_like(picture)
    middle = picture[1:-1, 1:-1]
    sides = picture[1:-1, :-2] + picture[1:-1, 2:] + picture[:-2, 1:-1] + picture[2:, 1:-1]
    gain[1:-1, 1:-1] = sides - 4 * middle
    return gain


def _step(
    sight: Sight, noise: float, ties: NDArray[np.float64], gone: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the Gauss-Newton step of all unknowns."""
    walk, contrast = sight.kernel.walk, sight.ink - sight.paper
    rows = sight.nodes.across(walk.piece, walk.t, walk.normals * (contrast / noise))
    known = (rows.T @ (_overlap(walk, sight.blur) @ rows)).toarray()
    pull = rows.T @ (sight.kernel.felt(sight.miss) / noise) - ties * gone
    return np.asarray(linalg.solve(known + np.diag(ties), pull, assume_a="pos", check_finite=False))


def _overlap(walk: Walk, blur: float) -> sparse.csr_array:
    """Return how much the kernels of the points share, shape (q, q): a Gaussian of twice the variance."""
    variance, count = 2 * (blur**2 + 1 / 12), len(walk.points)
    i, j = cKDTree(walk.points).query_pairs(3.3 * math.sqrt(variance), output_type="ndarray").T
    x, y = (walk.points[i] - walk.points[j]).T
    share = np.concatenate([np.exp(-(x * x + y * y) / (2 * variance)), np.full(count, 0.5)])
    here = np.arange(count)
    where = np.concatenate([i, here]), np.concatenate([j, here])
    half = sparse.csr_array((share / (2 * math.pi * variance), where), shape=(count, count))
    return half + half.T


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
