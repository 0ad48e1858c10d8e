"""The black plate of the lettering as pixels of one bit: line art at the resolution of a platesetter."""

from collections.abc import Iterator

import cairocffi as cairo  # type: ignore[import-untyped]
import numpy as np
from numpy.typing import NDArray

from lettering.drawing import WHITE, Drawing, Painted
from lettering.export.paint import paint
from lettering.export.png import size

PPI = 1200
"""Usual resolution of line art."""

BAND_ROWS = 512
"""Rows painted at once."""


def plate(drawing: Drawing, layer: str = "lettering", ppi: float = PPI) -> Iterator[NDArray[np.uint8]]:
    """Yield one layer as bands of packed bits, shape (rows, columns / 8 rounded up): 1 is ink.

    Every band has BAND_ROWS rows but the last, which has what is left. Raises OutputError when the
    picture would be too large.
    """
    columns, rows = size(drawing, ppi)
    media = drawing.media
    scale = (columns / media.width, rows / media.height)
    items = [
        item
        for one in drawing.layers
        if one.id == layer
        for group in one.groups
        for item in group.items
        if isinstance(item, Painted) and item.path.contours
    ]
    reaches = [item.path.bounds.inset(-item.stroke_mm) for item in items]
    for top in range(0, rows, BAND_ROWS):
        high = min(BAND_ROWS, rows - top)
        bits = np.zeros((high, -(-columns // 8)), np.uint8)
        y0, y1 = media.y0 + top / scale[1], media.y0 + (top + high) / scale[1]
        here = [k for k, reach in enumerate(reaches) if reach.y0 < y1 and y0 < reach.y1]
        if here:
            left = int((min(reaches[k].x0 for k in here) - media.x0) * scale[0]) // 8 * 8
            right = int((max(reaches[k].x1 for k in here) - media.x0) * scale[0]) + 2
            left, right = max(left - 8, 0), min(right, columns)
            band = _band([items[k] for k in here], scale, (media.x0, media.y0), (left, right, top, high))
            packed = np.packbits(band, axis=1)
            bits[:, left // 8 : left // 8 + packed.shape[1]] = packed
        yield bits


def _band(
    items: list[Painted],
    scale: tuple[float, float],
    corner: tuple[float, float],
    window: tuple[int, int, int, int],
) -> NDArray[np.bool_]:
    """Return which pixels of a window (left, right, top, height) have ink, shape (height, right - left)."""
    left, right, top, high = window
    surface = cairo.ImageSurface(cairo.FORMAT_RGB24, right - left, high)
    context = cairo.Context(surface)
    context.set_antialias(cairo.ANTIALIAS_NONE)
    context.set_source_rgb(*(part / 255 for part in (WHITE.red, WHITE.green, WHITE.blue)))
    context.paint()
    context.translate(-left, -top)
    context.scale(*scale)
    context.translate(-corner[0], -corner[1])
    paint(context, items)
    surface.flush()
    words = surface.get_stride() // 4
    pixels = np.frombuffer(surface.get_data(), np.uint32).reshape(-1, words)[:, : right - left]
    ink: NDArray[np.bool_] = (pixels & 0xFF) < 128
    return ink
