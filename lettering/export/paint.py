"""Painting a drawing on a surface of pixels or of paper, in millimetres."""

import io
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import cairocffi as cairo  # type: ignore[import-untyped]
import numpy as np
from numpy.typing import NDArray

from lettering.drawing import Colour, Drawing, Painted, Picture
from lettering.geometry.contour import Contour
from lettering.geometry.rect import Rect

Rgba = NDArray[np.uint8]
"""Shape (rows, columns, 4): red, green, blue, not multiplied by alpha; sRGB."""


def paint(context: cairo.Context, items: Iterable[Painted | Picture]) -> None:
    """Paint `items`, the first at the bottom; one unit of `context` is one millimetre."""
    for item in items:
        if isinstance(item, Picture):
            _show(context, item)
        else:
            _paint(context, item)


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """The part of some rows of a picture in which anything is painted."""

    left: int
    """Columns of the picture to the left of it, px."""
    pixels: Rgba
    """Its pixels; as high as the rows asked for."""


def strip(drawing: Drawing, px_per_mm: tuple[float, float], columns: int, rows: range) -> Strip | None:
    """Return what is painted in `rows` of the drawing, bleed included, `columns` wide; none if nothing is."""
    media = drawing.media
    top, bottom = (media.y0 + row / px_per_mm[1] for row in (rows.start, rows.stop))
    reaches = [(item, _reach(item)) for item in drawing.items if _shows(item)]
    here = [(item, reach) for item, reach in reaches if reach.y0 < bottom and top < reach.y1]
    if not here:
        return None
    # A pixel more on each side, for what is painted reaches into every pixel that it touches.
    left = int((min(reach.x0 for _, reach in here) - media.x0) * px_per_mm[0]) - 1
    right = int((max(reach.x1 for _, reach in here) - media.x0) * px_per_mm[0]) + 2
    left, right = max(left, 0), min(right, columns)
    if left >= right:
        return None
    surface = cairo.ImageSurface(cairo.FORMAT_ARGB32, right - left, len(rows))
    context = cairo.Context(surface)
    context.set_antialias(cairo.ANTIALIAS_BEST)
    context.translate(-left, -rows.start)
    context.scale(*px_per_mm)
    context.translate(-media.x0, -media.y0)
    paint(context, [item for item, _ in here])
    surface.flush()
    return Strip(left, _unmultiplied(surface))


def _shows(item: Painted | Picture) -> bool:
    return isinstance(item, Picture) or bool(item.path.contours)


def _reach(item: Painted | Picture) -> Rect:
    """Return a box that holds all that an item may show, mm, its line and handles counted."""
    if isinstance(item, Picture):
        return item.rect
    knots = np.concatenate([contour.knots.reshape(-1, 2) for contour in item.path.contours])
    (x0, y0), (x1, y1) = knots.min(axis=0).tolist(), knots.max(axis=0).tolist()
    return Rect(x0, y0, x1, y1).inset(-item.stroke_mm)


def _unmultiplied(surface: cairo.ImageSurface) -> Rgba:
    """Return a surface's pixels as red, green, blue, alpha; it keeps them as blue, green, red times alpha."""
    words = surface.get_stride() // 4
    native = np.frombuffer(surface.get_data(), np.uint32).reshape(-1, words)[:, : surface.get_width()]
    alpha = native >> 24
    pixels = np.empty((*native.shape, 4), np.uint8)
    for channel, shift in enumerate((16, 8, 0, 24)):
        pixels[:, :, channel] = native >> shift
    edge = np.flatnonzero((alpha > 0) & (alpha < 255))
    some = pixels.reshape(-1, 4)[edge].astype(np.uint32)
    some[:, :3] = (some[:, :3] * 255 + some[:, 3:] // 2) // some[:, 3:]
    pixels.reshape(-1, 4)[edge] = some.clip(0, 255).astype(np.uint8)
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
    for piece in contour.pieces[:, 1:].reshape(-1, 6).tolist():
        context.curve_to(*piece)
    context.close_path()


def _use(context: cairo.Context, colour: Colour) -> None:
    context.set_source_rgb(colour.red / 255, colour.green / 255, colour.blue / 255)
