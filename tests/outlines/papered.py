"""Letters of open typefaces on a page that is saved to a file and read again, with their true outlines."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image

from lettering.capture.box import Box
from lettering.capture.flatten import flattened
from lettering.capture.ink import Ink, find_ink
from lettering.capture.page import PageImage
from lettering.units import MM_PER_INCH
from tests.outlines.scanned import MARGIN, Scan, Scanner, scans
from tests.simulated_page import SimulatedPage
from tests.simulated_photo import Phone, photographed

WHITE, BLACK = 0.83, 0.03
"""Linear reflectance of paper and ink."""

GAP = 2 * MARGIN
"""Paper between the letters of a page, px."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """How a page is lit and saved."""

    gradient: float = 0.0
    """Share of the light that is lost across the page."""
    quality: int | None = None
    """Quality of a JPEG; none for a file without loss."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Papered:
    """A letter as it is read from the page."""

    scan: Scan
    noise: float
    """Standard deviation of coverage that capture tells of the paper nearby."""


def read_again(face: str, letters: str, seed: int, *, ppi: int, saved: Saved) -> list[Papered]:
    """Return letters scanned on one page in sRGB of eight bits, saved and read by capture's own ink."""
    some = list(scans(face, Scanner(ppi=ppi, noise=0.0), letters, seed))
    page, places = _laid(some)
    random = np.random.default_rng(seed)
    lamp = 1 - saved.gradient * np.linspace(0, 1, page.shape[1])
    light = (WHITE + (BLACK - WHITE) * page) * lamp + random.normal(0, 6 / 210 * (WHITE - BLACK), page.shape)
    pixels = _reread(_encoded(light), saved.quality)
    ink = find_ink(PageImage(name=face, pixels=pixels, ppi=ppi))
    return [_read(scan, ink, box, scan.truth) for scan, box in zip(some, places, strict=True)]


def photographed_again(face: str, letters: str, seed: int, *, phone: Phone, ppi: int = 500) -> list[Papered]:
    """Return letters of a page photographed by a phone and laid flat; the place of the page is given."""
    some = list(scans(face, Scanner(ppi=ppi, noise=0.0, blur=(0.0, 0.0)), letters, seed))
    coverage, places = _laid(some)
    blank = PageImage(name=face, pixels=np.zeros((1, 1), dtype=np.uint8), ppi=ppi)
    sim = SimulatedPage(page=blank, letters=(), coverage=coverage, x_height_px=0.0)
    photo = photographed(sim, phone=phone)
    flat = flattened(photo.page, photo.to_picture, photo.size_mm)
    assert flat.ppi
    scale = flat.ppi / ppi
    ink, found = find_ink(flat), []
    for scan, box in zip(some, places, strict=True):
        seen = Box(*(round(edge * scale) for edge in (box.top, box.left, box.bottom, box.right)))
        truth = shapely.transform(
            scan.truth,
            lambda p, box=box, seen=seen: (p + (box.left, box.top)) * scale - (seen.left, seen.top),
        )
        found.append(_read(replace(scan, px_per_mm=flat.ppi / MM_PER_INCH), ink, seen, truth))
    return found


def _laid(some: Sequence[Scan]) -> tuple[NDArray[np.float32], list[Box]]:
    """Lay the letters out in rows; return the page's coverage and where each stands."""
    height = max(scan.coverage.shape[0] for scan in some) + GAP
    width = max(scan.coverage.shape[1] for scan in some) + GAP
    across = max(1, round((len(some) * height / width) ** 0.5 * 1.2))
    page = np.zeros((-(-len(some) // across) * height + GAP, across * width + GAP), dtype=np.float32)
    boxes = []
    for k, scan in enumerate(some):
        top, left = GAP + k // across * height, GAP + k % across * width
        box = Box(top, left, top + scan.coverage.shape[0], left + scan.coverage.shape[1])
        page[box.slices] = scan.coverage
        boxes.append(box)
    return page, boxes


def _read(scan: Scan, ink: Ink, box: Box, truth: shapely.Geometry) -> Papered:
    return Papered(scan=replace(scan, coverage=ink.coverage(box), truth=truth), noise=ink.noise_near(box))


def _encoded(light: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Return eight-bit sRGB values of linear light (IEC 61966-2-1)."""
    light = np.clip(light, 0, 1)
    curve = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(curve * 255), dtype=np.uint8)


def _reread(pixels: NDArray[np.uint8], quality: int | None) -> NDArray[np.uint8]:
    if quality is None:
        return pixels
    data = io.BytesIO()
    Image.fromarray(pixels).save(data, "JPEG", quality=quality)
    return np.asarray(Image.open(data))
