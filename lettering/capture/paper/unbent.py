"""A page whose edges are out of sight, made flat from the rows of its lettering.

Rows that converge are made parallel and those that bend are made straight, in one step from the picture's own
pixels, in linear light. A page whose rows are straight is left as it is.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates, spline_filter

from lettering.capture.box import Box
from lettering.capture.ink.ink import find_ink
from lettering.capture.ink.pieces import find_pieces
from lettering.capture.light import encoded, linear_table
from lettering.capture.page import PageImage
from lettering.capture.paper.edges import PAPER_SHARE
from lettering.capture.paper.feet import Feet, find_feet
from lettering.capture.paper.flatten import BAND_ROWS, MOST_PIXELS, REACH_PX, sample_at
from lettering.capture.paper.sheet_curve import SheetCurve, fit_sheet
from lettering.errors import ReadingError

FEWEST_ROWS, FEWEST_FEET = 3, 30
"""Fewer rows or letters do not tell a bend from a hand that wanders."""
BENT = 0.15
"""Rows that stay this near to straight and parallel, usual heights of a letter, are left alone."""
CALMER = 0.65
"""Feet must stray from their rows at most so many times as far as before, or it was no common bend."""
LOOSEST = 0.2
"""Feet that stray farther than this from the fitted rows (median), usual heights, are not of rows."""
MOST_GROWN = 2.0
"""A sheet that is seen larger or smaller in places by more than this is too steep to be made flat."""
MARGIN = 10.0
"""Paper kept round the rows, usual heights of a letter, where the picture shows so much."""
KNOTS = 1000
"""Places across the picture between which the length of the paper is followed."""

BLOCK_PX = 32
"""Blocks by which paper goes on past the picture: letters are not so large that they fill one."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Unbending:
    """Where each point of the flat page is in its picture."""

    sheet: SheetCurve
    across: Floats
    """Places across the turned picture, ascending, shape (k,)."""
    along: Floats
    """How far along the paper each of them is, px at the letters' middle, shape (k,)."""
    left: float
    top: float
    """The flat page's corner on the paper, px at the letters' middle."""
    size: tuple[int, int]
    """Rows and columns of the flat page."""
    scale: float
    """Px of the flat page to one px at the letters' middle."""

    def flat(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Return where points of the picture, px, lie on the flat page, px."""
        across, _ = self.sheet.turned(x, y)
        along = np.interp(across, self.across, self.along)
        return (along - self.left) * self.scale, (self.sheet.heights(x, y) - self.top) * self.scale

    def seen(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Return where points of the flat page, columns `x` and rows `y` (px), lie in the picture, px."""
        across = np.interp(x / self.scale + self.left, self.along, self.across)
        depth, shift = self.sheet.curves(across)
        down = ((y[:, None] / self.scale + self.top) / self.sheet.focal - shift) / depth
        turn, (middle, level) = self.sheet.turn, self.sheet.centre
        u, v, away = (turn[0, k] * across + turn[1, k] * down + turn[2, k] for k in range(3))
        return self.sheet.focal * u / away + middle, self.sheet.focal * v / away + level


def unbent(page: PageImage) -> PageImage:
    """Return the page with its rows straight, level and even; the very page when they are already.

    A page whose rows cannot be followed is returned as it is. A scale that it had is kept for its middle.
    """
    unbending = unbending_of(page)
    if unbending is None:
        return page
    ppi = None if page.ppi is None else page.ppi * unbending.scale
    return replace(page, pixels=resampled(page.pixels, unbending), ppi=ppi)


def unbending_of(page: PageImage) -> Unbending | None:
    """Return how a page is to be made flat; none when its rows are straight or cannot be followed."""
    try:
        letters = find_feet(find_pieces(find_ink(page).mask(), page))
    except ReadingError:  # whoever reads the page says why
        return None
    feet = letters.standing
    if feet.rows < FEWEST_ROWS or len(feet.x) < FEWEST_FEET:
        return None
    # Letters that no chain reached find their row once the rows are level, and then count like the others.
    rough, _ = fit_sheet(feet, page.pixels.shape)
    feet = letters.gathered(rough.heights(letters.x, letters.y)).standing
    if feet.rows < FEWEST_ROWS:
        return None
    sheet, off = fit_sheet(feet, page.pixels.shape)
    if float(np.median(np.abs(off))) > LOOSEST or not _is_bent(feet, sheet, off):
        return None
    return _laid_out(sheet, feet, page.pixels.shape)


def _is_bent(feet: Feet, sheet: SheetCurve, off: Floats) -> bool:
    """Tell whether rows, apart from a common slope and their spacing, are not straight and parallel."""
    heights = sheet.heights(feet.x, feet.y)
    known = np.stack([np.ones_like(feet.x), feet.x, feet.y, feet.y**2 / feet.y.max()], axis=-1)
    bend = (heights - known @ np.linalg.lstsq(known, heights, rcond=None)[0]) / feet.unit
    return bool(np.percentile(np.abs(bend), 90) > BENT) and _stray(off) < CALMER * _stray(_before(feet))


def _before(feet: Feet) -> Floats:
    """Return how far feet are from straight, parallel rows, usual heights."""
    x, y = feet.x / feet.unit, feet.y / feet.unit
    across, down = (v - feet.middles(v)[feet.row] for v in (x, y))
    weight = np.ones_like(x)
    for _ in range(6):
        slope = float((weight * across * down).sum() / (weight * across**2).sum())
        off = down - slope * across
        weight = 1 / np.maximum(np.abs(off), 0.02)
    return off


def _stray(off: Floats) -> float:
    return float(np.median(np.abs(off)))


def _laid_out(sheet: SheetCurve, feet: Feet, shape: tuple[int, ...]) -> Unbending | None:
    """Return the flat page that shows all of the picture; none when the sheet is too steep for that."""
    height, width = shape[:2]
    edge, ends = np.linspace(0, 1, 50), np.repeat([0.0, 1.0], 50)
    x, y = np.append(np.tile(edge, 2), ends) * width, np.append(ends, np.tile(edge, 2)) * height
    frame = sheet.turned(x, y)[0]
    across = np.linspace(frame.min(), frame.max(), KNOTS)
    letters = sheet.turned(feet.x, feet.y)[0]
    near, far = (float(pick(sheet.curves(letters)[0])) for pick in (np.min, np.max))
    if near < 1 / MOST_GROWN or far > MOST_GROWN:
        return None
    along = sheet.along(across, near / MOST_GROWN)
    left, right = _within(along, np.interp(letters, across, along), feet.unit)
    top, bottom = _within(sheet.heights(x, y), sheet.heights(feet.x, feet.y), feet.unit)
    scale = min(1 / near, float(np.sqrt(MOST_PIXELS / ((right - left) * (bottom - top)))))
    size = max(1, round((bottom - top) * scale)), max(1, round((right - left) * scale))
    return Unbending(sheet=sheet, across=across, along=along, left=left, top=top, size=size, scale=scale)


def _within(picture: Floats, letters: Floats, unit: float) -> tuple[float, float]:
    """Return the first and last place kept: that of the letters and a margin, as far as the picture goes."""
    first = max(float(picture.min()), float(letters.min()) - MARGIN * unit)
    return first, min(float(picture.max()), float(letters.max()) + MARGIN * unit)


def resampled(pixels: NDArray[np.unsignedinteger], unbending: Unbending) -> NDArray[np.uint16]:
    """Return the flat page, sRGB-encoded; past the picture blank paper goes on."""
    rows, columns = unbending.size
    table = linear_table(int(np.iinfo(pixels.dtype).max))
    flat = np.empty((rows, columns, *pixels.shape[2:]), dtype=np.uint16)
    planes, blank = flat.reshape(rows, columns, -1), _blank(pixels)
    for top in range(0, rows, BAND_ROWS):
        below = min(top + BAND_ROWS, rows)
        u, v = unbending.seen(np.arange(columns, dtype=float) + 0.5, np.arange(top, below, dtype=float) + 0.5)
        first, last = np.clip([v.min(), v.max()], 0, pixels.shape[0] - 1).astype(int)
        seen = Box(int(first), 0, int(last) + 1, pixels.shape[1]).grown(REACH_PX, pixels.shape)
        crop = pixels[seen.slices].reshape(seen.height, seen.width, -1)
        for channel in range(crop.shape[2]):
            spline = spline_filter(table[crop[..., channel]], output=np.float32, mode="mirror")
            light = np.empty(u.shape, dtype=np.float32)
            sample_at(spline, u - 0.5, v - 0.5 - seen.top, light)
            past = (u < 0) | (v < 0) | (u > pixels.shape[1]) | (v > pixels.shape[0])
            around = np.stack([v[past], u[past]]) / BLOCK_PX - 0.5
            light[past] = map_coordinates(table[blank[..., channel]], around, order=1, mode="nearest")
            planes[top:below, :, channel] = encoded(light)
    return flat


def _blank(pixels: NDArray[np.unsignedinteger]) -> NDArray[np.unsignedinteger]:
    """Return the paper in blocks of a picture, (rows, columns, channels), as its lighter pixels have it."""
    high, wide = (max(side // BLOCK_PX, 1) for side in pixels.shape[:2])
    whole = pixels[: high * BLOCK_PX, : wide * BLOCK_PX]
    blocks = whole.reshape(high, whole.shape[0] // high, wide, whole.shape[1] // wide, -1)
    return np.asarray(np.quantile(blocks, PAPER_SHARE, axis=(1, 3)).astype(pixels.dtype))
