"""What a scanner would see of an outline: the coverage of every pixel, exactly, under a Gaussian blur.

A pixel sees the ink under its square, blurred. By Green's theorem that is an integral along the
outline alone; since blur makes its kernel smooth, few points along the outline give it exactly.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lettering.geometry.contour import Points
from lettering.outlines.nodes import Nodes

SPACING = 0.8
"""Distance between points of integration along the outline, px: finer than the blur asks for."""


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """Points of integration along an outline."""

    piece: NDArray[np.intp]
    """Shape (q,)."""
    t: NDArray[np.float64]
    """Shape (q,): parameter on the piece."""
    points: Points
    """Shape (q, 2), px."""
    normals: Points
    """Shape (q, 2): outward, each as long as the stretch of outline that its point stands for, px."""

    @classmethod
    def along(cls, nodes: Nodes) -> "Walk":
        """Return two points of Gauss and Legendre for every stretch of twice the spacing."""
        pieces = nodes.pieces
        polygon = np.linalg.norm(np.diff(pieces, axis=1), axis=2).sum(axis=1)
        counts = np.maximum(1, np.ceil(polygon / (2 * SPACING))).astype(int)
        which = np.repeat(np.arange(len(pieces)), counts)
        order = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
        nudge = np.array([-1, 1]) / math.sqrt(3)
        t = ((order[:, None] + 0.5 + nudge / 2) / counts[which][:, None]).ravel()
        which = np.repeat(which, 2)
        s, u, p = (1 - t)[:, None], t[:, None], pieces[which]
        points = s**3 * p[:, 0] + 3 * s * s * u * p[:, 1] + 3 * s * u * u * p[:, 2] + u**3 * p[:, 3]
        d = 3 * np.diff(p, axis=1)
        velocity = s * s * d[:, 0] + 2 * s * u * d[:, 1] + u * u * d[:, 2]
        stretch = velocity / (2 * counts[which])[:, None]
        return cls(which, t, points, np.stack([stretch[:, 1], -stretch[:, 0]], axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class Kernel:
    """The pixels that feel each point of a walk, and how much, as products of a column and a row weight."""

    walk: Walk
    shape: tuple[int, int]
    """Height and width of the picture, px."""
    rows: NDArray[np.intp]
    """Shape (q, k): pixel rows round each point."""
    columns: NDArray[np.intp]
    """Shape (q, k): pixel columns."""
    down: NDArray[np.float64]
    """Shape (q, k): weight of each row, of a square pixel under blur."""
    across: NDArray[np.float64]
    """Shape (q, k): weight of each column, likewise."""
    stepped: NDArray[np.float64]
    """Shape (q, k): growth of the integral of `across` from the column before."""

    @classmethod
    def of(cls, walk: Walk, shape: tuple[int, int], blur: float) -> "Kernel":
        """Return the kernel for a picture of `shape` under a Gaussian of `blur` px."""
        reach = math.ceil(0.5 + 3.6 * blur)
        offsets = np.arange(-reach, reach + 2)

        def axis(at: NDArray[np.float64], size: int) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
            pixels = np.floor(at).astype(int)[:, None] + offsets
            first = pixels[:, :1] + 0.5 - at[:, None]
            edges = first + np.arange(-2, len(offsets)) + 0.5
            return np.clip(pixels, 0, size - 1), edges / blur

        rows, y = axis(walk.points[:, 1], shape[0])
        columns, x = axis(walk.points[:, 0], shape[1])
        below = special.ndtr(x)
        total = blur * (x * below + np.exp(-x * x / 2) / math.sqrt(2 * math.pi))
        stepped = np.diff(total, 2, axis=1)
        return cls(
            walk,
            shape,
            rows,
            columns,
            np.diff(special.ndtr(y[:, 1:]), axis=1),
            np.diff(below[:, 1:], axis=1),
            stepped,
        )

    def coverage(self) -> NDArray[np.float64]:
        """Return the coverage of every pixel, shape (h, w)."""
        h, w = self.shape
        growth = (-self.walk.normals[:, :1] * self.stepped)[:, None, :] * self.down[:, :, None]
        cells = self.rows[:, :, None] * w + self.columns[:, None, :]
        image = np.bincount(cells.ravel(), growth.ravel(), h * w).reshape(h, w)
        return np.asarray(np.cumsum(image, axis=1))

    def felt(self, picture: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the sum of `picture` under each point's kernel, shape (q,)."""
        around = picture[self.rows[:, :, None], self.columns[:, None, :]]
        return np.asarray(np.einsum("qij,qi,qj->q", around, self.down, self.across, optimize=False))
