"""Second thoughts: does the ink look like what the reading says it is?"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lettering.capture.dealing import SURE
from lettering.capture.found import Found
from lettering.capture.groups import portrait
from lettering.capture.likeness import Likeness, alike
from lettering.capture.rows import Row

USUAL = 1.3
"""A letter this close to another of its kind is not strange; 1 is the page's own average."""
STRANGE = 2.8
"""A letter this far from all others of its kind is as likely a part of one, or two run together."""


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
    kinds, kind = np.unique(known.chars, return_inverse=True)
    rivals = {
        char: np.array([not alike(char, str(other)) for other in kinds])[kind]
        for char in {letter.char for letter in letters}
    }
    return tuple(
        replace(
            letter,
            probability=letter.probability
            * _trust(
                float(away[known.chars == letter.char].min(initial=np.inf)),
                float(away[rivals[letter.char]].min(initial=np.inf)),
            ),
        )
        for letter, away in zip(letters, distance, strict=True)
    )


def _trust(own: float, other: float) -> float:
    """Return 0..1 for a letter that is so far from its own kind and from the nearest other kind.

    Distances are in the page's own average between two takes of one letter; infinite when there is none.
    """
    if not np.isfinite(own):
        # A lone take has no brothers to speak for it; only a near twin of another kind speaks against it.
        return _chance(other - 0.25)
    return _chance(other - own + 0.75) * (1.0 if own <= USUAL else _chance(STRANGE - own))


def _chance(margin: float) -> float:
    return float(1 / (1 + np.exp(-4 * margin))) if np.isfinite(margin) else 1.0
