"""How a page was seen, measured on scans whose blur and grain are known."""

import numpy as np
import pytest
from scipy import ndimage

from lettering.outlines.measure import measured
from lettering.outlines.optics import USUAL, Optics
from lettering.outlines.sample import Sample
from tests.outlines.scanned import Scan, Scanner, scans


def page(scanner: Scanner, letters: str = "aehnR") -> tuple[list[Scan], Optics]:
    """Return some scans of one scanner, and what is measured on them."""
    some = list(scans("delius", scanner, letters))
    return some, measured([Sample(coverage=s.coverage, noise=scanner.noise) for s in some])


@pytest.mark.parametrize("blur", [0.7, 1.1, 1.5])
def test_the_blur_of_a_scan_is_found(blur: float) -> None:
    """Blur is told to a thirtieth of a px."""
    _, optics = page(Scanner(ppi=300, blur=(blur, blur)))

    assert optics.blur == pytest.approx(blur, abs=0.03)


def test_grain_is_told_by_its_power_at_low_frequency() -> None:
    """Noise smoothed by a filter and scaled up again has the power 1 / (sum of the filter's squares)."""
    point = np.zeros((15, 15))
    point[7, 7] = 1
    wanted = 1 / (ndimage.gaussian_filter(point, 0.5) ** 2).sum()

    _, white = page(Scanner(ppi=400))
    _, coarse = page(Scanner(ppi=400, grain=0.5))

    assert white.grain == pytest.approx(1, abs=0.25)
    assert coarse.grain == pytest.approx(wanted, rel=0.25)


def test_a_page_without_letters_is_taken_for_a_usual_one() -> None:
    """No letters, or letters without ink, tell nothing."""
    blank = Sample(coverage=np.zeros((30, 20), dtype=np.float32), noise=0.03)

    assert measured([]) == measured([blank]) == USUAL
