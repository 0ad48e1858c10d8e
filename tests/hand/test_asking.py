"""What a sheet asks for."""

import string
from dataclasses import replace

from lettering.hand.asking import rows_to_letter, unlettered_pairs, usual_rows
from lettering.hand.hand import Hand, Word
from tests.typeface_hand import typeface_hand

TEXTS = ("The toad sat down. Nobody answered! A very long sentence that no single row can ever hold whole.",)


def test_rows_are_the_books_own_words() -> None:
    """Every row is made of the book's words in runs, at most as long as a row, and holds what is wanted."""
    rows = rows_to_letter(TEXTS, None, width=28.0, rows=10)
    wanted = {char for char in TEXTS[0] if char != " "}

    assert set("".join(rows)) - {" "} == wanted
    assert {word for row in rows for word in row.split()} <= set(TEXTS[0].split())
    assert max(map(len, rows)) * 0.92 <= 28.0


def test_a_hand_that_lacks_nothing_is_asked_nothing() -> None:
    """With enough takes of every character no row is asked for; a missing one is asked for in its word."""
    hand = typeface_hand("patrick-hand")

    assert rows_to_letter(("an",), hand, width=28.0, rows=10) == ()
    assert rows_to_letter(("an ☂ umbrella",), hand, width=28.0, rows=10) == ("an ☂ umbrella",)


def test_rows_that_are_left_show_pairs_not_seen_yet() -> None:
    """When one mark is wanted the sheet is filled with the book's own words, each with a fresh pair."""
    hand = typeface_hand("patrick-hand")
    texts = ("an ☂ umbrella", "The toad sat down.", "an an", "Nobody answered Wren all day long.")
    rows = rows_to_letter(texts, hand, width=20.0, rows=10)

    assert "☂" in rows[0]
    assert len(rows) > 1
    assert {word for row in rows for word in row.split()} <= {word for text in texts for word in text.split()}
    assert rows_to_letter(texts[1:], typeface_hand_with_enough(), width=20.0, rows=10) == ()


def typeface_hand_with_enough() -> Hand:
    """Return a hand with four takes of everything."""
    hand = typeface_hand("patrick-hand")
    return replace(hand, takes={char: takes * 4 for char, takes in hand.takes.items()})


def test_without_a_book_the_whole_alphabet_is_asked_for() -> None:
    """Twelve rows of the usual words hold every small letter, every figure and the common marks."""
    asked = usual_rows(width=28.3, rows=12)

    assert len(asked) == 12
    assert not set(string.ascii_lowercase + string.digits + ".,!?:;") - set("".join(asked))


def test_pairs_that_no_word_shows_are_named_by_use() -> None:
    """Of `to toe` only `oe` is unseen when the word `to` was lettered."""
    word = Word(takes=("t", "o"), starts=(0.0, 300.0), page="p", row=0, place=0)
    hand = typeface_hand("andika")
    shown = type(hand)(name="h", metrics=hand.metrics, takes=hand.takes, words={"to": (word,)})

    assert unlettered_pairs(["to toe"], shown) == (("oe", 1),)
    assert unlettered_pairs(["to toe"], None) == (("to", 2), ("oe", 1))
