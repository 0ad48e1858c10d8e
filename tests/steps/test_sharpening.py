"""Sharpening undone on whole pages: what was not sharpened stays, what was is traced without its bias."""

from dataclasses import replace

import numpy as np
import shapely

from lettering.capture.page import PageImage
from lettering.outlines.trace import trace
from lettering.steps.sharpening import without_sharpening
from tests.outlines.papered import Saved, photographed_again, scanned_page
from tests.outlines.scanned import Scan, Scanner, scans
from tests.simulated_photo import Phone

PHONE = Phone(width_px=1000, height_px=750, fill=0.85, tilt_degrees=8, shadow=1.0)
SHEET = (80.0, 56.0)
"""Paper that such a picture shows as finely as one of 12 megapixels shows A4, mm."""


def letters(ppi: int, blur: float) -> list[Scan]:
    """Return letters without noise."""
    return list(scans("delius", Scanner(ppi=ppi, noise=0.0, blur=(blur, blur)), "aens"))


def test_a_page_that_was_not_sharpened_is_the_same_page() -> None:
    """It is not even copied; nor is a page of two tones, of one colour, or of nothing but noise."""
    noise = np.random.default_rng(1).integers(150, 250, (200, 300)).astype(np.uint8)
    scan = scanned_page(letters(200, 0.7), Saved())
    for pixels in (scan.pixels, (scan.pixels > 128).astype(np.uint8) * 255, np.full_like(noise, 240), noise):
        page = PageImage(name="page.png", pixels=pixels, ppi=300.0)

        assert without_sharpening(page) is page


def test_a_sharpened_scan_becomes_the_scan_before() -> None:
    """Its values come back within the noise, where sharpening had moved them by far more."""
    some = letters(200, 0.7)
    plain = Saved(noise=0.004)
    before = scanned_page(some, plain)
    sharp = scanned_page(some, replace(plain, sharpening=0.5, width=1.2))

    after = without_sharpening(sharp)

    assert after.pixels.dtype == np.uint16
    off = np.abs(after.pixels / 257 - before.pixels.astype(float))
    assert np.percentile(off, 99) < 5
    assert np.percentile(np.abs(sharp.pixels - before.pixels.astype(float)), 99) > 10


def test_letters_of_a_sharpened_photo_have_no_bias() -> None:
    """A phone's photo gives outlines as near the truth as a photo that was not sharpened."""
    some = letters(400, 0.0)

    for sharpening in (0.0, 0.6):
        found = photographed_again(some, replace(PHONE, sharpening=sharpening), SHEET)
        off, bias = [], []
        for one in found:
            contours = trace(one.scan.coverage, noise=one.noise)
            truth = shapely.boundary(one.scan.truth)
            points = np.concatenate([contour.flattened(0.01) for contour in contours])
            off.append(shapely.distance(shapely.points(points), truth).mean())
            bias.append(
                (sum(c.area for c in contours) - shapely.area(one.scan.truth)) / shapely.length(truth)
            )
        # Left in, the mask makes every outline 0.14 px too thin.
        assert np.mean(off) < 0.05
        assert abs(np.mean(bias)) < 0.02
