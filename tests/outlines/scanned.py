"""Letters of open typefaces as a scanner would see them, with their true outlines."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import freetype
import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage
from shapely.geometry.polygon import orient

TYPEFACES = Path(__file__).resolve().parent.parent / "typefaces"
LETTERS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,!?'"
CAPITAL_MM = 12.0
"""Height of a capital H on the simulated paper."""

FINER = 4
"""Pixels are drawn this many times finer, blurred, then averaged: the integral over a pixel."""

MARGIN = 6
"""Paper round a letter, px."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scan:
    """One letter as a scanner sees it, and what it truly is."""

    char: str
    coverage: NDArray[np.float32]
    """Shape (h, w), 0 paper to 1 ink, blurred and with noise."""
    truth: shapely.Geometry
    """The ink as polygons, px, y down, flattened within 0.002 px."""
    px_per_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanner:
    """How the simulated scanner sees."""

    ppi: int = 400
    blur: tuple[float, float] = (0.7, 0.7)
    """Gaussian blur down and across, px."""
    noise: float = 6 / 210
    """Standard deviation of coverage: 6 grey values of a contrast of 210."""
    grain: float = 0.0
    """Gaussian correlation of the noise, px; 0 is white."""
    sharpening: float = 0.0
    """Share of what a Gaussian of 1 px takes away that is added again, as scanners do."""
    clipped: bool = False
    """Whether coverage is cut at 0 and 1."""


def scans(typeface: str, scanner: Scanner, letters: str = LETTERS, seed: int = 1) -> Iterator[Scan]:
    """Yield scans of those of `letters` that a typeface has, each at a random place between pixels."""
    face = freetype.Face(str(next((TYPEFACES / typeface).glob("*.ttf"))))
    random = np.random.default_rng(seed)
    face.load_char("H", freetype.FT_LOAD_NO_SCALE)
    em = face.units_per_EM / face.glyph.outline.get_bbox().yMax * CAPITAL_MM * scanner.ppi / 25.4
    size = round(em * FINER * 64)
    face.set_char_size(size, size, 72, 72)
    for char in letters:
        if face.get_char_index(char):
            yield _scan(face, char, scanner, random)


def _scan(face: freetype.Face, char: str, scanner: Scanner, random: np.random.Generator) -> Scan:
    shift = freetype.Vector(*(int(v) for v in random.integers(0, FINER * 64, 2)))
    face.set_transform(freetype.Matrix(0x10000, 0, 0, 0x10000), shift)
    # FreeType's smooth rasteriser: exact area coverage in 256 levels (FT_RENDER_MODE_NORMAL).
    face.load_char(char, freetype.FT_LOAD_NO_HINTING | freetype.FT_LOAD_NO_BITMAP)
    rings = _rings(face.glyph.outline)
    face.glyph.render(freetype.FT_RENDER_MODE_NORMAL)
    bitmap = face.glyph.bitmap
    memory = np.ctypeslib.as_array(bitmap._FT_Bitmap.buffer, (bitmap.rows, bitmap.pitch))
    drawn = memory[:, : bitmap.width].astype(np.float64)
    left = face.glyph.bitmap_left // FINER - MARGIN
    top = -(face.glyph.bitmap_top // FINER) - 1 - MARGIN
    x, y = face.glyph.bitmap_left - left * FINER, -face.glyph.bitmap_top - top * FINER
    h, w = -(-(y + bitmap.rows) // FINER) + MARGIN, -(-(x + bitmap.width) // FINER) + MARGIN
    fine = np.zeros((h * FINER, w * FINER))
    fine[y : y + bitmap.rows, x : x + bitmap.width] = drawn / 255
    truth = _filled([ring * (1, -1) / FINER - (left, top) for ring in rings])
    return Scan(char=char, coverage=_seen(fine, scanner, random), truth=truth, px_per_mm=scanner.ppi / 25.4)


def _seen(fine: NDArray[np.float64], scanner: Scanner, random: np.random.Generator) -> NDArray[np.float32]:
    blurred = ndimage.gaussian_filter(fine, np.array(scanner.blur) * FINER)
    h, w = (n // FINER for n in fine.shape)
    coverage = blurred.reshape(h, FINER, w, FINER).mean(axis=(1, 3))
    noise = random.normal(0, 1, coverage.shape)
    if scanner.grain:
        noise = ndimage.gaussian_filter(noise, scanner.grain)
        noise /= noise.std()
    seen = coverage + scanner.noise * noise
    seen += scanner.sharpening * (seen - ndimage.gaussian_filter(seen, 1.0))
    return (np.clip(seen, 0, 1) if scanner.clipped else seen).astype(np.float32)


def _rings(outline: freetype.Outline) -> list[NDArray[np.float64]]:
    """Return the outline's contours as dense polygons, in finer px, y up."""
    rings: list[list[tuple[float, float]]] = []

    def start(to: freetype.Vector, _: object) -> None:
        rings.append([(to.x, to.y)])

    def curve(*arguments: object) -> None:
        controls = [rings[-1][-1], *((p.x, p.y) for p in arguments[:-1])]  # type: ignore[attr-defined]
        t = np.linspace(0, 1, 33 if len(controls) > 2 else 2)[1:, None]
        points = [np.array(p, dtype=np.float64)[None] for p in controls]
        while len(points) > 1:
            points = [a * (1 - t) + b * t for a, b in pairwise(points)]
        rings[-1].extend(map(tuple, points[0]))

    outline.decompose(None, move_to=start, line_to=curve, conic_to=curve, cubic_to=curve)
    return [np.array(ring) / 64 for ring in rings if len(ring) > 2]


def _filled(rings: list[NDArray[np.float64]]) -> shapely.MultiPolygon:
    """Return the area that rings fill under the non-zero rule, each piece turning from x toward y."""
    lines = shapely.union_all([shapely.LinearRing(ring) for ring in rings])
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    inside = [face for face in faces if _windings(rings, shapely.point_on_surface(face)) != 0]
    parts = shapely.get_parts(shapely.union_all(inside))
    return shapely.MultiPolygon([orient(part) for part in parts if part.area > 0.01])


def _windings(rings: list[NDArray[np.float64]], at: shapely.Point) -> int:
    """Return how often the rings go round a point."""
    turns = 0.0
    for ring in rings:
        x, y = (ring - (at.x, at.y)).T
        turn = np.diff(np.arctan2(y, x), append=np.arctan2(y[0], x[0]))
        turns += float(((turn + np.pi) % (2 * np.pi) - np.pi).sum())
    return round(turns / (2 * np.pi))


def coverage_of(
    inside: Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.bool_]],
    size: int,
    blur: float = 0.7,
    finer: int = 8,
) -> NDArray[np.float64]:
    """Return the coverage, shape (size, size), of the points that `inside(x, y)` says are ink, blurred."""
    y, x = (np.mgrid[0 : size * finer, 0 : size * finer] + 0.5) / finer
    fine = ndimage.gaussian_filter(inside(x, y).astype(np.float64), blur * finer)
    return np.asarray(fine.reshape(size, finer, size, finer).mean(axis=(1, 3)))
