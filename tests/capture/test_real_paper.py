"""Photos of real paper that come with scikit-image (BSD licence): what is on them was counted by eye."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from skimage import data
from skimage.filters import threshold_local, threshold_otsu
from skimage.transform import rescale

from lettering.capture.ink.ink import find_ink
from lettering.capture.light import linear
from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.edges import paper_corners
from lettering.capture.paper.photo import laid_flat
from lettering.capture.paper.unbent import unbent
from lettering.capture.read import read_page
from lettering.errors import ReadingError
from tests.binarised import binarised

ROWS = (
    "Region-based segmentation",
    "Let us first determine markers of the coins and the",
    "background. These markers are pixels that we can label",
    "unambiguously as either object or background. Here,",
    "the markers are found at the two extreme parts of the",
    "histogram of grey values:",
    ">>> markers = np.zeros_like(coins)",
)
"""The printed page as it is read by eye."""


def photo(name: str) -> PageImage:
    """Return a photo: "page", printed paper in falling light, or "text", squared paper with handwriting."""
    pixels: NDArray[np.uint8] = getattr(data, name)()
    return PageImage(name=f"{name}.png", pixels=pixels, ppi=None)


def enlarged(page: PageImage, times: int) -> PageImage:
    """Return a photo drawn larger, by cubic interpolation (scikit-image)."""
    grey = rescale(page.pixels / 255.0, times, order=3)
    return replace(page, pixels=np.asarray(np.rint(np.clip(grey, 0, 1) * 255), dtype=np.uint8))


@pytest.mark.parametrize("name", ["page", "text"])
def test_paper_that_fills_the_picture_has_no_edges(name: str) -> None:
    """Neither a paragraph nor a squared ground is taken for the paper: the photo is the page."""
    page = photo(name)

    assert paper_corners(linear(page.pixels)) is None
    assert laid_flat(page) is page


def test_ink_under_falling_light_is_what_a_local_threshold_finds() -> None:
    """On paper that darkens to one side ink is what scikit-image's local threshold finds; Otsu's fails."""
    pixels = photo("page").pixels
    found = find_ink(photo("page")).mask()
    # The library's own example takes blocks of 35 px and an offset of 10.
    local = np.asarray(pixels < threshold_local(pixels, 35, offset=10))
    whole = np.asarray(pixels < threshold_otsu(pixels))

    assert binarised(found, local).f > 80
    assert binarised(whole, local).f < 60


def test_past_the_picture_there_is_blank_paper() -> None:
    """Made flat, a bent page shows no ink past the end of its picture, though letters are cut there."""
    flat = unbent(enlarged(photo("page"), 3))
    low = flat.pixels[-20:, 400:900] / 257.0

    assert flat.pixels.shape != (573, 1152)
    assert np.abs(np.diff(low, axis=1)).max() < 3


def test_a_photo_of_print_is_read_row_by_row() -> None:
    """Drawn three times as large, nine tenths of the photo's letters are told for certain, the rest listed.

    Those taken were looked at one by one: each is the letter that it is taken for.
    """
    page = enlarged(photo("page"), 3)
    # Below the paragraph stands a row of another typeface, that of a program's text.
    above = replace(page, pixels=page.pixels[: 3 * 140])
    read = read_page(above, Reading(ROWS[:6]))
    count = sum(len(row.replace(" ", "")) for row in ROWS[:6])

    assert len(read.letters) + len(read.set_aside) == count
    assert len(read.letters) >= 0.9 * count


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("page", r"page\.png: the strokes are 2\.\d px wide; at least 3 are needed\. Scan at a higher"),
        ("text", r"text\.png: the strokes are 0\.\d px wide; at least 3 are needed\. Scan at a higher"),
    ],
)
def test_photos_too_coarse_to_trace_are_refused_with_their_measure(name: str, said: str) -> None:
    """Photos of 384 and 448 px across hold no strokes that an outline could follow: they are told so."""
    with pytest.raises(ReadingError, match=said):
        read_page(photo(name), Reading(ROWS))
