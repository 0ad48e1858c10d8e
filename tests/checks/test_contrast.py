"""Contrast by WCAG 2.2, against worked values."""

import pytest

from lettering.checks.contrast import contrast, relative_luminance
from lettering.drawing import BLACK, WHITE, Colour


def test_black_on_white_is_21_to_1() -> None:
    """WCAG 2.2, contrast ratio: the range goes from 1 to 21."""
    assert contrast(BLACK, WHITE) == pytest.approx(21.0)
    assert contrast(WHITE, WHITE) == 1.0


@pytest.mark.parametrize(
    ("grey", "ratio"),
    [(0x76, 4.54), (0x77, 4.48), (0x59, 7.0), (0x94, 3.03), (0x95, 2.99)],
)
def test_greys_on_white_fall_where_wcag_says(grey: int, ratio: float) -> None:
    """#767676 is the lightest grey that passes 4.5, #595959 passes 7, #949494 passes 3 (from memory)."""
    assert contrast(Colour(grey, grey, grey), WHITE) == pytest.approx(ratio, abs=0.006)


def test_primaries_have_their_luminance() -> None:
    """WCAG 2.2, relative luminance: the coefficients are those of full red, green and blue."""
    parts = [relative_luminance(Colour(*(255 * (i == k) for i in range(3)))) for k in range(3)]

    assert parts == pytest.approx([0.2126, 0.7152, 0.0722])


def test_dark_parts_follow_the_straight_piece() -> None:
    """Up to 0.04045 (10 of 255) luminance is a straight line through nothing."""
    assert relative_luminance(Colour(10, 10, 10)) == pytest.approx(10 / 255 / 12.92)
