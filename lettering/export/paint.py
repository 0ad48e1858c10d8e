"""Painting a drawing on a surface of pixels or of paper, in millimetres."""

import io
from collections.abc import Callable, Iterable
from functools import lru_cache

import cairocffi as cairo  # type: ignore[import-untyped]
import numpy as np
from numpy.typing import NDArray

from lettering.drawing import Colour, Drawing, Painted, Picture
from lettering.geometry.contour import Contour

Rgba = NDArray[np.uint8]
"""Shape (rows, columns, 4): red, green, blue, not multiplied by alpha; sRGB."""


def paint(context: cairo.Context, items: Iterable[Painted | Picture]) -> None:
    """Paint `items`, the first at the bottom; one unit of `context` is one millimetre."""
    for item in items:
        if isinstance(item, Picture):
            _show(context, item)
        else:
            _paint(context, item)


def band(drawing: Drawing, px_per_mm: tuple[float, float], columns: int, rows: range) -> Rgba | None:
    """Return pixel rows of the drawing, bleed included, `columns` wide; none when all are clear."""
    top, bottom = (drawing.media.y0 + row / px_per_mm[1] for row in (rows.start, rows.stop))
    items = [item for item in drawing.items if _reaches(item, top, bottom)]
    if not items:
        return None
    surface = cairo.ImageSurface(cairo.FORMAT_ARGB32, columns, len(rows))
    context = cairo.Context(surface)
    context.set_antialias(cairo.ANTIALIAS_BEST)
    context.translate(0, -rows.start)
    context.scale(*px_per_mm)
    context.translate(-drawing.media.x0, -drawing.media.y0)
    paint(context, items)
    surface.flush()
    return _unmultiplied(surface)


def _reaches(item: Painted | Picture, top: float, bottom: float) -> bool:
    """Tell whether an item may show between two heights, mm, its line and handles counted."""
    if isinstance(item, Picture):
        return item.rect.y0 < bottom and top < item.rect.y1
    return any(
        float(contour.knots[:, :, 1].min()) - item.stroke_mm < bottom
        and top < float(contour.knots[:, :, 1].max()) + item.stroke_mm
        for contour in item.path.contours
    )


def _unmultiplied(surface: cairo.ImageSurface) -> Rgba:
    """Return a surface's pixels as red, green, blue, alpha; it keeps them as blue, green, red times alpha."""
    words = surface.get_stride() // 4
    native = np.frombuffer(surface.get_data(), np.uint32).reshape(-1, words)[:, : surface.get_width()]
    pixels = np.zeros((*native.shape, 4), np.uint8)
    y, x = (np.flatnonzero(native.any(axis=axis)) for axis in (1, 0))
    if len(y):
        inked = (slice(y[0], y[-1] + 1), slice(x[0], x[-1] + 1))
        pixels[inked] = _straight(native[inked])
    return pixels


def _straight(native: NDArray[np.uint32]) -> Rgba:
    pixels = np.stack([(native >> shift).astype(np.uint8) for shift in (16, 8, 0, 24)], axis=2)
    edge = (pixels[:, :, 3] > 0) & (pixels[:, :, 3] < 255)
    some = pixels[edge].astype(np.uint32)
    some[:, :3] = (some[:, :3] * 255 + some[:, 3:] // 2) // some[:, 3:]
    pixels[edge] = some.clip(0, 255).astype(np.uint8)
    return pixels


def _show(context: cairo.Context, picture: Picture) -> None:
    pixels = _decoded(picture.png)
    with context:
        context.translate(picture.rect.x0, picture.rect.y0)
        context.scale(picture.rect.width / pixels.get_width(), picture.rect.height / pixels.get_height())
        context.set_source_surface(pixels)
        context.get_source().set_filter(cairo.FILTER_GOOD)
        context.get_source().set_extend(cairo.EXTEND_PAD)
        context.rectangle(0, 0, pixels.get_width(), pixels.get_height())
        context.fill()


@lru_cache(maxsize=4)
def _decoded(png: bytes) -> cairo.ImageSurface:
    """Return the pixels of a picture; kept for the next band, which most often shows the same ones."""
    return cairo.ImageSurface.create_from_png(io.BytesIO(png))


def _paint(context: cairo.Context, item: Painted) -> None:
    for contour in item.path.contours:
        _trace(context, contour)
    if item.fill:
        _use(context, item.fill)
        context.fill_preserve()
    if item.stroke and item.stroke_mm > 0:
        _use(context, item.stroke)
        context.set_line_width(item.stroke_mm)
        context.set_line_join(cairo.LINE_JOIN_ROUND)
        context.set_line_cap(cairo.LINE_CAP_ROUND)
        context.set_dash(item.stroke_dash_mm)
        context.stroke_preserve()
    context.new_path()


def _trace(context: cairo.Context, contour: Contour) -> None:
    context.move_to(*contour.knots[0, 0].tolist())
    draw: dict[bool, Callable[..., None]] = {True: context.line_to, False: context.curve_to}
    for piece, straight in zip(contour.pieces, contour.straight.tolist(), strict=True):
        draw[straight](*piece[3 if straight else 1 :].ravel().tolist())
    context.close_path()


def _use(context: cairo.Context, colour: Colour) -> None:
    context.set_source_rgb(colour.red / 255, colour.green / 255, colour.blue / 255)
