"""Letters enlarged, their traced outlines drawn over them, to be looked at."""

import io
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from lettering.geometry.contour import Contour

LINE, NODE, CORNER, HANDLE = (215, 30, 60), (20, 90, 200), (230, 130, 0), (120, 160, 220)
"""Colours of the outline, of smooth nodes, of corners, and of handles."""

KINK = 8.0
"""A node that turns by more, degrees, is marked as a corner."""

MARGIN = 12
"""White round each letter, px of the result."""


def overlay(coverage: NDArray[np.floating], contours: Sequence[Contour], zoom: int = 8) -> Image.Image:
    """Return a crop of coverage, every px drawn `zoom` px wide, with its outlines, nodes and handles."""
    # Coverage is light; a screen shows saved values, in which half covered looks half as dark.
    grey = np.clip(1 - 0.75 * coverage, 0, 1) * 255
    picture = Image.fromarray(grey.astype(np.uint8)).convert("RGB")
    picture = picture.resize((picture.width * zoom, picture.height * zoom), Image.Resampling.NEAREST)
    draw = ImageDraw.Draw(picture)
    for contour in contours:
        _draw(draw, contour, zoom)
    return picture


def sheet(pictures: Sequence[Image.Image], across: int) -> bytes:
    """Return pictures side by side, `across` in a row, as PNG."""
    width = max(picture.width for picture in pictures) + MARGIN
    height = max(picture.height for picture in pictures) + MARGIN
    rows = -(-len(pictures) // across)
    whole = Image.new("RGB", (width * across + MARGIN, height * rows + MARGIN), "white")
    for k, picture in enumerate(pictures):
        whole.paste(picture, (MARGIN + k % across * width, MARGIN + k // across * height))
    data = io.BytesIO()
    whole.save(data, "PNG")
    return data.getvalue()


def _draw(draw: ImageDraw.ImageDraw, contour: Contour, zoom: int) -> None:
    pieces = contour.pieces * zoom
    for start, out, back, end in pieces.tolist():
        draw.line([tuple(start), tuple(out)], fill=HANDLE)
        draw.line([tuple(end), tuple(back)], fill=HANDLE)
    ring = (contour.flattened(0.01) * zoom).tolist()
    draw.line([tuple(point) for point in [*ring, ring[0]]], fill=LINE, width=max(1, zoom // 5))
    into, out_of = np.roll(pieces[:, 3] - pieces[:, 2], 1, axis=0), pieces[:, 1] - pieces[:, 0]
    turn = np.degrees(np.arctan2(out_of[:, 1], out_of[:, 0]) - np.arctan2(into[:, 1], into[:, 0]))
    sharp = np.abs((turn + 180) % 360 - 180) > KINK
    for (x, y), corner in zip(pieces[:, 0].tolist(), sharp, strict=True):
        r = zoom / 2.5
        draw.ellipse(
            (x - r, y - r, x + r, y + r), outline=CORNER if corner else NODE, width=max(1, zoom // 4)
        )
