"""Accents that are typed otherwise than drawn."""

import pytest

from lettering.capture.page import Reading
from lettering.capture.read import read_page
from tests.simulated_page import Lettering, Scan, simulated_page, typeface

ROWS = ("un été dans la forêt", "le café où naît là-bas", "même garçon très seul", "señor ëe éx")


@pytest.mark.parametrize(
    ("name", "drawn", "typed"),
    [
        *(("patrick-hand", *pair) for pair in ("ée", "eé", "éè", "èé", "éë", "ëé", "àa")),
        *(("schoolbell", *pair) for pair in ("ée", "eé", "éè")),
    ],
)
def test_an_accent_that_is_not_as_typed_is_never_taken(name: str, drawn: str, typed: str) -> None:
    """The first letter that is drawn otherwise than typed is set aside; all others are taken."""
    sim = simulated_page(typeface(name), ROWS, Lettering(x_height_mm=4, spacing=0.06), Scan(ppi=200))
    row = next(k for k, text in enumerate(ROWS) if drawn in text)
    place = ROWS[row].index(drawn)
    rows = list(ROWS)
    rows[row] = rows[row][:place] + typed + rows[row][place + 1 :]
    page = read_page(sim.page, Reading(tuple(rows)))

    assert (row, place) in [(letter.row, letter.place) for letter in page.set_aside]
    assert (row, place) not in [(letter.row, letter.place) for letter in page.letters]
