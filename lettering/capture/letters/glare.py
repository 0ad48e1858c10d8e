"""Glare: a lamp's reflection on the paper that washes ink away."""

from collections.abc import Sequence

import numpy as np

from lettering.capture.box import Box
from lettering.capture.letters.found import Found
from lettering.capture.page import PageImage

WASHED = 0.1
"""Share of a letter's box that is as bright as the file can tell, past which ink may be lost."""


def in_glare(letters: Sequence[Found], page: PageImage, margin: int) -> tuple[bool, ...]:
    """Tell of each letter whether glare lies on it, `margin` px round it counted.

    On a page whose paper is that bright everywhere, brightness tells nothing of glare.
    """
    if not letters:
        return ()
    washed = [_washed(page, letter.box.grown(margin, page.pixels.shape)) for letter in letters]
    usual = float(np.median(washed))
    return tuple(share > WASHED + 2 * usual for share in washed)


def _washed(page: PageImage, box: Box) -> float:
    """Return the share of a box that is as bright as the file can tell."""
    crop = page.pixels[box.slices]
    return float((crop == np.iinfo(crop.dtype).max).mean())
