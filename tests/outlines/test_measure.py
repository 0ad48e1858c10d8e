"""How a page was seen, measured on scans whose blur and grain are known."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from lettering.outlines.measure import measured
from lettering.outlines.optics import USUAL, Optics
from lettering.outlines.sample import Sample
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scan, Scanner, scans
from tests.outlines.textured import NOISE, brushed, pencilled, textured


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


def test_the_tooth_of_the_paper_is_no_edge_and_hairs_of_a_brush_are() -> None:
    """Edges of a pencil are sought more smoothly; even ink and a dry brush, whose hairs are even, are not."""
    bare = Scanner(ppi=300, blur=(0, 0), noise=0)
    some = list(scans("delius", bare, "as"))
    told = []
    for texture in (pencilled, brushed, even):
        page = textured(some, texture)
        told.append(measured([Sample(coverage=one.scan.coverage, noise=one.noise) for one in page]))

    pencil, brush, ink = told
    assert pencil.smoothing > 1
    assert brush.smoothing == ink.smoothing == USUAL.smoothing
    scan = textured(some, pencilled)[0]
    calm, rough = (trace(scan.scan.coverage, noise=NOISE, optics=o) for o in (pencil, USUAL))
    assert sum(map(len, calm)) < 0.6 * sum(map(len, rough))
    assert sum(c.area < 0 for c in calm) == 1


def even(coverage: NDArray[np.float32], _: np.random.Generator) -> NDArray[np.float32]:
    """Return strokes as they are."""
    return coverage
