"""The size of letters on paper comes out within 1 %, whatever tells it."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.photo import laid_flat
from lettering.capture.paper.sizes import paper_mm
from lettering.capture.read import read_page
from lettering.errors import ImageError
from lettering.units import MM_PER_INCH
from tests.simulated_page import Lettering, Scan, SimulatedPage, scanned, simulated_page, typeface
from tests.simulated_photo import Phone, photographed

ROWS = ("wax and vivid zinc", "six vexed foxes")
"""Letters with flat tops, which stand as high as x."""
X_HEIGHT_MM = 5.0
PPI = 180.0


@cache
def on_paper(paper: str) -> SimulatedPage:
    """Return a scan of a whole sheet of that paper, lying, with two rows of letters in its middle."""
    sim = simulated_page(typeface("andika"), ROWS, Lettering(x_height_mm=X_HEIGHT_MM), Scan(ppi=PPI))
    short, long = (round(side / MM_PER_INCH * PPI) for side in paper_mm(paper))
    coverage = np.zeros((short, long), dtype=np.float32)
    rows, columns = sim.coverage.shape
    top, left = (short - rows) // 2, (long - columns) // 2
    coverage[top : top + rows, left : left + columns] = sim.coverage
    page = replace(sim.page, pixels=scanned(coverage, Scan(ppi=PPI, grain=0.005)))
    return replace(sim, page=page, coverage=coverage)


def height_mm(page: PageImage, x_height_mm: float | None = None) -> float:
    """Return how high small letters are on paper, as they are read."""
    read = read_page(page, Reading(ROWS), x_height_mm=x_height_mm)
    assert read.px_per_mm is not None
    return read.x_height_px / read.px_per_mm


@pytest.mark.parametrize("paper", ["A4", "Letter", "a5", "210x148mm"])
def test_the_paper_gives_its_size_to_a_scan_without_one(paper: str) -> None:
    """A scan that does not know its resolution gets it from the paper named, within 1 %."""
    page = laid_flat(replace(on_paper(paper).page, ppi=None), paper_mm(paper))

    assert page.ppi == pytest.approx(PPI, rel=0.01)
    assert height_mm(page) == pytest.approx(X_HEIGHT_MM, rel=0.01)


def test_the_resolution_gives_its_size_to_a_scan() -> None:
    """Letters 5 mm high are 5 mm high by the scan's own ppi, within 1 %."""
    assert height_mm(on_paper("a5").page) == pytest.approx(X_HEIGHT_MM, rel=0.01)


def test_the_paper_gives_its_size_to_a_photo() -> None:
    """On a photo of the sheet, askew on a desk, letters have their size within 1 %."""
    phone = Phone(width_px=2000, height_px=1500, fill=0.85, sharpening=0.0)
    page = laid_flat(photographed(on_paper("a5"), phone=phone).page, paper_mm("A5"))

    assert height_mm(page) == pytest.approx(X_HEIGHT_MM, rel=0.01)


def test_the_named_height_of_letters_counts_for_more_than_the_resolution() -> None:
    """The size is what was named; she is told by how much the resolution disagrees, if it does."""
    page = on_paper("a5").page
    told = read_page(page, Reading(ROWS), x_height_mm=7.0)

    assert height_mm(page, 7.0) == pytest.approx(7.0)
    assert told.remarks == (
        "by its 180 ppi small letters are 5.0 mm high, not 7 mm as named: what was named is taken",
    )
    assert read_page(page, Reading(ROWS), x_height_mm=5.2).remarks == ()


def test_paper_that_the_resolution_contradicts_is_refused() -> None:
    """A scan that is A5 by its ppi is not A4."""
    with pytest.raises(
        ImageError, match="by its 180 ppi the page is 210 x 148 mm; the paper named is 297 x 210"
    ):
        laid_flat(on_paper("a5").page, paper_mm("A4"))
