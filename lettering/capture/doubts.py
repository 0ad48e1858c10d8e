"""Second thoughts: does the ink look like what the reading says it is?"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.found import Found
from lettering.capture.likeness import Likeness, alike


def reconsidered(
    letters: Sequence[Found], portraits: NDArray[np.float32], known: Likeness
) -> tuple[Found, ...]:
    """Return the letters with the probability lowered of those that look like another character.

    `portraits` has shape (letters, cells). A letter is held against the other takes of its own character and
    against those of every character that is not drawn alike.
    """
    distance = known.apart(portraits, [letter.numbers for letter in letters]) / known.usual
    return tuple(
        replace(letter, probability=letter.probability * _trust(letter.char, row, known.chars))
        for letter, row in zip(letters, np.sqrt(distance), strict=True)
    )


def _trust(char: str, distance: NDArray[np.float64], chars: NDArray[np.str_]) -> float:
    """Return 0..1: how well a letter looks like its own character rather than another; 1 is usual."""
    own = float(distance[chars == char].min(initial=np.inf))
    rivals = np.array([not alike(char, str(other)) for other in chars], dtype=np.bool_)
    other = float(distance[rivals].min(initial=np.inf))
    if own <= 1.3 or not np.isfinite(other):
        return 1.0
    if not np.isfinite(own):
        # A lone take has no brothers to speak for it; only a near twin of another character speaks against it.
        own = 1.6
    return float(1 / (1 + np.exp(-4 * (other - own + 0.75))))
