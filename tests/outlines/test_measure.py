"""How a page was seen, measured on scans whose blur, mask and grain are known."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy import ndimage

from lettering.outlines.measure import Sample, measured
from lettering.outlines.optics import USUAL, Optics
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scan, Scanner, scans


def page(scanner: Scanner, letters: str = "aehnR") -> tuple[list[Scan], Optics]:
    """Return some scans of one scanner, and what is measured on them."""
    some = list(scans("delius", scanner, letters))
    return some, measured([Sample(coverage=s.coverage, noise=scanner.noise) for s in some])


@pytest.mark.parametrize("blur", [0.7, 1.1, 1.5])
def test_the_blur_of_a_scan_is_found(blur: float) -> None:
    """Blur is told to a thirtieth of a px, and no mask is seen where there is none."""
    _, optics = page(Scanner(ppi=300, blur=(blur, blur)))

    assert optics.blur == pytest.approx(blur, abs=0.03)
    assert optics.sharpening == 0


def test_the_mask_of_a_scanner_is_found_and_undone() -> None:
    """An unsharp mask of 0.6 with a Gaussian of 1 px is told, and the letters come out as without it."""
    scanner = Scanner(ppi=300)
    some, optics = page(replace(scanner, sharpening=0.6))

    # What a mask does to ripples of 4 px a wave is what counts: share and width trade off.
    swell = optics.sharpening * (1 - math.exp(-((optics.width * math.pi / 2) ** 2) / 2))
    assert swell == pytest.approx(0.6 * (1 - math.exp(-((math.pi / 2) ** 2) / 2)), abs=0.06)
    plain, _ = page(scanner)
    told, untold, never = (
        np.mean([_mean_deviation(s, known, scanner.noise) for s in letters])
        for letters, known in ((some, optics), (some, USUAL), (plain, USUAL))
    )
    assert told < 1.05 * never
    assert told < untold


def test_grain_is_told_by_its_power_at_low_frequency() -> None:
    """Noise smoothed by a filter and scaled up again has the power 1 / (sum of the filter's squares)."""
    point = np.zeros((15, 15))
    point[7, 7] = 1
    wanted = 1 / (ndimage.gaussian_filter(point, 0.5) ** 2).sum()

    _, white = page(Scanner(ppi=400))
    _, coarse = page(Scanner(ppi=400, grain=0.5))

    assert white.grain == pytest.approx(1, abs=0.25)
    assert coarse.grain == pytest.approx(wanted, rel=0.25)
    assert coarse.sharpening == 0


def test_a_page_without_letters_is_taken_for_a_usual_one() -> None:
    """No letters, or letters without ink, tell nothing."""
    blank = Sample(coverage=np.zeros((30, 20), dtype=np.float32), noise=0.03)

    assert measured([]) == measured([blank]) == USUAL


def _mean_deviation(scan: Scan, optics: Optics, noise: float) -> float:
    """Return how far the traced outline lies from the typeface's own, px, on average."""
    contours = trace(scan.coverage, noise=noise, optics=optics)
    points = np.concatenate([contour.flattened(0.01) for contour in contours])
    return float(shapely.distance(shapely.points(points), shapely.boundary(scan.truth)).mean())
