"""A book file that the tests of reading share, and what becomes of it."""

import pytest

from lettering.book.book import Book
from lettering.book.line import Line
from lettering.errors import BookError
from lettering.storage.book_file import book_of

BOOK = """\
title: The Allotment Band
language: en                  # BCP 47
reader_age: 5
hand: ../glyph_sets/demo.ufo  # relative to this file
page:
  width: 250 mm
  height: 25 cm
  bleed: 3 mm
  safe: 8 mm
  gutter: 10
lettering:
  x_height: 3.8 mm
cast:                         # in the order in which they first speak
  wren: {name: Wren, height: 10 cm}
  toad: {name: Toad, height: 8 cm, hand: ../glyph_sets/toad.ufo}
spreads:
  - pages: 4-5
    art: art/04-05.png
    figures:
      wren: {box: [38, 120, 60, 70], face: [50, 122, 30, 28], mouth: [70, 138]}
      toad:
        - {box: [300, 140, 80, 80], mouth: [330, 165]}
        - {box: [100, 20, 40, 40]}
    keep_clear:
      - [200, 10, 40, 40]
    lines:
      - wren: Who left a cello in the compost?
      - toad: {says: "Not *me*!", voice: shout, from: 2}      # emphasis, as in CommonMark
      - wren + toad: No
      - wren: {says: 12:30, off: left}
      - toad: 1.50
      - sound: Off
      - caption: Nobody answered.
  - pages: 6
"""


def problems(text: str | bytes) -> list[str]:
    """Return the sentences of every problem in a book file called b.yaml."""
    data = text.encode() if isinstance(text, str) else text
    with pytest.raises(BookError) as caught:
        book_of(data, "b.yaml")
    return [str(problem) for problem in caught.value.problems]


def read(text: str) -> Book:
    """Return the book that a text makes."""
    return book_of(text.encode(), "b.yaml").book


def with_lines(*lines: str) -> str:
    """Return the book file with other lines of dialogue on its first spread, from line 27 on."""
    head = BOOK[: BOOK.index("      - wren: Who left")]
    return head + "".join(f"      - {line}\n" for line in lines)


def lines_of(text: str) -> tuple[Line, ...]:
    """Return the lines of the book above with `text` in place of its own."""
    head = BOOK.split("    lines:\n", maxsplit=1)[0]
    return book_of(f"{head}    lines:\n{text}".encode(), "b.yaml").book.spreads[0].lines
