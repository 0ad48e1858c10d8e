"""Spacing learnt from words, against designers' advances as HarfBuzz gives them."""

from itertools import pairwise

import numpy as np
import pytest

from lettering.hand.hand import Hand
from tests.hand.drawn_rows import WORDS, gathered, scale
from tests.typeface_hand import typeface_hand

UNSEEN = (
    "once",
    "upon",
    "morning",
    "grey",
    "soft",
    "hedgehog",
    "woke",
    "hungry",
    "looked",
    "behind",
    "found",
)


def errors(hand: Hand, face: str) -> float:
    """Return the mean absolute error of the gaps of unseen words, in % of the typeface's em."""
    true, k = typeface_hand(face), scale(face)
    off = [
        abs(_gap(hand, pair) - k * _gap(true, pair))
        for word in UNSEEN
        for pair in pairwise(word)
        if set(pair) <= set(hand.takes)
    ]
    return float(np.mean(off)) / k / 10


def _gap(hand: Hand, pair: tuple[str, str]) -> float:
    a, b = hand.takes[pair[0]][0], hand.takes[pair[1]][0]
    return a.advance - a.outline.bounds.x1 + b.outline.bounds.x0 + hand.kerning.get(pair, 0.0)


@pytest.mark.parametrize("face", ["patrick-hand", "delius", "andika"])
def test_words_teach_the_designers_spacing(face: str) -> None:
    """From 27 words the gaps of unseen words come within 1.1 % of the em (goal for 20 words)."""
    assert errors(gathered(face).hand, face) < 1.1


def test_the_error_told_is_the_error_found() -> None:
    """The error of words left out is that of unseen words and the tremor of the letters together, nearly."""
    found = gathered("andika")

    assert found.spacing.error is not None
    told = found.spacing.error / scale("andika") / 10
    # Two letters, each strayed by sd 3: the mean of |N(0, 2 * 9)| is 6 / sqrt(pi) (closed form).
    tremor = 6 / np.pi**0.5 / scale("andika") / 10
    assert told == pytest.approx(np.hypot(tremor, errors(found.hand, "andika")), rel=0.5)
    assert len(found.spacing.words) == sum(len(word) > 1 for row in WORDS for word in row.split())
