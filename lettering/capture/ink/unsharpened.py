"""A picture as it was before a phone or scanner sharpened it."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.light import encoded, linear_table
from lettering.capture.page import PageImage

BAND_ROWS = 512
"""Rows done at a time, so that memory does not grow with the page."""
REACH_PX = 24
"""Rows and columns that a pixel is felt over when a mask is undone."""

Undoing = Callable[[NDArray[np.float32]], NDArray[np.float32]]
"""Takes values, shape (h, w), to what they were before they were sharpened."""


def unsharpened(page: PageImage, undo: Undoing, *, in_light: bool) -> PageImage:
    """Return the picture with `undo` done to each channel, sRGB-encoded in 16 bits.

    It is done to linear light when `in_light`, else to the values as they are saved, 0..1.
    """
    rows, columns = page.pixels.shape[:2]
    largest = int(np.iinfo(page.pixels.dtype).max)
    table = linear_table(largest) if in_light else np.linspace(0, 1, largest + 1, dtype=np.float32)
    planes = page.pixels.reshape(rows, columns, -1)
    clear = np.empty(planes.shape, dtype=np.uint16)
    for top in range(0, rows, BAND_ROWS):
        bottom = min(top + BAND_ROWS, rows)
        first, last = max(0, top - REACH_PX), min(rows, bottom + REACH_PX)
        short = (REACH_PX - (top - first), REACH_PX - (last - bottom))
        for channel in range(planes.shape[2]):
            seen = np.pad(table[planes[first:last, :, channel]], (short, (REACH_PX, REACH_PX)), mode="edge")
            values = undo(seen)[REACH_PX:-REACH_PX, REACH_PX:-REACH_PX].clip(0, 1)
            clear[top:bottom, :, channel] = encoded(values) if in_light else np.rint(values * 0xFFFF)
    return replace(page, pixels=clear.reshape(page.pixels.shape))
