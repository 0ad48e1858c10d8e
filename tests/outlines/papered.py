"""Letters of open typefaces on a page that is saved to a file and read again, with their true outlines."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from lettering.capture.box import Box
from lettering.capture.ink.ink import Ink, find_ink
from lettering.capture.page import PageImage
from lettering.capture.paper.flatten import flattened
from lettering.steps.sharpening import without_sharpening
from lettering.units import MM_PER_INCH
from tests.outlines.scanned import MARGIN, Scan
from tests.simulated_page import SimulatedPage
from tests.simulated_photo import Phone, photographed

WHITE, BLACK = 0.83, 0.03
"""Linear reflectance of paper and ink."""

A4 = (297.0, 210.0)
"""The sheet that is photographed, lying: ISO 216, mm."""

GAP = 2 * MARGIN
"""Paper between the letters of a page, px."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """How a page is lit, sharpened and saved by a scanner."""

    gradient: float = 0.0
    """Share of the light that is lost across the page."""
    sharpening: float = 0.0
    """Share of an unsharp mask that the scanner adds."""
    width: float = 1.0
    """Standard deviation of the mask's Gaussian, px."""
    in_light: bool = False
    """Whether linear light is sharpened; else the values that are saved."""
    quality: int | None = None
    """Quality of a JPEG; none for a file without loss."""
    noise: float = 6 / 210
    """Standard deviation of the noise, as a share of the contrast."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Papered:
    """A letter as it is read from the page."""

    scan: Scan
    noise: float
    """Standard deviation of coverage that capture tells of the paper nearby."""


def scanned_page(some: Sequence[Scan], saved: Saved, seed: int = 1) -> PageImage:
    """Return a page of letters, scanned without noise, in sRGB of eight bits."""
    coverage, _ = _laid(some)
    lamp = 1 - saved.gradient * np.linspace(0, 1, coverage.shape[1])
    light = (WHITE + (BLACK - WHITE) * coverage) * lamp
    light += np.random.default_rng(seed).normal(0, saved.noise * (WHITE - BLACK), light.shape)
    values = _sharpened(light, saved) if saved.in_light else light
    values = _encoded(values)
    values = values if saved.in_light else _sharpened(values, saved)
    pixels = _reread(np.asarray(np.rint(np.clip(values, 0, 1) * 255), dtype=np.uint8), saved.quality)
    return PageImage(name="page.png", pixels=pixels, ppi=some[0].px_per_mm * MM_PER_INCH)


def read_again(some: Sequence[Scan], saved: Saved, seed: int = 1) -> list[Papered]:
    """Return letters of one scanned page as capture reads them."""
    ink = find_ink(without_sharpening(scanned_page(some, saved, seed)))
    return [_read(scan, ink, box, scan.truth) for scan, box in zip(some, _laid(some)[1], strict=True)]


def photographed_again(
    some: Sequence[Scan], phone: Phone, size_mm: tuple[float, float] = A4
) -> list[Papered]:
    """Return letters of a sheet that a phone saw, laid flat; they are neither blurred nor grained before.

    Where the sheet lies in the picture is given.
    """
    px_per_mm = some[0].px_per_mm
    shape = round(size_mm[1] * px_per_mm), round(size_mm[0] * px_per_mm)
    coverage, places = _laid(some, shape)
    blank = PageImage(name="photo.jpg", pixels=np.zeros((1, 1), dtype=np.uint8), ppi=px_per_mm * MM_PER_INCH)
    sheet = SimulatedPage(page=blank, letters=(), coverage=coverage, x_height_px=0.0)
    photo = photographed(sheet, phone=phone)
    flat = flattened(without_sharpening(photo.page), photo.to_picture, photo.size_mm)
    assert flat.ppi
    scale = flat.ppi / MM_PER_INCH / px_per_mm
    ink, found = find_ink(flat), []
    for scan, box in zip(some, places, strict=True):
        seen = Box(*(round(edge * scale) for edge in (box.top, box.left, box.bottom, box.right)))
        truth = shapely.transform(
            scan.truth,
            lambda p, box=box, seen=seen: (p + (box.left, box.top)) * scale - (seen.left, seen.top),
        )
        found.append(_read(replace(scan, px_per_mm=px_per_mm * scale), ink, seen, truth))
    return found


def _laid(
    some: Sequence[Scan], shape: tuple[int, int] | None = None
) -> tuple[NDArray[np.float32], list[Box]]:
    """Lay letters out in rows on a page, as small as holds them or of some shape; return where, too."""
    high, wide = (max(scan.coverage.shape[axis] for scan in some) + GAP for axis in (0, 1))
    height, width = shape or (1, 1)
    columns = round((len(some) * width / height * (1 if shape else high / wide)) ** 0.5) or 1
    rows = -(-len(some) // columns)
    height, width = shape or (rows * high + GAP, columns * wide + GAP)
    page, boxes = np.zeros((height, width), dtype=np.float32), []
    for k, scan in enumerate(some):
        top, left = (
            GAP + k // columns * ((height - GAP) // rows),
            GAP + k % columns * ((width - GAP) // columns),
        )
        box = Box(top, left, top + scan.coverage.shape[0], left + scan.coverage.shape[1])
        page[box.slices] = scan.coverage
        boxes.append(box)
    return page, boxes


def _read(scan: Scan, ink: Ink, box: Box, truth: shapely.Geometry) -> Papered:
    return Papered(scan=replace(scan, coverage=ink.coverage(box), truth=truth), noise=ink.noise_near(box))


def _sharpened(values: NDArray[np.float64], saved: Saved) -> NDArray[np.float64]:
    return values + saved.sharpening * (values - ndimage.gaussian_filter(values, saved.width))


def _encoded(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return sRGB values 0..1 of linear light (IEC 61966-2-1)."""
    light = np.clip(light, 0, 1)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def _reread(pixels: NDArray[np.uint8], quality: int | None) -> NDArray[np.uint8]:
    if quality is None:
        return pixels
    data = io.BytesIO()
    Image.fromarray(pixels).save(data, "JPEG", quality=quality)
    return np.asarray(Image.open(data))
