"""Art fit for print, and lettering that stands on it."""

from dataclasses import replace

import numpy as np
import pytest

from lettering.checks.art import Art, check_art
from lettering.checks.finding import Finding
from tests.checks.finished import BAND, clean, spoiled

FULL = (round(506 / 25.4 * 300), round(256 / 25.4 * 300))
"""Pixels of a spread of 500 x 250 mm with 3 mm of bleed at 300 ppi."""


def art(value: int = 255, size: tuple[int, int] = FULL) -> Art:
    """Return plain grey art, kept at two pixels a millimetre."""
    return Art(pixels=np.full((512, 1012, 3), value, np.uint8), size=size)


def found(of: Art, *, alone: bool = False) -> list[Finding]:
    """Return the findings of art under the clean spread, its first line perhaps `alone` on it."""
    bare = spoiled(1, lambda line: replace(line, bubble=None)) if alone else clean()
    return list(check_art(bare, of, 3.0, BAND))


def test_art_at_print_size_is_fit() -> None:
    """300 ppi over trim and bleed has no finding."""
    assert found(art()) == []


def test_coarse_art_is_found_with_the_pixels_it_needs() -> None:
    """Half the pixels are 150 ppi; the sentence says how many make 300."""
    (one,) = found(art(size=(FULL[0] // 2, FULL[1] // 2)))

    assert (one.code, one.severity) == ("art-resolution", "warning")
    assert one.measured == pytest.approx(150, abs=0.1)
    assert "5976 x 3024 pixels" in one.message


def test_art_that_would_be_stretched_is_found() -> None:
    """Art drawn for another format is an error."""
    (one,) = found(art(size=(FULL[0], FULL[1] + 200)))

    assert (one.code, one.severity) == ("art-bleed", "error")


def test_a_bleed_left_white_is_found() -> None:
    """Art that ends at the trim, with paper round it, does not cover the bleed."""
    bare = art(180)
    pixels = bare.pixels.copy()
    pixels[:, -6:] = 255
    (one,) = found(replace(bare, pixels=pixels))

    assert one.code == "art-bleed"
    assert "right" in one.message


@pytest.mark.parametrize(("grey", "passes"), [(0x9A, True), (0x8C, False)])
def test_lettering_on_the_art_needs_contrast(grey: int, passes: bool) -> None:
    """Black on a grey of luminance 0.3 has 7 : 1 (WCAG 2.2: (0.3 + 0.05) / 0.05); #959595 is about there."""
    codes = [one.code for one in found(art(grey), alone=True)]

    assert codes == ([] if passes else ["contrast"])


def test_a_few_dark_specks_are_forgiven_and_a_dark_place_is_not() -> None:
    """Contrast is that of the 5th percentile of the ground; bubbles bring their own ground."""
    ground = art()
    box = clean().lines[0].stack.ink
    left, top, right, bottom = (round((v + 3) * 2) for v in (box.x0, box.y0, box.x1, box.y1))
    specks, dark = ground.pixels.copy(), ground.pixels.copy()
    specks[top:bottom:8, left:right:8] = 0
    dark[top:bottom, left : (left + right) // 2] = 40

    assert found(replace(ground, pixels=specks), alone=True) == []
    assert [one.code for one in found(replace(ground, pixels=dark), alone=True)] == ["contrast"]
    assert found(replace(ground, pixels=dark)) == []
