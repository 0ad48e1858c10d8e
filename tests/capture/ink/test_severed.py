"""Strokes cut through by dry streaks, counted as one where paper between them is tinted."""

from functools import cache

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from lettering.capture.ink.ink import find_ink
from lettering.capture.ink.pieces import Pieces, find_pieces
from lettering.capture.ink.severed import unsevered
from lettering.capture.letter import LetteredPage
from lettering.capture.page import PageImage, Reading
from lettering.capture.read import read_page
from tests.capture.test_any_paper import lettered
from tests.capture.test_read import SHORT, misplaced, short_page
from tests.simulated_page import Scan, SimulatedPage, scanned
from tests.simulated_paper import GRAPHITE, Paper, Pen, lettered_on

STEM_PX = 12


def stems(gap: int, tint: float) -> Pieces:
    """Return the pieces of a stem cut across by `gap` px of that `tint`, and of five whole ones."""
    coverage = np.zeros((300, 500), dtype=np.float32)
    for left in range(50, 410, 60):
        coverage[60:240, left : left + STEM_PX] = 1
    coverage[150 : 150 + gap, 50 : 50 + STEM_PX] = tint
    page = PageImage(name="page.png", pixels=scanned(coverage, Scan(grain=0.01)), ppi=None)
    ink = find_ink(page)
    return unsevered(find_pieces(ink.mask(), page), ink)


@pytest.mark.parametrize(("gap", "tint", "pieces"), [(3, 0.2, 6), (10, 0.2, 6), (5, 0.0, 7), (20, 0.3, 7)])
def test_pieces_are_one_where_the_paper_between_is_tinted(gap: int, tint: float, pieces: int) -> None:
    """A streak of up to 1.2 strokes that kept a tint joins; bare paper does not, nor does a wider streak."""
    assert len(stems(gap, tint).all) == pieces


def test_what_is_joined_keeps_its_own_ink() -> None:
    """The streak itself stays paper: only the pieces' own pixels count as the letter's."""
    whole = stems(6, 0.2)
    first = min(whole.all, key=lambda piece: piece.box.left)

    assert first.box.height == 180
    assert not whole.own([first], first.box)[92:94].any()
    assert first.area == pytest.approx((180 - 6) * STEM_PX, rel=0.02)


STREAKED, GRAINY = Pen(dry=0.4), Pen(ink=GRAPHITE, tooth=0.4)


@cache
def read(pen: Pen) -> tuple[SimulatedPage, LetteredPage]:
    """Return a page of 54 letters in some pen, and what is read on it."""
    sim = lettered_on(lettered(), Paper(tooth=0.03), pen)
    return sim, read_page(sim.page, Reading(SHORT))


@pytest.mark.parametrize(("pen", "least"), [(STREAKED, 49), (GRAINY, 52)], ids=["streaks", "grain"])
def test_letters_cut_through_are_read_as_letters(pen: Pen, least: int) -> None:
    """Of 54 letters whose strokes a dry pen cuts nearly all are read, and none takes another's name."""
    sim, page = read(pen)

    assert misplaced(page, sim) == []
    assert len(page.letters) >= least


def test_streaks_stay_in_the_ink() -> None:
    """Coverage of a streaked letter is that of the page, not of a mended stroke (exact coverage as truth)."""
    sim, page = read(STREAKED)
    true = gaussian_filter(sim.coverage, 0.7)
    off = []
    for letter in page.letters:
        rows, columns = letter.coverage.shape
        seen = true[letter.top : letter.top + rows, letter.left : letter.left + columns]
        inked = letter.coverage > 0.15
        off.append(float(np.abs(letter.coverage - seen)[inked].mean()))

    assert np.median(off) < 0.05


def test_letters_that_merely_stand_near_are_read_as_before() -> None:
    """A page without dry strokes has the very pieces it had: none is joined."""
    sim = short_page()
    ink = find_ink(sim.page)
    pieces = find_pieces(ink.mask(), sim.page)

    assert unsevered(pieces, ink) is pieces
