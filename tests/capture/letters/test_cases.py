"""Pages whose reading is typed in the other case."""

import pytest

from lettering.capture.page import Reading
from lettering.capture.read import read_page
from lettering.errors import ReadingError
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface

ROWS = ("Who left a cello in the compost", "Not me said Toad and jumped")
CAPITALS = tuple(row.upper() for row in ROWS)


def lettered(name: str, rows: tuple[str, ...]) -> SimulatedPage:
    """Return rows in a typeface."""
    return simulated_page(typeface(name), rows, Lettering(x_height_mm=4, spacing=0.06), Scan(ppi=200))


@pytest.mark.parametrize("name", ["delius", "indie-flower"])
def test_a_reading_in_capitals_of_small_letters_is_refused(name: str) -> None:
    """Small letters are never taken for the capitals that the reading names."""
    with pytest.raises(ReadingError) as refused:
        read_page(lettered(name, ROWS).page, Reading(CAPITALS))

    assert refused.value.message == (
        "the letters of the page look like small letters, and the reading is in capitals"
    )
    assert "Type the reading as the page is lettered" in str(refused.value)


@pytest.mark.parametrize("name", ["delius", "indie-flower"])
def test_a_page_in_capitals_is_read_as_capitals(name: str) -> None:
    """Capitals that are read as such are taken without a remark."""
    sim = lettered(name, CAPITALS)
    page = read_page(sim.page, Reading(CAPITALS))

    assert len(page.letters) == len(sim.letters)
    assert page.remarks == ()


def test_small_letters_that_are_drawn_as_capitals_are_told() -> None:
    """A hand may letter in capitals alone: what she typed small stays small, and she is told."""
    page = read_page(lettered("delius", CAPITALS).page, Reading(tuple(row.lower() for row in ROWS)))

    assert page.remarks == (
        "the small letters of the reading look like capitals on the page: they are kept as small",
    )
