"""Perspective undone: a photo of paper seen as if the paper lay flat under the glass of a scanner.

A plane seen by a camera without distortion is a projective map of itself, so three by three numbers take
millimetres on the paper to pixels of the picture. Light is mixed as light, not as encoded values, and a cubic
spline runs through the pixels, so that an edge stays where and as sharp as it was.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numba import njit
from numpy.typing import NDArray
from scipy.ndimage import spline_filter

from lettering.capture.box import Box
from lettering.capture.light import encoded, linear_table
from lettering.capture.page import PageImage
from lettering.units import MM_PER_INCH

MOST_PIXELS = 100_000_000
"""Largest flat page that is made: a larger scale than fits is made smaller."""
BAND_ROWS = 256
"""Rows made at a time, so that memory does not grow with the page."""
REACH_PX = 16
"""How far a pixel's influence on the spline through it is felt (its share falls by 3.7 a pixel)."""

Matrix = NDArray[np.float64]


def flattened(
    page: PageImage, to_picture: Matrix, size_mm: tuple[float, float], px_per_mm: float | None = None
) -> PageImage:
    """Return the paper of a picture, (width, height) `size_mm`, as seen straight from above; 16-bit sRGB.

    `to_picture` (3, 3) takes (x, y, 1), mm on the paper, x right and y down from its top left corner, to px
    of the picture; pixel j covers j to j + 1. The scale is the picture's own where it is finest unless
    `px_per_mm` asks for another. Paper outside the picture takes the picture's edge.
    """
    scale = px_per_mm or finest_scale(to_picture, size_mm)
    scale = min(scale, float(np.sqrt(MOST_PIXELS / (size_mm[0] * size_mm[1]))))
    height, width = (max(1, round(side * scale)) for side in size_mm[::-1])
    to_px = np.asarray(to_picture, dtype=float) @ np.diag([1 / scale, 1 / scale, 1.0])
    flat = np.empty((height, width, *page.pixels.shape[2:]), dtype=np.uint16)
    planes = flat.reshape(height, width, -1)
    for top in range(0, height, BAND_ROWS):
        band = Box(top, 0, min(top + BAND_ROWS, height), width)
        for channel, light in enumerate(_lit(page.pixels, to_px, band)):
            planes[band.slices][..., channel] = light
    return replace(page, pixels=flat, ppi=scale * MM_PER_INCH)


def finest_scale(to_picture: Matrix, size_mm: tuple[float, float]) -> float:
    """Return the picture's px to a mm of the paper where the paper is nearest to the camera."""
    x, y = np.meshgrid(np.linspace(0, size_mm[0], 5), np.linspace(0, size_mm[1], 5))
    depth = to_picture[2, 0] * x + to_picture[2, 1] * y + to_picture[2, 2]
    # The area of a projective map grows by its determinant over the depth cubed.
    area = abs(float(np.linalg.det(to_picture))) / np.abs(depth) ** 3
    return float(np.sqrt(area.max()))


def _lit(pixels: NDArray[np.unsignedinteger], to_px: Matrix, band: Box) -> Iterator[NDArray[np.uint16]]:
    """Yield each channel of a band of the flat page, sRGB-encoded."""
    seen = _seen(to_px, band, pixels.shape)
    table = linear_table(int(np.iinfo(pixels.dtype).max))
    shifted = np.array([[1.0, 0, -seen.left], [0, 1.0, -seen.top], [0, 0, 1.0]]) @ to_px
    crop = pixels[seen.slices].reshape(seen.height, seen.width, -1)
    for channel in range(crop.shape[2]):
        spline = spline_filter(table[crop[..., channel]], output=np.float32, mode="mirror")
        light = np.empty((band.height, band.width), dtype=np.float32)
        _sample(spline, shifted, band.top, light)
        yield encoded(light)


def _seen(to_px: Matrix, band: Box, shape: tuple[int, ...]) -> Box:
    """Return the part of a picture of that shape that a band of the flat page shows, and a little more."""
    corners = np.array([[x, y, 1] for x in (band.left, band.right) for y in (band.top, band.bottom)]).T
    x, y, depth = to_px @ corners
    across, down = np.clip(x / depth, 0, shape[1]), np.clip(y / depth, 0, shape[0])
    seen = Box(int(down.min()), int(across.min()), int(down.max()) + 1, int(across.max()) + 1)
    inside = Box(min(seen.top, shape[0] - 1), min(seen.left, shape[1] - 1), seen.bottom, seen.right)
    return inside.grown(REACH_PX, shape)


@njit(cache=True, nogil=True)
def _sample(spline: NDArray[np.float32], to_px: Matrix, top: int, light: NDArray[np.float32]) -> None:
    """Fill `light` (h, w), rows from `top` on, with the cubic spline seen through `to_px`, 0..1."""
    for i in range(light.shape[0]):
        for j in range(light.shape[1]):
            x, y = j + 0.5, top + i + 0.5
            depth = to_px[2, 0] * x + to_px[2, 1] * y + to_px[2, 2]
            u = (to_px[0, 0] * x + to_px[0, 1] * y + to_px[0, 2]) / depth - 0.5
            v = (to_px[1, 0] * x + to_px[1, 1] * y + to_px[1, 2]) / depth - 0.5
            light[i, j] = _light_at(spline, u, v)


@njit(cache=True, nogil=True)
def sample_at(
    spline: NDArray[np.float32], u: NDArray[np.float64], v: NDArray[np.float64], light: NDArray[np.float32]
) -> None:
    """Fill `light` (h, w) with the cubic spline at columns `u` and rows `v`, each (h, w), 0..1."""
    for i in range(light.shape[0]):
        for j in range(light.shape[1]):
            light[i, j] = _light_at(spline, u[i, j], v[i, j])


@njit(cache=True, nogil=True)
def _light_at(spline: NDArray[np.float32], u: float, v: float) -> float:
    """Return the light of the spline at column `u` and row `v`; past its edges that of the edge."""
    rows, columns = spline.shape
    u, v = min(max(u, 0.0), columns - 1.0), min(max(v, 0.0), rows - 1.0)
    left, above = int(u), int(v)
    across, down = _weights(u - left), _weights(v - above)
    total = 0.0
    for a in range(4):
        row = _mirrored(above + a - 1, rows)
        part = 0.0
        for b in range(4):
            part += across[b] * spline[row, _mirrored(left + b - 1, columns)]
        total += down[a] * part
    return float(min(max(total, 0.0), 1.0))


@njit(cache=True, nogil=True, inline="always")
def _weights(t: float) -> tuple[float, float, float, float]:
    """Return the shares of four neighbours in a cubic B-spline `t` (0..1) past the second."""
    r = 1 - t
    return r**3 / 6, 2 / 3 - t * t * (1 - t / 2), 2 / 3 - r * r * (1 - r / 2), t**3 / 6


@njit(cache=True, nogil=True, inline="always")
def _mirrored(index: int, count: int) -> int:
    """Return an index that runs back at the ends, as the spline does."""
    if index < 0:
        index = -index
    if index >= count:
        index = 2 * (count - 1) - index
    return min(max(index, 0), count - 1)
