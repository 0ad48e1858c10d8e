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

REACH = 4.0
"""Reach of the kernel, in standard deviations of the blur: beyond it lies a ten-thousandth of a point."""


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
        legs = np.diff(nodes.pieces, axis=1)
        polygon = np.hypot(legs[..., 0], legs[..., 1]).sum(axis=1)
        counts = np.maximum(1, np.ceil(polygon / (2 * SPACING))).astype(int)
        which = np.repeat(np.arange(len(nodes)), counts)
        order = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
        nudge = np.array([-1, 1]) / math.sqrt(3)
        t = ((order[:, None] + 0.5 + nudge / 2) / counts[which][:, None]).ravel()
        which = np.repeat(which, 2)
        points, velocity = nodes.at(which, t)
        stretch = velocity / (2 * counts[which])[:, None]
        return cls(which, t, points, np.stack([stretch[:, 1], -stretch[:, 0]], axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class Kernel:
    """The pixels that feel each point of a walk, and how much, as products of a column and a row weight."""

    walk: Walk
    shape: tuple[int, int]
    """Height and width of the picture, px."""
    cells: NDArray[np.intp]
    """Shape (q, k, k): pixels round each point, counted row by row through the picture."""
    down: NDArray[np.float64]
    """Shape (q, k): weight of each row, of a square pixel under blur."""
    across: NDArray[np.float64]
    """Shape (q, k): weight of each column, likewise."""
    stepped: NDArray[np.float64]
    """Shape (q, k): growth of the integral of `across` from the column before."""

    @classmethod
    def of(cls, walk: Walk, shape: tuple[int, int], blur: float) -> "Kernel":
        """Return the kernel for a picture of `shape` under a Gaussian of `blur` px."""
        reach = math.ceil(REACH * blur)
        offsets = np.arange(-reach, reach + 1)

        def axis(at: NDArray[np.float64], size: int) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
            pixels = np.floor(at).astype(int)[:, None] + offsets
            edges = (pixels[:, :1] - at[:, None]) + np.arange(-1, len(offsets) + 1)
            return np.minimum(np.maximum(pixels, 0), size - 1), edges / blur

        rows, y = axis(walk.points[:, 1], shape[0])
        columns, x = axis(walk.points[:, 0], shape[1])
        below = special.ndtr(x)
        total = blur * (x * below + np.exp(-x * x / 2) / math.sqrt(2 * math.pi))
        grown = total[:, 1:] - total[:, :-1]
        return cls(
            walk,
            shape,
            (rows * shape[1])[:, :, None] + columns[:, None, :],
            np.diff(special.ndtr(y[:, 1:]), axis=1),
            below[:, 2:] - below[:, 1:-1],
            grown[:, 1:] - grown[:, :-1],
        )

    def coverage(self) -> NDArray[np.float64]:
        """Return the coverage of every pixel, shape (h, w)."""
        h, w = self.shape
        growth = (-self.walk.normals[:, :1] * self.stepped)[:, None, :] * self.down[:, :, None]
        image = np.bincount(self.cells.ravel(), growth.ravel(), h * w).reshape(h, w)
        return np.asarray(np.cumsum(image, axis=1))

    def felt(self, picture: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the sum of `picture` under each point's kernel, shape (q,)."""
        rows = picture.ravel()[self.cells] @ self.across[:, :, None]
        return np.asarray((rows[..., 0] * self.down).sum(axis=1))
