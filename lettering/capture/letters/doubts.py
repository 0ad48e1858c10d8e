"""Second thoughts: does the ink look like what the reading says it is?"""

import unicodedata
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.ndimage import label

from lettering.capture.ink.pieces import EIGHT
from lettering.capture.letters.dealing import SURE, Hand
from lettering.capture.letters.found import Found
from lettering.capture.letters.groups import portrait
from lettering.capture.letters.likeness import Likeness, alike
from lettering.capture.letters.rows import Row
from lettering.capture.letters.shapes import expected_shape

USUAL = 1.3
"""A letter this close to another of its kind is not strange; 1 is the page's own average."""
TWIN = 0.7
"""A letter in two parts must be this close to another of its kind to be taken for one letter."""
STRANGE = 2.8
"""A letter this far from all others of its kind is as likely a part of one, or two run together."""
SIDE_BY_SIDE = frozenset('"“”„…%‰«»')
"""Characters whose pieces stand beside one another; in all others a gap across is a sign of two letters."""
GAP = 0.08
"""Paper all the way down between two parts of a letter, x-heights: half a stroke, as where a pen skipped."""
TELLING = 2.0
"""What tells é from è is a fifth of the ink: how far two letters of one base lie apart counts so often."""
LARGE_PART = 0.25
"""A second piece with more of the ink than this is no break in a stroke but perhaps a letter of its own."""


def reconsidered(letters: Sequence[Found], rows: Sequence[Row], hand: Hand) -> tuple[Found, ...]:
    """Return the letters with the probability lowered of those that look like another character.

    A letter is held against the other takes of its own character and against those of every character that
    is not drawn alike.
    """
    unit = hand.unit
    sure = [i for i, a in enumerate(letters) if a.probability > SURE and not _parted(a, unit)]
    if not sure:
        return tuple(letters)
    drawn = np.stack([portrait(a.own, a.box, rows[a.row].baseline, unit) for a in letters])
    numbers = [letter.numbers for letter in letters]
    known = Likeness.of(
        [letters[i].char for i in sure],
        [numbers[i] for i in sure],
        drawn[sure],
        [letters[i].box.width / unit for i in sure],
    )
    distance = np.sqrt(known.apart(drawn, numbers) / known.usual)
    kinds, kind = np.unique(known.chars, return_inverse=True)
    rivals = {
        char: np.array([not alike(char, str(other)) for other in kinds])[kind]
        for char in {letter.char for letter in letters}
    }
    bases = np.array([_base(str(other)) for other in kinds])[kind]
    lacking = [_lacking(letter, hand) for letter in letters]
    return tuple(
        replace(
            letter,
            probability=letter.probability
            * _trust(
                float(away[known.chars == letter.char].min(initial=np.inf)),
                float(
                    np.where(bases == _base(letter.char), TELLING * away, away)[rivals[letter.char]].min(
                        initial=np.inf
                    )
                ),
                _parted(letter, unit) or any(_side_by_side(letters[k], letter) for k in near if lacking[k]),
            ),
        )
        for letter, away, near in zip(letters, distance, _neighbours(len(letters)), strict=True)
    )


def _base(char: str) -> str:
    """Return a letter without its marks (Unicode, canonical decomposition)."""
    return unicodedata.normalize("NFD", char)[0]


def _neighbours(count: int) -> list[range]:
    return [range(max(i - 1, 0), min(i + 2, count)) for i in range(count)]


def _side_by_side(a: Found, b: Found) -> bool:
    """Tell whether two letters are the same or stand beside each other in a word."""
    return a.row == b.row and abs(a.place - b.place) <= 1


def _parted(letter: Found, unit: float) -> bool:
    """Tell whether a letter may be two: paper runs down between its parts, or a part too many is large."""
    if len(letter.numbers) == 1 or letter.char in SIDE_BY_SIDE:
        return False
    inked = np.flatnonzero(letter.own.any(axis=0))
    if int(np.diff(inked).max(initial=1)) - 1 > GAP * unit:
        return True
    sizes = np.sort(np.bincount(label(letter.own, EIGHT)[0].ravel())[1:])
    return expected_shape(letter.char).pieces == 1 and bool(sizes[:-1].sum() > LARGE_PART * sizes.sum())


def _lacking(letter: Found, hand: Hand) -> bool:
    """Tell whether a letter has fewer parts than its kind: one of them may have gone to its neighbour."""
    usual = int(hand.own.get(letter.char, expected_shape(letter.char)).pieces)
    return len(letter.numbers) < usual and label(letter.own, EIGHT)[1] < usual


def _trust(own: float, other: float, parted: bool) -> float:
    """Return 0..1 for a letter that is so far from its own kind and from the nearest other kind.

    One that is `parted` may be two letters, or lack a part, unless another of its kind is alike.

    Distances are in the page's own average between two takes of one letter; infinite when there is none.
    """
    if parted and own > TWIN:
        return 0.5
    if not np.isfinite(own):
        # A lone take has no brothers to speak for it; only a near twin of another kind speaks against it.
        return _chance(other - 0.25)
    return _chance(other - own + 0.75) * (1.0 if own <= USUAL else _chance(STRANGE - own))


def _chance(margin: float) -> float:
    return float(1 / (1 + np.exp(-4 * margin))) if np.isfinite(margin) else 1.0
