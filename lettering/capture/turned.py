"""A page that lies upside down or sideways, turned right by its reading."""

from dataclasses import replace

import numpy as np

from lettering.capture.letter import LetteredPage
from lettering.capture.page import PageImage, Reading
from lettering.capture.read import read_page
from lettering.errors import ReadingError

QUARTERS = (2, 1, 3)
"""Quarter turns that are tried when the page does not fit its reading as it lies: upside down comes first."""


def read_any_way_up(page: PageImage, reading: Reading, *, x_height_mm: float | None = None) -> LetteredPage:
    """Find each letter of `reading` on `page`, whichever way up the page is.

    Raises ReadingError as `read_page` does, for the page as it lies, when no turn fits.
    """
    try:
        return read_page(page, reading, x_height_mm=x_height_mm)
    except ReadingError as refusal:
        for quarters in QUARTERS:
            try:
                return read_page(_turned(page, quarters), reading, x_height_mm=x_height_mm)
            except ReadingError:
                continue
        raise refusal from None


def _turned(page: PageImage, quarters: int) -> PageImage:
    return replace(page, pixels=np.rot90(page.pixels, quarters).copy())
