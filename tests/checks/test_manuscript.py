"""The book against the manuscript it was made of."""

from dataclasses import replace

import pytest

from lettering.book.book import Book
from lettering.book.cast import Character
from lettering.book.line import Line
from lettering.book.manuscript import Manuscript, ManuscriptSpread, Speech
from lettering.checks.finding import Finding
from lettering.checks.manuscript import check_manuscript, edits
from tests.checks.finished import BOOK, SPREAD

SAYS = (("wren", "Who left a *cello* in the\npond?"), ("toad", "It’s not me!"), ("toad", "I play the drum."))

MANUSCRIPT = Manuscript(
    title=None,
    spreads=(
        ManuscriptSpread(
            pages=(4, 5),
            lines=(
                Speech(who=("WREN",), says="Who left a cello in the pond?"),
                Speech(who=("Mr Toad",), says="It's not me!"),
                Speech(who=("Mr Toad",), says="I play the drum."),
            ),
        ),
    ),
)


def book(says: tuple[tuple[str, str], ...]) -> Book:
    """Return a book in which these lines are said."""
    lines = tuple(Line(who=(who,), says=words) for who, words in says)
    cast = (Character("wren", "Wren"), Character("toad", "Mr Toad"))
    return replace(BOOK, cast=cast, spreads=(replace(SPREAD, lines=lines),))


def found(*says: tuple[str, str]) -> list[Finding]:
    """Return what is found when the book says this."""
    return list(check_manuscript(book(says), MANUSCRIPT))


def test_the_same_words_have_no_findings() -> None:
    """Emphasis, breaks and curled quotation marks do not count, and speakers answer to their names."""
    assert found(*SAYS) == []


@pytest.mark.parametrize(
    ("says", "codes"),
    [
        (SAYS[:2], ["manuscript-missing"]),
        ((*SAYS, ("wren", "Boo!")), ["manuscript-added"]),
        ((SAYS[0], SAYS[2], SAYS[1]), ["manuscript-order"]),
        ((("toad", SAYS[0][1]), *SAYS[1:]), ["manuscript-speaker"]),
        ((("wren", "Who left a cellow in the pond?"), *SAYS[1:]), ["manuscript-letter"]),
        ((("wren", "Who left the old cello in that pond?"), *SAYS[1:]), ["manuscript-words"]),
        ((SAYS[0], SAYS[1], SAYS[1], SAYS[2]), ["manuscript-added"]),
    ],
    ids=["missing", "added", "order", "speaker", "letter", "words", "twice"],
)
def test_each_difference_is_named(says: tuple[tuple[str, str], ...], codes: list[str]) -> None:
    """A line gone, new, moved, given to another, misspelt, reworded or said twice is found as just that."""
    assert [one.code for one in found(*says)] == codes


def test_a_slip_is_shown_beside_what_was_written() -> None:
    """The word and the manuscript's word both stand in the sentence."""
    (one,) = found(("wren", "Who left a cellow in the pond?"), *SAYS[1:])

    assert "'cellow' for 'cello'" in one.message


def test_edits_are_counted_as_levenshtein_counts_them() -> None:
    """Kitten to sitting takes 3 edits, the textbook's example (from memory)."""
    assert edits("kitten", "sitting") == 3
    assert edits("", "abc") == edits("abc", "") == 3
