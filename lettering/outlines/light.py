"""What a scanner would see of an outline: the coverage of every pixel, exactly, under a Gaussian blur.

A pixel sees the ink under its square, blurred. By Green's theorem that is an integral along the
outline alone; since blur makes its kernel smooth, few points along the outline give it exactly.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Points
from lettering.outlines.nodes import Nodes

STRETCH = 1.8
"""Longest stretch of outline integrated over by three points, px: blur leaves it no error above 1/400."""

REACH = 4.0
"""Reach of the kernel, in standard deviations of the blur: beyond it lies a ten-thousandth of a point."""

_Numbers = NDArray[np.float64]


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
    ahead: NDArray[np.intp]
    """Shape (q,): the point that follows, round each closed outline."""
    around: NDArray[np.intp]
    """Shape (q,): how many points its outline has in all."""

    @classmethod
    def along(cls, nodes: Nodes) -> "Walk":
        """Return three points of Gauss and Legendre for every stretch."""
        pieces = nodes.pieces
        legs = pieces[:, 1:] - pieces[:, :-1]
        polygon = np.sqrt(legs[..., 0] ** 2 + legs[..., 1] ** 2).sum(axis=1)
        counts = np.maximum(1, np.ceil(polygon / STRETCH)).astype(np.intp)
        return cls(*_walked(pieces, nodes.after, counts, 3 * int(counts.sum())))


@dataclass(frozen=True, slots=True, eq=False)
class Kernel:
    """How much the pixels round each point of a walk feel it, as products of a column and a row weight."""

    walk: Walk
    shape: tuple[int, int]
    """Height and width of the picture, px."""
    down: NDArray[np.float64]
    """Shape (q, k): weight of each row, of a square pixel under blur."""
    across: NDArray[np.float64]
    """Shape (q, k): weight of each column, likewise."""
    stepped: NDArray[np.float64]
    """Shape (q, k): growth of the integral of `across` from the column before."""

    @classmethod
    def of(cls, walk: Walk, shape: tuple[int, int], blur: float) -> "Kernel":
        """Return the kernel for a picture of `shape` under a Gaussian of `blur` px."""
        return cls(walk, shape, *_weighed(walk.points, blur, math.ceil(REACH * blur)))

    def coverage(self) -> NDArray[np.float64]:
        """Return the coverage of every pixel, shape (h, w)."""
        image = np.zeros(self.shape)
        _painted(image, self.walk.points, self.walk.normals, self.down, self.stepped)
        return np.asarray(image.cumsum(axis=1))

    def felt(self, picture: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the sum of `picture` under each point's kernel, shape (q,)."""
        return np.asarray(_felt(picture, self.walk.points, self.down, self.across))


@compiled
def _walked(
    pieces: _Numbers, after: NDArray[np.intp], counts: NDArray[np.intp], size: int
) -> tuple[NDArray[np.intp], _Numbers, Points, Points, NDArray[np.intp], NDArray[np.intp]]:
    """Lay three points on each of `counts` stretches of every piece; return the fields of a Walk."""
    which, t = np.empty(size, np.intp), np.empty(size)
    points, normals = np.empty((size, 2)), np.empty((size, 2))
    ahead, around = np.empty(size, np.intp), np.empty(size, np.intp)
    at = first = 0
    for i in range(len(pieces)):
        for k in range(3 * counts[i]):
            side = k % 3 - 1
            u = (k // 3 + 0.5 + side * math.sqrt(0.15)) / counts[i]
            weight = (5 if side else 8) / (18 * counts[i])
            s = 1 - u
            which[at], t[at], ahead[at] = i, u, at + 1
            for axis in range(2):
                a, b, c, d = pieces[i, 0, axis], pieces[i, 1, axis], pieces[i, 2, axis], pieces[i, 3, axis]
                points[at, axis] = s * s * (s * a + 3 * u * b) + u * u * (3 * s * c + u * d)
                pace = 3 * (s * s * (b - a) + 2 * s * u * (c - b) + u * u * (d - c)) * weight
                # Outward is the heading turned back from y toward x.
                normals[at, 1 - axis] = pace if axis else -pace
            at += 1
        if after[i] <= i:
            ahead[at - 1] = first
            for k in range(first, at):
                around[k] = at - first
            first = at
    return which, t, points, normals, ahead, around


@compiled
def _weighed(points: Points, blur: float, reach: int) -> tuple[_Numbers, _Numbers, _Numbers]:
    """Return the weights down, across and stepped of the pixels within `reach` of each point."""
    size = 2 * reach + 1
    down, across = np.empty((len(points), size)), np.empty((len(points), size))
    stepped = np.empty((len(points), size))
    for q in range(len(points)):
        x = (math.floor(points[q, 0]) - reach - points[q, 0]) / blur
        y = (math.floor(points[q, 1]) - reach - points[q, 1]) / blur
        above, left = _below(y), _below(x)
        total, grown = _area(x, left), _area(x, left) - _area(x - 1 / blur, _below(x - 1 / blur))
        for k in range(size):
            edge = (k + 1) / blur
            under, right = _below(y + edge), _below(x + edge)
            area = _area(x + edge, right)
            down[q, k], across[q, k] = under - above, right - left
            stepped[q, k] = blur * (area - total - grown)
            above, left, total, grown = under, right, area, area - total
    return down, across, stepped


@compiled
def _below(x: float) -> float:
    """Return the share of a Gaussian that lies below `x` standard deviations."""
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


@compiled
def _area(x: float, below: float) -> float:
    """Return the integral of that share as far as `x`."""
    return x * below + math.exp(-x * x / 2) / math.sqrt(2 * math.pi)


@compiled
def _painted(image: _Numbers, points: Points, normals: Points, down: _Numbers, stepped: _Numbers) -> None:
    """Add to each pixel of `image` how much more it is covered than the pixel to its left."""
    reach = down.shape[1] // 2
    for q in range(len(points)):
        left, top = math.floor(points[q, 0]) - reach, math.floor(points[q, 1]) - reach
        for j in range(down.shape[1]):
            row = min(max(top + j, 0), image.shape[0] - 1)
            share = -normals[q, 0] * down[q, j]
            for i in range(down.shape[1]):
                image[row, min(max(left + i, 0), image.shape[1] - 1)] += share * stepped[q, i]


@compiled
def _felt(picture: _Numbers, points: Points, down: _Numbers, across: _Numbers) -> _Numbers:
    """Return the sum of `picture` under the weights of each point."""
    reach = down.shape[1] // 2
    felt = np.empty(len(points))
    for q in range(len(points)):
        total = 0.0
        left, top = math.floor(points[q, 0]) - reach, math.floor(points[q, 1]) - reach
        for j in range(down.shape[1]):
            row = min(max(top + j, 0), picture.shape[0] - 1)
            for i in range(down.shape[1]):
                column = min(max(left + i, 0), picture.shape[1] - 1)
                total += down[q, j] * across[q, i] * picture[row, column]
        felt[q] = total
    return felt
