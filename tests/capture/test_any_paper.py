"""Lettering on paper of any kind: what is not her lettering is neither read nor in the way."""

from functools import cache

import numpy as np
import pytest

from lettering.capture.page import Reading
from lettering.capture.read import read_page
from lettering.errors import ReadingError
from tests.capture.test_read import SHORT, misplaced
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface
from tests.simulated_paper import (
    BLUE_INK,
    CREAM,
    DARK_GREY,
    GRAPHITE,
    KRAFT,
    PALE_BLUE,
    PALE_GREY,
    PINK,
    STRONG_BLUE,
    Lines,
    Paper,
    Pen,
    lettered_on,
    with_drawing_below,
)

WARM = (1.0, 0.78, 0.48)
SQUARED = Lines(leave=PALE_BLUE, pitch=59, squared=True)
GUIDES = (Lines(leave=PALE_BLUE, pitch=110), Lines(leave=PALE_GREY, pitch=110, width=2, askew=0.004))
STRONG = Lines(leave=STRONG_BLUE, pitch=59, squared=True)
DARK = Lines(leave=DARK_GREY, pitch=59, squared=True, askew=0.01)

PENCIL, BRUSH = Pen(ink=GRAPHITE, tooth=0.2), Pen(ink=(0.1, 0.1, 0.12), pooled=0.25)

PAPERS: dict[str, tuple[Paper, Pen]] = {
    "lettering shows through from the back": (Paper(back=0.3, tooth=0.03), Pen()),
    "it shows through, lettered in pencil": (Paper(back=0.2), Pen(ink=GRAPHITE)),
    "drawings beside it": (Paper(sketched=True), Pen()),
    "drawings beside it on squared paper": (Paper(sketched=True, lines=(SQUARED,)), Pen()),
    "strong blue squares under a warm lamp": (Paper(lines=(STRONG,), lamp=WARM, light_fall=0.3), Pen()),
    "dark grey squares askew": (Paper(lines=(DARK,)), Pen()),
    "guide lines in blue and graphite on cream": (Paper(colour=CREAM, lines=GUIDES, lamp=WARM), Pen()),
    "brown paper with a tooth": (Paper(colour=KRAFT, tooth=0.05), Pen()),
    "a grainy pencil": (Paper(tooth=0.03), PENCIL),
    "a brush pen that pools": (Paper(colour=CREAM, tooth=0.02), BRUSH),
    "pink paper, blue ink": (Paper(colour=PINK, tooth=0.03), Pen(ink=BLUE_INK)),
}


@cache
def lettered() -> SimulatedPage:
    """Return a page of 54 letters lettered by no steady hand."""
    lettering = Lettering(x_height_mm=4, spacing=0.06, wander=0.03, jitter=0.02)
    return simulated_page(typeface("patrick-hand"), SHORT, lettering, Scan(ppi=300))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_letter_is_read_on_any_paper_and_none_is_misnamed(paper: str) -> None:
    """All 54 letters are found where they are (typeface as truth), whatever else is on the paper."""
    sim = lettered_on(lettered(), *PAPERS[paper])
    page = read_page(sim.page, Reading(SHORT))

    assert misplaced(page, sim) == []
    assert len(page.letters) == len(sim.letters)


def test_drawings_below_the_lettering_are_left_out_and_told_of() -> None:
    """Ink in rows that is no lettering and that the reading does not name is passed over with a remark."""
    sim = lettered_on(with_drawing_below(lettered()), Paper())
    page = read_page(sim.page, Reading(SHORT))

    assert misplaced(page, sim) == []
    assert len(page.letters) == len(sim.letters)
    assert page.remarks == (
        "2 rows of ink that do not look like lettering were left out: the reading does not speak of it",
    )


def test_a_row_of_lettering_that_the_reading_leaves_out_is_not_taken_for_a_drawing() -> None:
    """A reading that skips a row is refused, not matched to the rows it does name."""
    with pytest.raises(ReadingError, match="4 rows of lettering were found, and the reading has 3"):
        read_page(lettered().page, Reading((SHORT[0], *SHORT[2:])))


def test_what_shows_through_does_not_darken_the_ink() -> None:
    """In full ink coverage is that of a page with a clean back, to 0.02 on average."""
    sim = lettered_on(lettered(), Paper(back=0.2, grain=0))
    plain = lettered_on(lettered(), Paper(grain=0))
    faint, clean = (read_page(each.page, Reading(SHORT)) for each in (sim, plain))
    off = np.concatenate(
        [
            (a.coverage - b.coverage)[b.coverage > 0.9]
            for a, b in zip(faint.letters, clean.letters, strict=True)
            if a.coverage.shape == b.coverage.shape
        ]
    )

    assert faint.x_height_px == pytest.approx(clean.x_height_px, rel=0.01)
    assert np.abs(off).mean() < 0.02
