"""A printed sheet that is lettered by program and photographed by simulation, with all truth known.

The PDF is printed by PDFium at 300 ppi; letters are set on its guides in an open typeface; a pinhole camera
of known place sees it on a dark desk under a warm lamp, with blur, noise, sharpening and JPEG.
"""

import io
from dataclasses import dataclass, replace

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter, map_coordinates

from lettering.capture.page import PageImage
from lettering.geometry.point import Vector
from lettering.hand.sheet import Sheet
from lettering.units import MM_PER_INCH
from tests.simulated_page import Lettering, _add_ink, _bounds, _set_rows, typeface
from tests.simulated_photo import Phone, camera, sensed

PPI = 300.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetPhoto:
    """A photo of a sheet and where the paper lies in it."""

    page: PageImage
    to_picture: NDArray[np.float64]


def printed(pdf: bytes, ppi: float = PPI) -> NDArray[np.uint8]:
    """Return the first page as printed, shape (rows, columns, 3)."""
    page = pypdfium2.PdfDocument(pdf)[0]
    return np.asarray(page.render(scale=ppi / 72).to_pil().convert("RGB"))


def lettered(pdf: bytes, sheet: Sheet, face: str) -> NDArray[np.float64]:
    """Return the printed sheet, lettered on its guides; encoded sRGB 0..1, shape (rows, columns, 3)."""
    paper = printed(pdf) / 255.0
    scale = PPI / MM_PER_INCH
    ink = np.zeros(paper.shape[:2], dtype=np.float32)
    font, x_height = typeface(face), sheet.x_height_mm * scale
    px_per_unit = x_height / _bounds(font, "x").y1
    for row in sheet.rows:
        for letter in _set_rows(font, (row.text,), Lettering(margin=0.0, jitter=0.01), px_per_unit):
            down = row.baseline_mm * scale - 2.2 * x_height
            step = Vector(21.0 * scale, down)
            there = {"origin_x": letter.origin_x + step.x, "baseline": letter.baseline + step.y}
            _add_ink(ink, font, replace(letter, box=letter.box.moved(step), **there))
    return paper * (1 - np.minimum(ink, 1)[:, :, None]) + 0.16 * np.minimum(ink, 1)[:, :, None]


def photographed(paper: NDArray[np.float64], phone: Phone) -> SheetPhoto:
    """Return a photo of a sheet that lies on the desk."""
    scale = PPI / MM_PER_INCH
    size = paper.shape[1] / scale, paper.shape[0] / scale
    to_picture = camera(size, phone)
    rng = np.random.default_rng(phone.seed)
    y, x = np.mgrid[0 : phone.height_px, 0 : phone.width_px] + 0.5
    back = np.linalg.inv(to_picture)
    seen = np.tensordot(back, np.stack([x, y, np.ones_like(x)]), axes=1)
    across, down = seen[0] / seen[2] * scale - 0.5, seen[1] / seen[2] * scale - 0.5
    shrink = scale * size[1] / (phone.fill * phone.height_px)
    light = phone.shadow + (1 - phone.shadow) * np.clip(
        (x + 0.8 * y - 0.75 * phone.height_px) / 6 + 0.5, 0, 1
    )
    planes = []
    for channel, (lamp, desk) in enumerate(zip(phone.warm, phone.desk, strict=True)):
        linear = 0.8 * gaussian_filter(paper[:, :, channel] ** 2.2, 0.45 * shrink)
        # Beyond the paper lies the desk.
        plane = map_coordinates(linear, [down, across], order=1, mode="constant", cval=desk)
        planes.append(sensed((lamp * light * plane).astype(np.float32), rng, phone))
    data = io.BytesIO()
    Image.fromarray(np.stack(planes, axis=-1)).save(data, "JPEG", quality=phone.quality)
    pixels = np.asarray(Image.open(data))
    return SheetPhoto(page=PageImage(name="photo.jpg", pixels=pixels, ppi=None), to_picture=to_picture)
