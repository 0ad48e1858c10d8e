"""Expected shapes against open typefaces."""

import numpy as np
import pytest

from lettering.capture.letters.shapes import TALL, expected_shape
from tests.simulated_page import Lettering, Scan, simulated_page, typeface


@pytest.mark.parametrize("name", ["andika", "delius", "patrick-hand"])
def test_typefaces_have_about_the_expected_shapes(name: str) -> None:
    """Letters of open typefaces end where the table expects them, within a third of an x-height."""
    text = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,!?:;-é"
    sim = simulated_page(typeface(name), (text,), Lettering(x_height_mm=2), Scan(ppi=100))
    tops, bottoms = [], []
    for letter in sim.letters:
        shape = expected_shape(letter.char)
        tops.append((letter.baseline - letter.box.y0) / sim.x_height_px - shape.top)
        bottoms.append((letter.baseline - letter.box.y1) / sim.x_height_px - shape.bottom)

    assert np.quantile(np.abs(tops), 0.9) < 0.33
    assert np.quantile(np.abs(bottoms), 0.9) < 0.33


def test_marks_make_a_letter_taller_and_of_more_pieces() -> None:
    """A letter with an accent is its base with a mark above, even when the table does not know it."""
    plain, marked = expected_shape("o"), expected_shape("ö")

    assert marked.top > TALL > plain.top
    assert (plain.pieces, marked.pieces) == (1, 3)
    assert expected_shape("ç").bottom < -0.2
