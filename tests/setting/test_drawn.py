"""Whole words as she lettered them."""

from dataclasses import replace

import pytest

from lettering.hand.hand import Hand, Word
from lettering.setting.letters import set_pieces
from lettering.setting.opportunities import pieces
from tests.typeface_hand import typeface_hand


def lettered_whole(word: str, starts: tuple[float, ...]) -> Hand:
    """Return the hand of a typeface in which one word was lettered with gaps of its own."""
    hand = typeface_hand("patrick-hand")
    takes = tuple(hand.takes[char][0].name for char in word)
    return replace(hand, words={word: (Word(takes=takes, starts=starts, page="", row=0, place=0),)})


def steps(says: str, hand: Hand, *, strong: bool = False) -> list[list[float]]:
    """Return the distances between the left edges of the letters of each word, font units."""
    set_ = set_pieces(pieces(says), [strong] * len(says), hand, voice="plain", mm_per_unit=1.0)
    return [[b.ink.x0 - a.ink.x0 for a, b in zip(p.letters, p.letters[1:], strict=False)] for p in set_]


def test_a_word_keeps_the_gaps_it_was_lettered_with() -> None:
    """The word stands as on the page; said again, when it was lettered once, it is made of single letters."""
    wide = (0.0, 700.0, 1400.0)
    own, again = steps("not not", lettered_whole("not", wide))
    plain, _ = steps("not not", typeface_hand("patrick-hand"))

    assert sum(own) == pytest.approx(1400.0, abs=80.0)
    assert sum(own) > 1.2 * sum(plain)
    assert again == pytest.approx(plain, abs=10.0)


def test_letters_that_stood_too_close_are_set_apart() -> None:
    """However close she lettered them, ink keeps its least distance."""
    (tight,) = steps("not", lettered_whole("not", (0.0, 10.0, 20.0)))

    assert min(tight) > 150


def test_emphasis_is_set_letter_by_letter() -> None:
    """A word that is said louder than she lettered it is not her word."""
    wide = lettered_whole("not", (0.0, 700.0, 1400.0))

    assert steps("not", wide, strong=True) == steps("not", typeface_hand("patrick-hand"), strong=True)


def test_takes_are_the_same_wherever_rows_end() -> None:
    """A row that is made to end after a word leaves every letter in the take that it has without."""
    once = typeface_hand("patrick-hand")
    takes = {
        char: tuple(replace(take, name=f"{take.name}.take{turn}") for turn in range(1, 6) for take in own)
        for char, own in once.takes.items()
    }
    hand = replace(once, takes=takes)

    def drawn(says: str) -> list[str]:
        set_ = set_pieces(pieces(says), [False] * len(says), hand, voice="plain", mm_per_unit=1.0)
        return [letter.take for piece in set_ for letter in piece.letters]

    assert drawn("look on Tuesday\nhear nine\nhens in here") == drawn(
        "look on Tuesday hear nine hens in here"
    )
