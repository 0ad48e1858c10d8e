"""Whether the art is fit for print, and lettering without a bubble stands out from it."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.checks.catalogue import finding
from lettering.checks.contrast import relative_luminance
from lettering.checks.drawn import DrawnLine, drawn
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread
from lettering.drawing import BLACK, Colour
from lettering.geometry.rect import Rect
from lettering.setting.reading_age import ReadingBand
from lettering.units import MM_PER_INCH

LEAST_PPI = 300.0
"""Resolution of colour art at print size."""

STRETCH = 0.01
"""Share by which art may be stretched one way more than the other: on 500 mm, 5 mm at the edge."""

WHITE_SHARE = 0.98
"""A strip of bleed so white was not painted."""

ROUND_X_HEIGHTS = 0.3
"""How far round a letter the art counts as its ground, in x-heights."""

PERCENTILE = 5.0
"""Share of the ground, per cent, that may have less contrast: a few dark specks take no letter away."""


@dataclass(frozen=True, slots=True, eq=False)
class Art:
    """The art of a spread; it is printed over trim and bleed."""

    pixels: NDArray[np.uint8]
    """sRGB, shape (rows, columns, 3), perhaps made smaller."""
    size: tuple[int, int]
    """Columns and rows of the picture on disk."""


def check_art(
    finished: FinishedSpread, art: Art, bleed_mm: float, band: ReadingBand, *, ink: Colour = BLACK
) -> Iterator[Finding]:
    """Yield what is wrong with the art of one spread for printing, and with lettering that stands on it."""
    media = finished.frame.trim.inset(-bleed_mm)
    label = finished.spread.label
    yield from _size(label, art, media)
    yield from _bleed(label, art, media, bleed_mm)
    for line in drawn(finished):
        if line.finished.bubble is None and not line.finished.stack.outline_mm:
            yield from _contrast(line, art, media, ink, band)


def _size(label: str, art: Art, media: Rect) -> Iterator[Finding]:
    across, down = art.size[0] / media.width, art.size[1] / media.height
    ppi = min(across, down) * MM_PER_INCH
    if round(ppi) < LEAST_PPI:
        wide, high = (round(side / MM_PER_INCH * LEAST_PPI) for side in (media.width, media.height))
        message = (
            f"the art has {ppi:.0f} pixels an inch at print size; {wide} x {high} pixels make {LEAST_PPI:g}."
        )
        yield finding("art-resolution", label, message, ppi, LEAST_PPI)
    stretch = max(across, down) / min(across, down) - 1
    if stretch > STRETCH:
        message = (
            f"the art would be stretched by {100 * stretch:.1f} %: its sides are as "
            f"{art.size[0]} to {art.size[1]}, trim and bleed as {media.width:g} to {media.height:g} mm."
        )
        yield finding("art-bleed", label, message, 100 * stretch, 0.0)


def _bleed(label: str, art: Art, media: Rect, bleed_mm: float) -> Iterator[Finding]:
    """Yield sides whose bleed is white while the art beside it is not."""
    rows, columns = art.pixels.shape[:2]
    down, across = round(bleed_mm / media.height * rows), round(bleed_mm / media.width * columns)
    if not down or not across:
        return
    sides = {
        "top": (art.pixels[:down], art.pixels[down : 2 * down]),
        "bottom": (art.pixels[-down:], art.pixels[-2 * down : -down]),
        "left": (art.pixels[:, :across], art.pixels[:, across : 2 * across]),
        "right": (art.pixels[:, -across:], art.pixels[:, -2 * across : -across]),
    }
    bare = [side for side, (out, inside) in sides.items() if _white(out) > WHITE_SHARE >= _white(inside)]
    if bare:
        message = f"the bleed is white at the {' and '.join(bare)}: paint the art past the trim."
        whitest = max(100 * _white(sides[side][0]) for side in bare)
        yield finding("art-bleed", label, message, whitest, 100 * WHITE_SHARE)


def _white(pixels: NDArray[np.uint8]) -> float:
    return float((pixels.min(axis=2) == 255).mean())


def _contrast(line: DrawnLine, art: Art, media: Rect, ink: Colour, band: ReadingBand) -> Iterator[Finding]:
    reach = ROUND_X_HEIGHTS * line.finished.stack.x_height_mm
    boxes = [glyph.ink.inset(-reach) for glyph in line.finished.stack.glyphs]
    ground = np.concatenate([_under(box, art, media) for box in boxes])
    ratio = _least_contrast(ground, ink)
    if ratio < band.contrast:
        yield finding(
            "contrast",
            line.where,
            f"the lettering stands out only {ratio:.1f} to 1 from the art. Move it to a lighter place.",
            ratio,
            band.contrast,
            f"WCAG 2.2, contrast ratio; {band.sources.get('contrast', 'house default')}",
        )


def _under(box: Rect, art: Art, media: Rect) -> NDArray[np.uint8]:
    """Return the pixels, shape (n, 3), of the art that lie in `box`; at least one."""
    rows, columns = art.pixels.shape[:2]
    x0, x1 = ((x - media.x0) / media.width * columns for x in (box.x0, box.x1))
    y0, y1 = ((y - media.y0) / media.height * rows for y in (box.y0, box.y1))
    left, top = min(max(int(x0), 0), columns - 1), min(max(int(y0), 0), rows - 1)
    right, bottom = max(int(x1) + 1, left + 1), max(int(y1) + 1, top + 1)
    return art.pixels[top:bottom, left:right].reshape(-1, 3)


def _least_contrast(ground: NDArray[np.uint8], ink: Colour) -> float:
    """Return the contrast that all but the worst 5 % of the ground (n, 3) reaches."""
    part = ground / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    light = linear @ np.array([0.2126, 0.7152, 0.0722]) + 0.05
    own = relative_luminance(ink) + 0.05
    return float(np.percentile(np.maximum(light, own) / np.minimum(light, own), PERCENTILE))
