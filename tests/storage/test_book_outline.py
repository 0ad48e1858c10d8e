"""Where everything stands in a book file."""

import pytest

from lettering.errors import BookError
from lettering.storage.book_outline import outline

BOOK = """title: T
cast:   # in order
  wren: {name: Wren}
  toad:
    name: Mr. Toad

spreads:
  # Dusk.
  - pages: 4-5
    lines:
      # quiet
      # very
      - wren: "Who?"   # she

      - toad: {says: 'Not *me*!', voice: shout}
    keep_clear: []
  - pages: 6
"""


def test_spans_hold_what_they_are_said_to() -> None:
    """Words are spanned with their quotation marks, lines with the comments above them."""
    found = outline(BOOK, "book.yaml")
    first, second = found.spreads[0].lines

    assert BOOK[first.words.start : first.words.end] == '"Who?"'
    assert BOOK[second.words.start : second.words.end] == "'Not *me*!'"
    assert (first.in_braces, second.in_braces) == (False, True)
    assert BOOK[first.rows.start : first.rows.end] == (
        '      # quiet\n      # very\n      - wren: "Who?"   # she\n'
    )
    assert BOOK[: found.spreads[0].lines_end].endswith("voice: shout}\n")
    assert BOOK[: found.spreads[0].end].endswith("keep_clear: []\n")


def test_the_cast_is_known_by_key_and_name() -> None:
    """Names are found whether a character stands between braces or in rows."""
    found = outline(BOOK, "book.yaml")

    assert found.cast == {"wren": "Wren", "toad": "Mr. Toad"}
    assert found.cast_end is not None
    assert BOOK[: found.cast_end].endswith("name: Mr. Toad\n")
    assert BOOK[found.spreads_start :].startswith("spreads:")


def test_a_spread_without_lines_can_be_given_some() -> None:
    """The place for lines is behind the spread's last field."""
    last = outline(BOOK, "book.yaml").spreads[1]

    assert not last.has_lines
    assert last.lines_end == len(BOOK)


@pytest.mark.parametrize(
    "text",
    ["spreads: [", "title: T\n", "spreads: []\n", "spreads:\n  - {pages: 4}\n", "spreads:\n  - pages: x\n"],
)
def test_a_file_that_cannot_be_changed_row_by_row_is_refused(text: str) -> None:
    """Broken syntax, or lists between brackets, are refused instead of guessed about."""
    with pytest.raises(BookError):
        outline(text, "book.yaml")
