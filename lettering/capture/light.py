"""The light that paper sends back: sRGB values as they are saved, undone."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from lettering.capture.strips import strips

Picture = NDArray[np.uint8] | NDArray[np.uint16]


def linear(pixels: Picture) -> NDArray[np.float32]:
    """Return linear luminance 0..1 of sRGB-encoded grey or colour (IEC 61966-2-1; weights of BT.709)."""
    table = linear_table(int(np.iinfo(pixels.dtype).max))
    light = np.empty(pixels.shape[:2], dtype=np.float32)
    for rows in strips(len(pixels)):
        light[rows] = _luminance(pixels[rows], table)
    return light


def _luminance(pixels: Picture, table: NDArray[np.float32]) -> NDArray[np.float32]:
    if pixels.ndim == 2:
        return np.asarray(table[pixels])
    red, green, blue = (table[pixels[..., channel]] for channel in range(3))
    return np.asarray(np.float32(0.2126) * red + np.float32(0.7152) * green + np.float32(0.0722) * blue)


@cache
def linear_table(largest: int) -> NDArray[np.float32]:
    """Return the linear light 0..1 of each sRGB value 0..`largest`."""
    value = np.linspace(0, 1, largest + 1)
    table = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return table.astype(np.float32)


def encoded(light: NDArray[np.float32]) -> NDArray[np.uint16]:
    """Return 16-bit sRGB of linear light 0..1 (IEC 61966-2-1)."""
    return np.asarray(_encoded_table()[np.rint(light * np.float32(0xFFFF)).astype(np.uint16)])


@cache
def _encoded_table() -> NDArray[np.uint16]:
    light = np.linspace(0, 1, 0x10000)
    curve = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(curve * 0xFFFF), dtype=np.uint16)
