"""Printing conditions: ICC profiles of printers, by littlecms and published characterisation data."""

import io

import numpy as np
import pytest
from PIL import Image, ImageCms

from lettering.errors import OutputError
from lettering.export.condition import coated_paper, profile
from tests.export.icc import tiny_profile


@pytest.mark.parametrize(
    ("inks", "lab"),
    [
        ((0, 0, 0, 0), (95, 0, -2)),
        ((255, 0, 0, 0), (55, -37, -50)),
        ((0, 255, 0, 0), (48, 74, -3)),
        ((0, 0, 255, 0), (89, -5, 93)),
        ((0, 0, 0, 255), (16, 0, 0)),
    ],
)
def test_the_profile_that_comes_along_is_of_coated_paper(
    inks: tuple[int, int, int, int], lab: tuple[int, int, int]
) -> None:
    """Littlecms sees paper and full inks as the characterisation data FOGRA39L has them, within 1.5.

    Samples 1, 9, 73, 649 and 1260 of December 2006.
    """
    there = ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(coated_paper().data)),
        ImageCms.createProfile("LAB"),
        "CMYK",
        "LAB",
        renderingIntent=ImageCms.Intent.ABSOLUTE_COLORIMETRIC,
    )
    seen = np.asarray(ImageCms.applyTransform(Image.new("CMYK", (1, 1), inks), there))[0, 0]

    assert seen[0] / 2.55 == pytest.approx(lab[0], abs=1.5)
    assert seen[1:].view(np.int8) == pytest.approx(lab[1:], abs=1.5)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"not a profile", "no ICC profile"),
        (tiny_profile()[:-1], "no ICC profile"),
        (tiny_profile(kind=b"mntr", space=b"RGB "), "but of RGB"),
    ],
    ids=["text", "cut short", "screen"],
)
def test_a_profile_that_is_none_of_a_printer_is_refused(data: bytes, why: str) -> None:
    """The output intent wants a printer's profile of four inks; anything else is refused with the reason."""
    with pytest.raises(OutputError, match=why):
        profile(data, "press.icc")
    assert profile(tiny_profile(name="My press"), "press.icc").name == "My press"
