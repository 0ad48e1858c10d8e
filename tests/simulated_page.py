"""Lettered pages with a known truth: text set in an open typeface, then seen as a flat-bed scanner sees it.

FreeType's smooth rasteriser gives the exact area that a glyph covers of each pixel. Coverage mixes paper and
ink in linear light; then come blur, uneven light, grain and the sRGB encoding (IEC 61966-2-1).
"""

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import freetype
import numpy as np
import uharfbuzz as hb
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, label

from lettering.capture.page import PageImage
from lettering.geometry.rect import Rect
from lettering.units import mm_to_px

TYPEFACES = Path(__file__).parent / "typefaces"


def typeface(name: str) -> Path:
    """Return the file of a typeface in tests/typefaces, by its folder's name."""
    return next((TYPEFACES / name).glob("*.ttf"))


Matrix = tuple[float, float, float, float]
STEADY: Matrix = (1.0, 0.0, 0.0, 1.0)
"""A glyph drawn just as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """How the words stand on the paper."""

    x_height_mm: float = 6.0
    """Height of the typeface's x on paper."""
    row_pitch: float = 3.4
    """Distance between baselines, x-heights."""
    margin: float = 3.0
    """Blank paper round the words, x-heights."""
    spacing: float = 0.0
    """Added after every letter, x-heights; negative makes letters touch."""
    slope_degrees: float = 0.0
    """Turn of the rows, positive when they sink to the right; the letters themselves stay upright."""
    wander: float = 0.0
    """How far a row's baseline swings slowly up and down, x-heights (sd)."""
    jitter: float = 0.0
    """How far single letters stray from their place in both directions, x-heights (sd)."""
    unsteady: float = 0.0
    """How far each letter is stretched, slanted and turned, so that no two are alike (sd of its matrix)."""
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Scan:
    """How the paper is seen."""

    ppi: float = 400.0
    blur_px: float = 0.7
    """Standard deviation of the optics' Gaussian blur."""
    paper: tuple[float, float, float] = (0.83, 0.83, 0.83)
    """Linear reflectance of blank paper: red, green, blue; equal values make a grey picture."""
    ink: tuple[float, float, float] = (0.03, 0.03, 0.03)
    """Linear reflectance of full ink."""
    light_fall: float = 0.06
    """Share of the light that is lost from the brightest corner of the page to the darkest."""
    grain: float = 0.02
    """Standard deviation of the grain, linear reflectance."""
    grain_size_px: float = 0.0
    """Gaussian radius over which grain is alike; 0 is white grain."""
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueLetter:
    """Where a letter really is."""

    char: str
    row: int
    place: int
    """Index in the row's text, spaces counted."""
    box: Rect
    """Exact bounds of the glyph's outline, page px."""
    origin_x: float
    """Where the glyph's (0, 0) lies, page px."""
    baseline: float
    """y of the glyph's y = 0, page px."""
    px_per_unit: float
    """Page px for one font unit of the typeface."""
    drawn: Matrix = STEADY
    """How the glyph was drawn: xx, xy, yx, yy about its origin, y up."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SimulatedPage:
    """A picture of a lettered page and what is really on it."""

    page: PageImage
    letters: tuple[TrueLetter, ...]
    coverage: NDArray[np.float32]
    """The ink before it was scanned: exact area coverage of each pixel, 0..1."""
    x_height_px: float
    """Top of the typeface's x above the baseline."""


def simulated_page(
    font: Path, rows: tuple[str, ...], lettering: Lettering = Lettering(), scan: Scan = Scan()
) -> SimulatedPage:
    """Return `rows` set in the typeface `font`, lettered and scanned as told; the same bytes every time."""
    px_per_unit = mm_to_px(lettering.x_height_mm, scan.ppi) / _bounds(font, "x").y1
    letters = tuple(_set_rows(font, rows, lettering, px_per_unit))
    x_height_px = mm_to_px(lettering.x_height_mm, scan.ppi)
    margin = lettering.margin * x_height_px
    size = (
        int(max(a.box.y1 for a in letters) + margin),
        int(max(a.box.x1 for a in letters) + margin),
    )
    coverage = np.zeros(size, dtype=np.float32)
    for letter in letters:
        _add_ink(coverage, font, letter)
    np.minimum(coverage, 1, out=coverage)
    pixels = scanned(coverage, scan)
    page = PageImage(name=f"{font.stem}.png", pixels=pixels, ppi=scan.ppi)
    return SimulatedPage(page=page, letters=letters, coverage=coverage, x_height_px=x_height_px)


def scanned(coverage: NDArray[np.float32], scan: Scan) -> NDArray[np.uint8]:
    """Return what a scanner makes of ink `coverage` (h, w): grey (h, w), or colour (h, w, 3)."""
    rng = np.random.default_rng(scan.seed)
    ink = gaussian_filter(coverage, scan.blur_px) if scan.blur_px else coverage
    height, width = ink.shape
    down, across = np.linspace(0, 0.5, height)[:, None], np.linspace(0, 0.5, width)[None, :]
    light = 1 - scan.light_fall * (down + across)
    grain = _grain(rng, ink.shape, scan)
    grey = len(set(scan.paper)) == len(set(scan.ink)) == 1
    channels = [
        _encoded((paper + (full - paper) * ink) * light + grain)
        for paper, full in list(zip(scan.paper, scan.ink, strict=True))[: 1 if grey else 3]
    ]
    return channels[0] if grey else np.stack(channels, axis=-1)


def _grain(rng: np.random.Generator, shape: tuple[int, ...], scan: Scan) -> NDArray[np.float32]:
    noise = rng.standard_normal(shape, dtype=np.float32)
    if scan.grain_size_px:
        noise = gaussian_filter(noise, scan.grain_size_px)
        noise /= noise.std()
    return np.multiply(noise, scan.grain, dtype=np.float32)


def _encoded(linear: NDArray[np.floating]) -> NDArray[np.uint8]:
    """Return 8-bit sRGB values of linear light (IEC 61966-2-1)."""
    light = np.clip(linear, 0, 1, dtype=np.float32)
    curve = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    encoded: NDArray[np.uint8] = np.rint(curve * 255).astype(np.uint8)
    return encoded


def _set_rows(
    font: Path, rows: tuple[str, ...], lettering: Lettering, px_per_unit: float
) -> Iterator[TrueLetter]:
    rng = np.random.default_rng(lettering.seed)
    x_height = _bounds(font, "x").y1 * px_per_unit
    sink = np.tan(np.radians(lettering.slope_degrees))
    widest = max(sum(_advances(font, row)) for row in rows) * px_per_unit
    left = lettering.margin * x_height
    top = left + 2.2 * x_height + max(0.0, -sink * widest)
    for row, text in enumerate(rows):
        pen = left
        phase, waves = rng.uniform(0, 2 * np.pi), rng.uniform(0.7, 1.6)
        for place, (char, advance) in enumerate(zip(text, _advances(font, text), strict=True)):
            swing = lettering.wander * 2**0.5 * np.sin(phase + waves * 2 * np.pi * (pen - left) / widest)
            stray = rng.normal(0, lettering.jitter, 2) if lettering.jitter else np.zeros(2)
            origin = float(pen + stray[0] * x_height)
            baseline = float(top + row * lettering.row_pitch * x_height + sink * (pen - left))
            baseline += float(swing + stray[1]) * x_height
            if char != " ":
                drawn = _drawn(rng, lettering.unsteady)
                box = _placed(_bounds(font, char, drawn), origin, baseline, px_per_unit)
                yield TrueLetter(
                    char=char, row=row, place=place, box=box,
                    origin_x=origin, baseline=baseline, px_per_unit=px_per_unit, drawn=drawn,
                )  # fmt: skip
            pen += advance * px_per_unit + lettering.spacing * x_height


def _drawn(rng: np.random.Generator, unsteady: float) -> Matrix:
    """Return how the next letter is drawn: no number is drawn from `rng` for a steady hand."""
    if not unsteady:
        return STEADY
    xx, xy, yx, yy = rng.normal(0, unsteady, 4)
    return float(1 + xx), float(xy), float(yx), float(1 + yy)


def _placed(glyph: Rect, origin: float, baseline: float, scale: float) -> Rect:
    return Rect(
        origin + glyph.x0 * scale,
        baseline - glyph.y1 * scale,
        origin + glyph.x1 * scale,
        baseline - glyph.y0 * scale,
    )


def _add_ink(coverage: NDArray[np.float32], font: Path, letter: TrueLetter) -> None:
    """Add the exact area that the letter covers of each pixel."""
    place, ink = inked(font, letter)
    coverage[place] += ink


def touching(font: Path, sim: SimulatedPage) -> list[TrueLetter]:
    """Return the letters whose ink runs together with another's."""
    numbers = label(sim.coverage > 0.5, np.ones((3, 3)))[0]
    owners: dict[int, set[int]] = {}
    for index, letter in enumerate(sim.letters):
        place, ink = inked(font, letter)
        for number in np.unique(numbers[place][ink > 0.5]):
            owners.setdefault(int(number), set()).add(index)
    together = set().union(*(letters for letters in owners.values() if len(letters) > 1))
    return [sim.letters[index] for index in sorted(together)]


def inked(font: Path, letter: TrueLetter) -> tuple[tuple[slice, slice], NDArray[np.float32]]:
    """Return where on the page a letter's own ink is, and the exact area that it covers of each pixel."""
    left, top = int(letter.box.x0) - 2, int(letter.box.y0) - 2
    width, height = int(letter.box.x1) + 3 - left, int(letter.box.y1) + 3 - top
    face = _face(font)
    face.load_char(letter.char, freetype.FT_LOAD_NO_SCALE | freetype.FT_LOAD_NO_BITMAP)
    outline = face.glyph.outline._FT_Outline
    # FreeType keeps outlines in 1/64 px, y up from the crop's lower edge; a matrix is in 1/65536.
    scale = freetype.FT_Matrix(*(round(letter.px_per_unit * 64 * 0x10000 * part) for part in letter.drawn))
    freetype.FT_Outline_Transform(ctypes.byref(outline), ctypes.byref(scale))
    x, y = letter.origin_x - left, top + height - letter.baseline
    freetype.FT_Outline_Translate(ctypes.byref(outline), round(x * 64), round(y * 64))
    ink = np.zeros((height, width), dtype=np.uint8)
    bitmap = freetype.FT_Bitmap(
        rows=height, width=width, pitch=width, num_grays=256, pixel_mode=freetype.FT_PIXEL_MODE_GRAY,
        buffer=ink.ctypes.data_as(ctypes.POINTER(ctypes.c_ubyte)),
    )  # fmt: skip
    failed = freetype.FT_Outline_Get_Bitmap(
        freetype.get_handle(), ctypes.byref(outline), ctypes.byref(bitmap)
    )
    assert not failed, failed
    share = np.asarray(ink / np.float32(255), dtype=np.float32)
    return (slice(top, top + height), slice(left, left + width)), share


@cache
def _face(font: Path) -> freetype.Face:
    return freetype.Face(str(font))


@cache
def _bounds(font: Path, char: str, drawn: Matrix = STEADY) -> Rect:
    """Return the bounds of a glyph's outline as it is drawn, font units, y up."""
    if not covers(font, char):
        raise ValueError(f"{font.stem} has no {char!r}")
    glyphs = _glyphs(font).getGlyphSet()
    pen = BoundsPen(glyphs)
    xx, xy, yx, yy = drawn
    glyphs[_names(font)[ord(char)]].draw(TransformPen(pen, (xx, yx, xy, yy, 0, 0)))
    return Rect(*pen.bounds)


@cache
def _glyphs(font: Path) -> TTFont:
    return TTFont(font)


@cache
def _names(font: Path) -> dict[int, str]:
    return dict(_glyphs(font).getBestCmap())


@cache
def _advances(font: Path, text: str) -> tuple[float, ...]:
    """Return the advance of each character as HarfBuzz sets it, kerning on, ligatures off, font units."""
    shaper = hb.Font(hb.Face(hb.Blob.from_file_path(str(font))))
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(shaper, buffer, {"liga": False, "calt": False, "clig": False, "kern": True})
    advances = [0.0] * len(text)
    for glyph, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        advances[glyph.cluster] += position.x_advance
    return tuple(advances)


def covers(font: Path, text: str) -> bool:
    """Tell whether the typeface has every character of `text` but its spaces."""
    return set(map(ord, text)) - {0x20} <= set(_names(font))
