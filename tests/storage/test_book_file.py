"""The book file is read as it was typed."""

from pathlib import Path

import pytest

from lettering.book.cast import Character, Figure
from lettering.book.line import Line
from lettering.book.page import PageFormat
from lettering.errors import LetteringError, Where
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.storage.book_file import LANGUAGE_TAG, book_of, missing_files, read_book
from tests.storage.book_texts import BOOK, lines_of, read, with_lines


def test_a_book_file_becomes_the_book_it_describes() -> None:
    """Every field of the format arrives in the book, lengths in mm."""
    book = read(BOOK)

    assert book.page == PageFormat(width_mm=250, height_mm=250, bleed_mm=3, safe_mm=8, gutter_mm=10)
    assert book.cast == (
        Character("wren", "Wren", 100.0),
        Character("toad", "Toad", 80.0, "../glyph_sets/toad.ufo"),
    )
    assert (book.title, book.language, book.reader_age) == ("The Allotment Band", "en", (5, 5))
    assert (book.hand, book.x_height_mm) == ("../glyph_sets/demo.ufo", 3.8)
    spread, single = book.spreads
    assert (spread.pages, single.pages, spread.art) == ((4, 5), (6,), "art/04-05.png")
    assert spread.keep_clear == (Rect(200, 10, 240, 50),)
    assert spread.figures[0] == Figure(
        who="wren", box=Rect(38, 120, 98, 190), face=Rect(50, 122, 80, 150), mouth=Point(70, 138)
    )
    assert [figure.who for figure in spread.figures] == ["wren", "toad", "toad"]


def test_words_are_read_as_typed() -> None:
    """No, Off, 12:30 and 1.50 stay words; YAML 1.1 (yaml.org, type/bool, type/int, type/float) guesses."""
    lines = read(BOOK).spreads[0].lines

    assert lines == (
        Line(who=("wren",), says="Who left a cello in the compost?"),
        Line(who=("toad",), says="Not *me*!", voice="shout", figure=2),
        Line(who=("wren", "toad"), says="No"),
        Line(who=("wren",), says="12:30", off="left"),
        Line(who=("toad",), says="1.50"),
        Line(who=(), says="Off", voice="sound"),
        Line(who=(), says="Nobody answered.", voice="caption"),
    )


def test_each_line_knows_its_place_in_the_file() -> None:
    """A line of dialogue is found again by file, line and column."""
    places = book_of(BOOK.encode(), "b.yaml").places

    assert places[0, 0] == Where("b.yaml", 27, 9)
    assert places[0, 6] == Where("b.yaml", 33, 9)
    assert len(places) == 7


def test_margins_that_are_not_given_are_the_house_s() -> None:
    """A page without margins has 3 mm bleed, 8 mm safe and 10 mm gutter."""
    book = read(BOOK.replace("  bleed: 3 mm\n  safe: 8 mm\n  gutter: 10\n", ""))

    assert book.page == PageFormat(width_mm=250, height_mm=250)


def test_two_ages_mean_read_aloud() -> None:
    """'3-5' gives both ages, with a hyphen or an en dash."""
    assert read(BOOK.replace("reader_age: 5", "reader_age: 3-5")).reader_age == (3, 5)
    assert read(BOOK.replace("reader_age: 5", "reader_age: 3–5")).reader_age == (3, 5)


def test_a_comment_behind_words_is_a_comment() -> None:
    """A '#' with spaces on both sides begins a comment, as in YAML."""
    assert read(with_lines("wren: Hi  # softly")).spreads[0].lines[0].says == "Hi"


@pytest.mark.parametrize(
    "tag",
    [
        # Examples of RFC 5646, appendix A.
        "de", "fr", "ja", "zh-Hant", "zh-cmn-Hans-CN", "cmn-Hans-CN", "sr-Latn-RS", "sl-rozaj-biske",
        "de-CH-1901", "hy-Latn-IT-arevela", "es-419", "de-CH-x-phonebk", "az-Arab-x-AZE-derbend",
        "en-US-u-islamcal", "zh-CN-a-myext-x-private", "en-a-myext-b-another",
    ],
)  # fmt: skip
def test_well_formed_language_tags_are_taken(tag: str) -> None:
    """The well-formed examples of RFC 5646 pass."""
    assert LANGUAGE_TAG.fullmatch(tag)


def test_files_that_are_not_there_are_told_apart_from_the_reading(tmp_path: Path) -> None:
    """A missing hand or missing art does not stop the reading, and is listed when asked for."""
    path = tmp_path / "book" / "book.yaml"
    path.parent.mkdir()
    path.write_text(BOOK, encoding="utf-8")
    book = read_book(path).book

    assert missing_files(book, path.parent) == (
        "the hand is not there: ../glyph_sets/demo.ufo",
        "the hand of toad is not there: ../glyph_sets/toad.ufo",
        "the art of pages 4-5 is not there: art/04-05.png",
    )
    (path.parent / "art").mkdir()
    (path.parent / "art" / "04-05.png").touch()
    assert len(missing_files(book, path.parent)) == 2


def test_a_book_that_is_not_there_is_told(tmp_path: Path) -> None:
    """A missing file and a folder each give a sentence with the path."""
    with pytest.raises(LetteringError, match=r"nowhere\.yaml: there is no such file"):
        read_book(tmp_path / "nowhere.yaml")
    with pytest.raises(LetteringError, match=r"this is a folder\. Give the book file in it"):
        read_book(tmp_path)


def test_sounds_may_run_along_a_way() -> None:
    """A sound's row runs on a named course or through points in mm, with or without an outline."""
    arc, free = lines_of(
        "      - sound: {says: CRASH, along: arc, outline: 1.2 mm}\n"
        "      - sound: {says: Tick tock, along: [[20, 40], [6 cm, 30], [110, 50]]}\n"
    )

    assert (arc.along, arc.outline_mm) == ("arc", 1.2)
    assert free.along == (Point(20, 40), Point(60, 30), Point(110, 50))


def test_captions_and_joints() -> None:
    """A caption may have no frame, and a bubble may hang on the one before."""
    caption, _, second, reply = lines_of(
        "      - caption: {says: Night fell., frame: none}\n"
        "      - wren: Who left a cello?\n"
        "      - wren: {says: And why, joint: neck}\n"
        "      - toad: {says: Not me., joint: touching}\n"
    )

    assert caption.frame == "none"
    assert (second.joint, reply.joint) == ("neck", "touching")
