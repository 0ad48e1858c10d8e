"""Shapes of known equation as a scanner sees them, from the exact area that they cover of each pixel."""

import math
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage

FINER = 4
"""Areas are exact on pixels so many times finer, blurred there, as a Gaussian wants, and averaged."""

Numbers = NDArray[np.float64]


def seen(fine: Numbers, blur: float = 0.7) -> Numbers:
    """Return coverage by pixel, shape (h, w), of areas on finer pixels under a blur of `blur` px."""
    blurred = ndimage.gaussian_filter(fine, blur * FINER, truncate=7, mode="nearest")
    height, width = (side // FINER for side in fine.shape)
    return np.asarray(blurred.reshape(height, FINER, width, FINER).mean(axis=(1, 3)))


def circle(x0: float, y0: float, radius: float, size: int) -> Numbers:
    """Return the share that a disc covers of each finer pixel, shape (FINER size, FINER size)."""
    edges = np.arange(size * FINER + 1) / FINER
    below = _quarter(edges[None, :] - x0, edges[:, None] - y0, radius)
    return np.diff(np.diff(below, axis=0), axis=1) * FINER**2


def _quarter(x: Numbers, y: Numbers, radius: float) -> Numbers:
    """Return the area of a disc round (0, 0) that lies left of x and above y, by its half chords."""
    x, y = np.clip(x, -radius, radius), np.clip(y, -radius, radius)

    def until(t: Numbers) -> Numbers:
        """Integrate the half chord sqrt(r² - t²) from 0 to t."""
        return np.asarray((t * np.sqrt(radius**2 - t**2) + radius**2 * np.arcsin(t / radius)) / 2)

    chord = np.sqrt(radius**2 - y**2)
    inner = np.clip(x, -chord, chord)
    # Between the ends of the chord at y the disc is cut off there; beyond them it lies whole on one side.
    cut = until(inner) + until(chord) + y * (inner + chord)
    left = until(np.minimum(x, -chord)) - until(np.full_like(chord, -radius))
    right = until(np.maximum(x, chord)) - until(chord)
    return np.asarray(cut + np.where(y > 0, 2 * (left + right), 0.0))


def polygon(corners: Numbers, size: int) -> Numbers:
    """Return the share that a polygon covers of each finer pixel, clipped to each by GEOS."""
    x, y = np.meshgrid(np.arange(size * FINER) / FINER, np.arange(size * FINER) / FINER)
    pixels = shapely.box(x, y, x + 1 / FINER, y + 1 / FINER)
    return np.asarray(shapely.area(shapely.intersection(shapely.Polygon(corners), pixels)) * FINER**2)


def under(curve: np.polynomial.Polynomial, left: float, right: float, bottom: float, size: int) -> Numbers:
    """Return the share of each finer pixel between left, right and bottom (y down) and below y = curve(x)."""
    edges = np.clip(np.arange(size * FINER + 1) / FINER, left, right)
    levels = np.clip(np.arange(size * FINER + 1) / FINER, None, bottom)
    shares = np.zeros((size * FINER, size * FINER))
    for column, (a, b) in enumerate(pairwise(edges)):
        if b > a:
            shares[:, column] = np.diff(_above(curve, levels, a, b)) * FINER**2
    return shares


def _above(curve: np.polynomial.Polynomial, levels: Numbers, a: float, b: float) -> Numbers:
    """Return the areas between the curve and levels under it, from a to b: parted at exact roots."""
    whole = curve.integ()
    turns = [t.real for t in curve.deriv().roots() if abs(t.imag) < 1e-12 and a < t.real < b]
    heights = curve(np.array([a, *turns, b]))
    areas = np.where(levels >= heights.max(), levels * (b - a) - (whole(b) - whole(a)), 0.0)
    for k in np.flatnonzero((levels > heights.min()) & (levels < heights.max())):
        roots = [r.real for r in (curve - levels[k]).roots() if abs(r.imag) < 1e-9 and a < r.real < b]
        for u, v in pairwise([a, *sorted(roots), b]):
            if curve((u + v) / 2) < levels[k]:
                areas[k] += levels[k] * (v - u) - (whole(v) - whole(u))
    return np.asarray(areas)


def wedge(x: float, y: float, degrees: float, length: float) -> Numbers:
    """Return the corners of a wedge with its point at (x, y), opening to the right."""
    half = length * math.tan(math.radians(degrees / 2))
    return np.array([(x, y), (x + length, y - half), (x + length, y + half)])
