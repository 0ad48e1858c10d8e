"""Words kept whole, against the pages they were lettered on."""

from dataclasses import replace
from itertools import pairwise

import pytest

from lettering.geometry.affine import Affine
from lettering.hand.gathered import gathering, hand_from
from lettering.hand.word import word_take, word_takes
from tests.hand.drawn_rows import drawn_rows, gathered


def test_a_word_stands_as_it_was_lettered() -> None:
    """Ink of the whole word `cello` lies where HarfBuzz and the tremor put it on the page, to the grid."""
    drawn = [d for d in drawn_rows("patrick-hand") if d.row == 2][10:15]
    word = word_take(gathered("patrick-hand").hand, "cello")
    assert word is not None
    placed = [t.outline.transformed(Affine(e=x)).bounds for t, x in zip(word.takes, word.starts, strict=True)]

    assert "".join(d.char for d in drawn) == "cello"
    for (a, b), (was, then) in zip(pairwise(placed), pairwise(d.outline.bounds for d in drawn), strict=True):
        assert b.x0 - a.x1 == pytest.approx(then.x0 - was.x1, abs=0.31)
        assert b.y0 - a.y0 == pytest.approx(then.y0 - was.y0, abs=0.11)


def test_what_was_never_lettered_as_a_word_is_none() -> None:
    """Parts of words and words across a space are no words; a word lettered twice takes turns."""
    hand = hand_from(drawn_rows("andika", ["an ant, an ant"]), name="hers", mm_per_unit=None)

    assert word_take(hand, "nt") is None
    assert word_take(hand, "an ant") is None
    assert [len(word_takes(hand, text)) for text in ("an", "ant", "ant,")] == [2, 2, 1]
    assert word_take(hand, "an", 0) != word_take(hand, "an", 1) == word_take(hand, "an", 3)


def test_words_outlive_gathering_another_page() -> None:
    """Words of former pages stay when a page is added, and leave with a page that is gathered anew."""
    hand = hand_from(drawn_rows("andika", ["an ant"]), name="hers", mm_per_unit=None)
    more = gathering(
        drawn_rows("andika", ["to"], page="b.png"), name="h", mm_per_unit=None, previous=hand
    ).hand
    less = gathering(drawn_rows("andika", ["it"]), name="h", mm_per_unit=None, previous=more).hand

    assert set(more.words) == {"an", "ant", "to"}
    assert set(less.words) == {"it", "to"}


def test_a_pair_always_drawn_together_is_kept() -> None:
    """Where t and h touch each time they meet, `th` can be set as one; letters apart are no pair."""
    drawn = drawn_rows("andika", ["than then"])
    moved = [
        replace(d, outline=d.outline.transformed(Affine(e=110.0 if d.char == "t" else 0.0))) for d in drawn
    ]
    pair = word_take(hand_from(moved, name="hers", mm_per_unit=None), "th")

    assert word_take(hand_from(drawn, name="hers", mm_per_unit=None), "th") is None
    assert pair is not None
    assert [take.char for take in pair.takes] == ["t", "h"]
    assert pair.advance == pytest.approx(pair.starts[1] + pair.takes[1].advance)
