"""Changes of the text of a book file: what was edited and not a character more."""

import difflib

import pytest
import yaml

from lettering.errors import LetteringError
from lettering.steps.book_changes import line_field, speaker, with_line

BOOK = """\
title: The Pond   # a working title
language: en
reader_age: 5
hand: hand.ufo
page: {width: 250 mm, height: 250 mm, bleed: 3 mm, safe: 8 mm, gutter: 10 mm}
cast:
  wren: {name: Wren}   # small and sure
  toad: {name: Toad}
spreads:
  - pages: 4-5
    figures:
      wren: [{box: [38, 150, 60, 70]}, {box: [120, 150, 60, 70]}]
      toad: {box: [300, 160, 80, 80]}
    lines:
      # She is cross here.
      - wren: Who was it?   # softly
      - wren: "Not *me*!"
      - toad: {says: Nor I., voice: whisper}
      - caption: Nobody answered.
      - sound: SPLASH
"""
SAID = ("Who was it?", "Not *me*!", "Nor I.", "Nobody answered.", "SPLASH")


def changed_rows(after: str) -> list[str]:
    """Return the rows of BOOK that became others, as they are now."""
    rows = difflib.ndiff(BOOK.splitlines(), after.splitlines())
    return [row[2:].strip() for row in rows if row.startswith("+ ")]


@pytest.mark.parametrize(
    ("line", "name", "value", "row"),
    [
        (1, "joint", "neck", "- wren: {says: Not *me*!, joint: neck}"),
        (2, "joint", "touching", "- toad: {says: Nor I., voice: whisper, joint: touching}"),
        (0, "from", "2", '- wren: {says: "Who was it?", from: 2}   # softly'),
        (3, "frame", "straight", "- caption: {says: Nobody answered., frame: straight}"),
        (4, "along", "arc", "- sound: {says: SPLASH, along: arc}"),
        (4, "outline", "1.5", "- sound: {says: SPLASH, outline: 1.5}"),
    ],
)
def test_a_field_of_a_line_is_set_and_taken_out_again(line: int, name: str, value: str, row: str) -> None:
    """Its row alone changes, as docs/book-file.md has it; comments stay; without it the words are alone."""
    after = line_field(BOOK, 0, line, name, value, was=SAID[line])
    back = line_field(after, 0, line, name, "", was=SAID[line])
    lines = yaml.safe_load(back)["spreads"][0]["lines"]
    ((_, said),) = lines[line].items()

    assert changed_rows(after) == [row]
    assert (said if isinstance(said, str) else said["says"]) == SAID[line]
    assert name not in said
    assert lines[:line] + lines[line + 1 :] == [
        one for k, one in enumerate(yaml.safe_load(BOOK)["spreads"][0]["lines"]) if k != line
    ]


def test_a_line_is_said_by_two_together_and_by_one_again() -> None:
    """The key becomes 'wren + toad' and nothing else; one speaker again gives back every character."""
    after = speaker(BOOK, 0, 0, "wren + toad", was=SAID[0])

    assert changed_rows(after) == ["- wren + toad: Who was it?   # softly"]
    assert speaker(after, 0, 0, "wren", was=SAID[0]) == BOOK
    assert changed_rows(with_line(BOOK, 0, "toad + wren", "One, two!")) == ["- toad + wren: One, two!"]


@pytest.mark.parametrize(
    ("line", "name", "value", "told"),
    [
        (0, "joint", "neck", "no bubble is spoken just before"),
        (2, "joint", "neck", "a neck joins two bubbles of the same speaker"),
        (0, "from", "3", "wren has 2 figures"),
        (3, "frame", "round", "a line has no frame 'round'"),
        (3, "along", "arc", "'along'"),
        (4, "outline", "1, along: arc", "outline"),
        (0, "colour", "red", "a line has no colour"),
    ],
)
def test_what_no_line_can_be_is_refused(line: int, name: str, value: str, told: str) -> None:
    """With a reason that names it; a value cannot bring a second field with it."""
    with pytest.raises(LetteringError) as refused:
        line_field(BOOK, 0, line, name, value, was=SAID[line])

    assert told in str(refused.value)


def test_who_speaks_together_is_of_the_cast_and_named_once() -> None:
    """A stranger, and one who is named twice, are refused."""
    for who, told in (("wren + mole", "no character named 'mole'"), ("wren + wren", "a speaker twice")):
        with pytest.raises(LetteringError) as refused:
            speaker(BOOK, 0, 0, who, was=SAID[0])
        assert told in str(refused.value)
