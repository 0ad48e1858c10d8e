"""Letters whole or cut short: distances known in closed form, and pages on which cuts went wrong unseen."""

import numpy as np
import pytest

from lettering.capture.letters.laying import Model
from lettering.capture.letters.straying import straying
from lettering.capture.page import Reading
from lettering.capture.read import read_page
from tests.capture.letters.test_cuts import NOBODY, ring, stem
from tests.capture.test_read import PAGE, misplaced
from tests.simulated_page import Lettering, Scan, simulated_page, typeface

UNIT = 49.0


def model(ink: np.ndarray, top: float | None = None) -> Model:
    """Return ink that stands on the baseline, or begins so far above it."""
    return Model(ink, float(len(ink)) if top is None else top, NOBODY)


def test_a_letter_does_not_stray_from_itself_wherever_it_stands() -> None:
    """The same ink strays nowhere, and standing a little higher is not straying."""
    assert straying(model(ring(24)), model(ring(24)), UNIT) == 0
    assert straying(model(ring(24)), model(ring(24), top=52.0), UNIT) == 0


@pytest.mark.parametrize("short", [10, 16, 24])
def test_an_end_cut_off_strays_by_what_is_missing(short: int) -> None:
    """A stem short by n px strays by half of n: it is moved until both ends lack alike (closed form)."""
    whole, part = model(stem(70)), model(stem(70 - short), top=70.0)
    stretched = 0.04 * 70 + 2  # it may be stretched by so much, and moved by whole px

    assert straying(part, whole, UNIT) * UNIT == pytest.approx(short / 2, abs=stretched)


def test_a_neighbour_s_stroke_strays_by_its_length() -> None:
    """A ring with a stroke of 20 px beside it strays by that length, less what the ring is moved."""
    ink = np.zeros((49, 69), dtype=np.bool_)
    ink[:, :49] = ring(24)
    ink[22:27, 49:] = True

    assert straying(model(ink), model(ring(24)), UNIT) * UNIT > 8


def test_an_apostrophe_that_runs_into_its_t_is_cut_off_or_both_are_set_aside() -> None:
    """A t that holds the apostrophe's ink fits t by every measure but its farthest ink: it is not taken."""
    lettering = Lettering(x_height_mm=4, spacing=-0.22, wander=0.04, jitter=0.02, unsteady=0.03, seed=3)
    sim = simulated_page(typeface("caveat"), PAGE, lettering, Scan(ppi=300, seed=3))
    page = read_page(sim.page, Reading(PAGE))

    assert misplaced(page, sim) == []
    assert len(page.letters) + len(page.set_aside) == len(sim.letters)
