"""Accents as they are read and drawn: a mark over a letter is there or it is not, and has a slope."""

import unicodedata
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects, label

from lettering.capture.ink.pieces import EIGHT, Pieces
from lettering.capture.letters.dealing import Dealt, Hand
from lettering.capture.letters.found import Found
from lettering.capture.letters.shapes import expected_shape

ABOVE = 230
"""Canonical combining class of marks above a letter (Unicode)."""
ACUTE, GRAVE, DIAERESIS = "\u0301", "\u0300", "\u0308"
LEAST_INK = 0.5
"""Less ink than this is dust over a letter and no mark; squares of a stroke's width."""
LIFT = 0.15
"""A mark ends no lower than so far under the top of its letter, x-heights: it may dip beside it."""
SHORT = 0.25
"""A letter that lies so far under its usual height, x-heights, is parted: it does not end there."""
FARTHEST = 0.8
"""A mark farther above than this, x-heights, is not this letter's."""
TALLER = 0.2
"""A mark that runs into its letter makes it taller by so many x-heights at least."""
SLANT = 0.25
"""A mark that rises to its right by more of its width than this is no grave, one that falls no acute."""
DOUBT = 0.5
"""How sure a letter is at most whose mark is not as read."""


def marked_as_read(
    letters: Sequence[Found], rows: Sequence[Dealt], pieces: Pieces, hand: Hand
) -> tuple[Found, ...]:
    """Return the letters, those in doubt whose marks are not those that the reading names."""
    return tuple(
        letter
        if _as_read(letter, _marks(letter, rows[letter.row], pieces, hand), hand)
        else replace(letter, probability=min(letter.probability, DOUBT))
        for letter in letters
    )


def _as_read(letter: Found, marks: Sequence[float], hand: Hand) -> bool:
    plain = unicodedata.normalize("NFD", letter.char)
    base, named = plain[0], plain[1:]
    above = {mark for mark in named if unicodedata.combining(mark) == ABOVE}
    if not above:
        return not base.isalpha() or expected_shape(base).pieces > 1 or not marks
    if not marks:
        # It may have run into its letter.
        usual = _usual_top(base, hand)
        top = float(expected_shape(letter.char).top)
        return base not in "ij" and letter.box.height / hand.unit > min(usual + TALLER, top)
    if above == {DIAERESIS}:
        return len(marks) > 1 or abs(marks[0]) < SLANT
    if above == {ACUTE}:
        return len(marks) == 1 and marks[0] > -SLANT
    if above == {GRAVE}:
        return len(marks) == 1 and marks[0] < SLANT
    return True


def _usual_top(base: str, hand: Hand) -> float:
    """Return how high a letter without marks stands over its baseline, x-heights; of i and j the stem."""
    if base in "ij":
        return 1.0
    return float((hand.own[base] if base in hand.own else expected_shape(base)).top)


def _marks(letter: Found, dealt: Dealt, pieces: Pieces, hand: Hand) -> list[float]:
    """Return the rise of each mark over a letter, in its own ink or in ink that went to no letter."""
    unit, base = hand.unit, unicodedata.normalize("NFD", letter.char)[0]
    parts, _ = label(letter.own, EIGHT)
    sizes = np.bincount(parts.ravel())
    sizes[0] = 0
    main = int(sizes.argmax())
    least = LEAST_INK * pieces.stroke_px**2
    # A dry stroke may part a letter; what lies no higher than such letters stand is no mark.
    middle = (letter.box.left + letter.box.right) / 2
    usual = dealt.row.baseline.at(middle) - _usual_top(base, hand) * unit
    own = int(np.flatnonzero((parts == main).any(axis=1))[0]) + letter.box.top
    top = usual if own > usual + SHORT * unit else own
    marks = []
    for number, place in enumerate(find_objects(parts), 1):
        if number != main and sizes[number] > least and place[0].stop + letter.box.top < top + LIFT * unit:
            marks.append(_mark(parts[place] == number))
    dealt_out = {i for match in dealt.matches for i in match.pieces}
    for i, piece in enumerate(dealt.row.pieces):
        middle = (piece.box.left + piece.box.right) / 2
        if (
            i not in dealt_out
            and piece.area > least
            and letter.box.left <= middle <= letter.box.right
            and top - FARTHEST * unit < piece.box.bottom < top + LIFT * unit
        ):
            marks.append(_mark(pieces.own([piece], piece.box)))
    return marks


def _mark(ink: NDArray[np.bool_]) -> float:
    """Return how far a mark rises to its right (below 0: falls), by regression, over its longer spread."""
    down, across = (places - places.mean() for places in np.nonzero(ink))
    longer = max(float(across.std()), float(down.std()))
    return -float((across * down).mean()) / (float(across.std()) * longer) if across.any() else 0.0
