"""Whether a page and its reading belong together at all."""

from collections.abc import Sequence

import numpy as np

from lettering.capture.ink.pieces import Pieces
from lettering.capture.letters.dealing import Dealt
from lettering.capture.letters.found import Doubt, Found
from lettering.capture.letters.rows import AS_READ
from lettering.capture.letters.shapes import expected_shape
from lettering.capture.page import Reading
from lettering.errors import ReadingError

ILL_FIT = 8.0
"""Ink that fits its letter worse than this (nats) counts against the reading."""
MOST_WRONG = 0.35
"""Share of a row's letters that may count against the reading before the row is refused."""
MOST_JOINED = 0.5
"""Share of a page's letters that may run together before the writing counts as joined."""

LEAST_ROOM = 0.65
"""Letters that truly run together take so much of their usual width; less, and most of them are not there."""

TOO_FEW_APART = 0.9
"""As `AS_READ` has it for fewer pieces, where letters seem to run together and have no room for that."""

_LETTER_APART = (
    "Letter them apart; joined writing cannot be taken letter by letter. "
    "If they stand apart on the paper, the picture is blurred: take it again."
)


def demand_pieces(pieces: Pieces, reading: Reading, name: str) -> None:
    """Raise ReadingError when the ink comes in whole words instead of letters."""
    letters = sum(char != " " for row in reading.rows for char in row)
    wide = [piece for piece in pieces.all if piece.box.width > 1.6 * piece.box.height]
    if len(pieces.all) < 0.7 * letters and len(wide) > 0.25 * len(pieces.all):
        raise ReadingError("the letters are joined in most words", name, _LETTER_APART)


def demand_apart(rows: Sequence[Dealt], unit: float, name: str) -> None:
    """Raise ReadingError when most letters run together or have no ink; `unit` is the x-height, px."""
    runs = [(row, match) for row in rows for match in row.matches if len(match.chars) > 1]
    letters = sum(len(row.text.chars) for row in rows)
    if sum(len(match.chars) for _, match in runs) <= MOST_JOINED * letters:
        return
    room = [
        row.box(match).width / sum(expected_shape(row.text.chars[k]).width for k in match.chars)
        for row, match in runs
    ]
    if np.median(room) < LEAST_ROOM * unit:
        _demand_count(rows, name, TOO_FEW_APART)
    raise ReadingError("the letters are joined in most words", name, _LETTER_APART)


def demand_fit(
    rows: Sequence[Dealt],
    found: Sequence[Found],
    missed: Sequence[Doubt],
    confidence: float,
    name: str,
) -> None:
    """Raise ReadingError for the first row whose ink does not go with its text, naming the place.

    Letters without ink, ink unlike its letter and letters in doubt all count against a row; letters that
    merely touch count half.
    """
    doubtful = {(letter.row, letter.place) for letter in found if letter.probability < confidence}
    touching = {(letter.row, letter.place) for letter in missed if letter.box is not None}
    for number, row in enumerate(rows):
        ill = {
            row.text.places[k]
            for match in row.matches
            for k in match.chars
            if not match.pieces or match.cost > ILL_FIT * len(match.chars)
        }
        wrong = ill | {place for r, place in doubtful if r == number}
        half = {place for r, place in touching if r == number} - wrong
        if len(wrong) + len(half) / 2 > MOST_WRONG * len(row.text.chars):
            _demand_count(rows, name)
            _refuse(number, row, min(wrong | half), name)


def _demand_count(rows: Sequence[Dealt], name: str, least: float = AS_READ[0]) -> None:
    """Raise ReadingError when there is ink for far fewer letters than are read, or for far more."""
    letters = sum(len(row.text.chars) for row in rows)
    wanted = sum(expected_shape(char).pieces for row in rows for char in row.text.chars)
    share = sum(len(row.row.pieces) for row in rows) / wanted
    counted = f"the reading has {letters} letters, and there is ink for about {round(share * letters)}"
    if share < least:
        hint = (
            "Show the whole page in the picture, with paper all round the lettering, and type what it says."
        )
        raise ReadingError(counted, name, hint)
    if share > AS_READ[1]:
        raise ReadingError(counted, name, "Show one page alone in the picture, and type all that it says.")


def _refuse(number: int, row: Dealt, place: int, name: str) -> None:
    index = row.text.places.index(place)
    word = "".join(row.text.chars[index : index + 12])
    raise ReadingError(
        f"row {number + 1} of the reading does not fit the ink from its character {place + 1} on ('{word}')",
        name,
        "See that the reading says what the page says, row by row.",
    )
