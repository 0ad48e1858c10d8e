"""Second thoughts: does the ink look like what the reading says it is?"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.dealing import SURE
from lettering.capture.found import Found
from lettering.capture.groups import portrait
from lettering.capture.likeness import Likeness, alike
from lettering.capture.rows import Row

USUAL = 1.3
"""A letter this close to another of its kind is not doubted; 1 is the page's own average."""


def reconsidered(letters: Sequence[Found], rows: Sequence[Row], unit: float) -> tuple[Found, ...]:
    """Return the letters with the probability lowered of those that look like another character.

    A letter is held against the other takes of its own character and against those of every character that
    is not drawn alike.
    """
    sure = [i for i, letter in enumerate(letters) if letter.probability > SURE]
    if not sure:
        return tuple(letters)
    drawn = np.stack([portrait(a.own, a.box, rows[a.row].baseline, unit) for a in letters])
    numbers = [letter.numbers for letter in letters]
    known = Likeness.of([letters[i].char for i in sure], [numbers[i] for i in sure], drawn[sure])
    distance = np.sqrt(known.apart(drawn, numbers) / known.usual)
    return tuple(
        replace(letter, probability=letter.probability * _trust(letter.char, away, known.chars))
        for letter, away in zip(letters, distance, strict=True)
    )


def _trust(char: str, distance: NDArray[np.float64], chars: NDArray[np.str_]) -> float:
    """Return 0..1: how well a letter looks like its own character rather than another."""
    own = float(distance[chars == char].min(initial=np.inf))
    rivals = np.array([not alike(char, str(other)) for other in chars], dtype=np.bool_)
    other = float(distance[rivals].min(initial=np.inf))
    if own <= USUAL or not np.isfinite(other):
        return 1.0
    if not np.isfinite(own):
        # A lone take has no brothers to speak for it; only a near twin of another character speaks against it.
        own = 1.0
    return float(1 / (1 + np.exp(-4 * (other - own + 0.75))))
