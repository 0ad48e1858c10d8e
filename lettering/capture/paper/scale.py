"""How large a page is on paper: what the picture says, what was named, and where the two disagree."""

from lettering.capture.page import PageImage
from lettering.units import mm_to_px

AGREE = 0.15
"""The height of small letters is named by eye: what is off by less than this share is no contradiction."""


def scale_of(
    page: PageImage, x_height_px: float, x_height_mm: float | None
) -> tuple[float | None, tuple[str, ...]]:
    """Return the page's px to a mm of paper, none when nothing tells, and remarks.

    The named height of small letters counts for more than the picture's resolution; she is told when they
    disagree.
    """
    told = mm_to_px(1, page.ppi) if page.ppi else None
    if not x_height_mm:
        return told, ()
    named = x_height_px / x_height_mm
    if told is None or abs(named / told - 1) <= AGREE:
        return named, ()
    seen = x_height_px / told
    return named, (
        f"by its {page.ppi:.0f} ppi small letters are {seen:.1f} mm high, not {x_height_mm:g} mm as named: "
        "what was named is taken",
    )
