"""Small books on disk for the tests of the steps."""

from pathlib import Path

from lettering.storage.ufo import write_hand
from tests.typeface_hand import typeface_hand

BOOK = """\
title: The Allotment Band
language: en
reader_age: 5
hand: hand.ufo
page: {width: 250 mm, height: 250 mm, bleed: 3 mm, safe: 8 mm, gutter: 10 mm}
cast:
  wren: {name: Wren}
  toad: {name: Toad}
spreads:
  - pages: 4-5
    figures:
      wren: {box: [38, 150, 60, 70], face: [50, 152, 30, 28], mouth: [70, 168]}
      toad: {box: [300, 160, 80, 80], mouth: [330, 185]}
    lines:
      - wren: Who left a cello in the compost?
      - toad: {says: "Not *me*!", voice: shout}
      - wren: {says: It was somebody small., voice: whisper}
      - caption: Nobody answered.
"""
"""A book of one spread that can be placed cleanly in any of the test typefaces."""


def book_on_disk(folder: Path, text: str = BOOK, hand: str = "patrick-hand") -> Path:
    """Write a book file and its hand into `folder` and return the path of the book file."""
    folder.mkdir(parents=True, exist_ok=True)
    write_hand(typeface_hand(hand), folder / "hand.ufo")
    path = folder / "book.yaml"
    path.write_text(text, encoding="utf-8")
    return path
