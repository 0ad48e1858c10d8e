"""Saved values as the light that paper sends back."""

import tracemalloc

import numpy as np
import pytest

from lettering.capture.light import linear
from lettering.capture.strips import STRIP_ROWS


def test_every_row_of_a_long_picture_is_undone_alike() -> None:
    """Luminance is that of IEC 61966-2-1 and BT.709 in every row, however many strips it is done in."""
    pixels = np.random.default_rng(1).integers(0, 256, (2 * STRIP_ROWS + 3, 5, 3), dtype=np.uint8)
    value = pixels / 255
    light = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)

    assert linear(pixels) == pytest.approx(light @ [0.2126, 0.7152, 0.0722], abs=1e-6)


def test_undoing_a_page_takes_little_more_room_than_its_light() -> None:
    """While a page of colour is undone, less than two such pages of light are held at once."""
    pixels = np.zeros((20 * STRIP_ROWS, 200, 3), dtype=np.uint8)
    tracemalloc.start()
    try:
        light = linear(pixels)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()

    assert peak < 2 * light.nbytes
