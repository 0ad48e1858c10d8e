"""Rows read again with their severed strokes joined, the rest of the page standing as it was read."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lettering.capture.ink.ink import find_ink
from lettering.capture.ink.pieces import find_pieces
from lettering.capture.ink.severed import joined, least_numbers
from lettering.capture.letters import dealing
from lettering.capture.letters.dealing import Dealt
from lettering.capture.letters.rows import Row
from lettering.capture.page import Reading
from lettering.capture.read import read_page
from tests.capture.test_read import SHORT, misplaced, short_page
from tests.simulated_page import Scan, SimulatedPage, scanned

SEVERED = (1, 9)
"""The m of "compost": row and place."""
STREAK_PX = 5
TINT = 0.25


def severed(place: tuple[int, int]) -> SimulatedPage:
    """Return the short page with a dry streak down the middle of the letter at (row, place)."""
    sim = short_page()
    coverage = sim.coverage.copy()
    for letter in sim.letters:
        if (letter.row, letter.place) == place:
            box = letter.box
            middle = round((box.x0 + box.x1 - STREAK_PX) / 2)
            coverage[int(box.y0) - 1 : int(box.y1) + 2, middle : middle + STREAK_PX] *= TINT
    pixels = scanned(coverage, Scan(ppi=300))
    return replace(sim, page=replace(sim.page, pixels=pixels), coverage=coverage)


def test_only_rows_that_hold_a_severed_letter_are_dealt_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A letter parted by a dry streak is read whole; its row alone is dealt again, and the page only once."""
    sim = severed(SEVERED)
    pages, again = [], []

    def deal(rows: Sequence[Row], *rest: Any) -> Any:
        pages.append(len(rows))
        return dealing.deal(rows, *rest)

    def dealt_again(dealt: Sequence[Dealt], joined: Mapping[int, Row], *rest: Any) -> Any:
        again.append(list(joined))
        return dealing.dealt_again(dealt, joined, *rest)

    monkeypatch.setattr("lettering.capture.read.deal", deal)
    monkeypatch.setattr("lettering.capture.letters.rejoined.dealt_again", dealt_again)
    page = read_page(sim.page, Reading(SHORT))

    assert pages == [len(SHORT)]
    assert again == [[SEVERED[0]]]
    assert misplaced(page, sim) == []
    assert page.set_aside == ()


def test_joined_pieces_bear_the_least_of_their_numbers() -> None:
    """Pieces joined by way of a third are one under the least number; all others keep theirs."""
    sim = short_page()
    pieces = find_pieces(find_ink(sim.page).mask(), sim.page)
    numbers = least_numbers(pieces, [(9, 4), (9, 7)])

    assert numbers[[4, 7, 9]].tolist() == [4, 4, 4]
    assert np.flatnonzero(numbers != np.arange(len(numbers))).tolist() == [7, 9]
    one = joined(pieces, [(9, 4), (9, 7)])
    assert {piece.number for piece in pieces.all} - {piece.number for piece in one.all} == {7, 9}
    assert sum(piece.area for piece in one.all) == sum(piece.area for piece in pieces.all)
