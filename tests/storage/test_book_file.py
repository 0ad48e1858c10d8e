"""The book file is read as it was typed, or refused with every problem and its place."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.book.book import Book
from lettering.book.cast import Character, Figure
from lettering.book.line import Line
from lettering.book.page import PageFormat
from lettering.errors import BookError, LetteringError, Where
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.storage.book_file import LANGUAGE_TAG, ReadBook, book_of, missing_files, read_book

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


@pytest.mark.parametrize(
    ("typed", "wrong", "expected"),
    [
        ("title:", "titel:", "b.yaml:1:1: the book has no field 'titel'. Did you mean 'title'?"),
        ("title: The Allotment Band", "title:", "b.yaml:1:7: 'title' of the book is empty."),
        ("language: en ", "language: en_GB ", "b.yaml:2:11: 'en_GB' is no language tag."),
        ("reader_age: 5", "reader_age: 5-3", "b.yaml:3:13: '5-3' is no age of a reader."),
        ("reader_age: 5", "reader_age: five", "b.yaml:3:13: 'five' is no age of a reader."),
        ("width: 250 mm", "width: 250 px", "b.yaml:6:10: 'width' of the page: 'px' is not a unit of length"),
        ("width: 250 mm", "width: wide", "b.yaml:6:10: 'width' of the page: 'wide' is not a length."),
        ("25 cm", "-25 cm", "b.yaml:7:11: 'height' of the page must be more than 0, not -250 mm."),
        ("25 cm", "25 " + "0" * 3 + " cm", "b.yaml:7:11: 'height' of the page:"),
        ("25 cm", "9" * 400, "b.yaml:7:11: 'height' of the page is longer than 5000 mm."),
        ("bleed: 3 mm", "bleed: -3", "b.yaml:8:10: 'bleed' of the page must be 0 or more, not -3 mm."),
        ("bleed: 3 mm", "bled: 3 mm", "b.yaml:8:3: the page has no field 'bled'. Did you mean 'bleed'?"),
        ("safe: 8 mm", "safe: 130 mm", "b.yaml:9:9: a page of 250 x 250 mm has no room inside its margins."),
        ("3.8 mm", "0 mm", "b.yaml:12:13: 'x_height' of lettering must be more than 0, not 0 mm."),
        ("height: 8 cm", "hight: 8 cm", "b.yaml:15:22: character toad has no field 'hight'."),
        ("hand: ../glyph_sets/toad", "hnad: toad", "b.yaml:15:36: character toad has no field 'hnad'. Did"),
        ("hand: ../glyph_sets/toad.ufo", "hand:", "b.yaml:15:41: 'hand' of character toad is empty."),
        ("../glyph_sets/toad.ufo", "[a.ufo]", "b.yaml:15:42: 'hand' of character toad wants text, not"),
        ("  toad: {name", "  sound: {name", "b.yaml:15:3: a character cannot be called 'sound'."),
        ("  toad: {name", "  wren: {name", "b.yaml:15:3: 'wren' is given twice. It is first given on"),
        ("pages: 4-5", "pages: 5-4", "b.yaml:17:12: '5-4' are no facing pages."),
        ("pages: 4-5", "pages: 4-7", "b.yaml:17:12: '4-7' are no facing pages."),
        ("pages: 4-5", "pages: 0", "b.yaml:17:12: '0' are no facing pages."),
        ("pages: 6", "pages: 5-6", "b.yaml:34:12: page 5 is given twice. It is first used on line 17."),
        ("38, 120, 60", "480, 120, 60", "b.yaml:20:19: the box of wren is off the spread"),
        ("38, 120, 60", "38, 120, -60", "b.yaml:20:19: 'box' of figure wren has no area"),
        ("38, 120, 60, 70", "38, 120", "b.yaml:20:19: 'box' of figure wren wants 4 numbers"),
        ("[38, 120, 60, 70]", "here", "b.yaml:20:19: 'box' of figure wren wants [x, y, width, height] in mm"),
        ("50, 122, 30", "90, 122, 30", "b.yaml:20:44: the face of wren reaches outside its box."),
        ("mouth: [70", "mouth: [7", "b.yaml:20:70: the mouth of wren lies outside its box."),
        ("box: [100, 20, 40, 40]", "face: [1, 1, 2, 2]", "b.yaml:23:11: figure toad lacks 'box'."),
        ("[200, 10, 40, 40]", "[200, 10, 400, 40]", "b.yaml:25:9: a place in keep_clear is off the spread"),
        ("      wren: {box", "      wrn: {box", "b.yaml:20:7: no character named 'wrn'. Did you mean"),
    ],
)  # fmt: skip
def test_a_slip_is_named_with_its_place_and_what_is_allowed(typed: str, wrong: str, expected: str) -> None:
    """Each wrong field is cited by file, line and column, with the nearest name or what is allowed."""
    found = problems(BOOK.replace(typed, wrong, 1))

    assert any(problem.startswith(expected) for problem in found), found


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("toda: Hi", "b.yaml:27:9: no character named 'toda'. Did you mean 'toad'?"),
        ("wren:", "b.yaml:27:14: what wren says is empty."),
        ("wren: ' '", "b.yaml:27:15: what wren says is empty."),
        ("wren: {voice: shout}", "b.yaml:27:15: a line of wren lacks 'says'."),
        ("wren: {says: Hi, voice: loud}", "b.yaml:27:33: 'voice' of a line of wren cannot be 'loud'."),
        ("wren: {says: Hi, off: up}", "b.yaml:27:31: 'off' of a line of wren cannot be 'up'."),
        ("wren: {says: Hi, from: 2}", "b.yaml:27:9: 'from: 2', but wren has 1 figure on this spread."),
        ("wren: {says: Hi, from: 0}", "b.yaml:27:32: 'from' of a line of wren wants a whole number from 1"),
        ("toad: {says: Hi, from: 2, off: left}", "b.yaml:27:32: a speaker who is off the picture"),
        ("wren + toad: {says: Hi, from: 2}", "b.yaml:27:39: 'from' chooses a figure of one speaker"),
        ("wren + wren: Hi", "b.yaml:27:9: 'wren + wren' names a speaker twice."),
        (
            "wren: {says: No, never}",
            "b.yaml:27:26: a line of wren has no field 'never'. Words with a comma need quotes",
        ),
        ("wren: [Sigh]", "b.yaml:27:15: what wren says wants text, not a list. Put the words in quotes."),
        ("wren: Hi\n        toad: Ho", "b.yaml:27:9: a line has one speaker and what is said."),
        ("Hello", "b.yaml:27:9: a line has one speaker and what is said."),
        ('wren: "\\e[31m"', "b.yaml:27:15: what wren says holds U+001B"),
        ('wren: "\\ud800"', "b.yaml:27:15: what wren says holds U+D800"),
        ("caption: {says: Later, voice: shout}", "b.yaml:27:32: a caption has no field 'voice'."),
    ],
)
def test_a_line_that_cannot_be_said_is_named(line: str, expected: str) -> None:
    """Unknown speakers, empty words, wrong voices and figures that are not there are all cited."""
    found = problems(with_lines(line))

    assert any(problem.startswith(expected) for problem in found), found


def test_a_speaker_whose_figure_is_miswritten_is_not_said_to_have_none() -> None:
    """One mistake is told once."""
    text = BOOK + "    figures: {wren: {box: [1, 2, 3]}}\n    lines:\n      - wren: Hi\n"

    (problem,) = problems(text)
    assert "'box' of figure wren wants 4 numbers" in problem


def test_a_speaker_without_a_figure_is_named_unless_off() -> None:
    """A character who speaks where it is not drawn needs 'off'."""
    text = BOOK + "    lines:\n      - wren: Hi\n      - wren: {says: Ho, off: top}\n"

    (problem,) = problems(text)
    assert problem.startswith("b.yaml:36:9: wren speaks here and has no figure on this spread.")
    (line, _) = book_of(text.encode(), "b.yaml", unfinished=True).book.spreads[-1].lines
    assert line.says == "Hi"


@pytest.mark.parametrize(
    ("line", "quoted"),
    [
        ("wren: *so* he said", '- wren: "*so* he said"'),
        ("wren: *me", '- wren: "*me"'),
        ("wren: !", '- wren: "!"'),
        ("wren: !Stop that", '- wren: "!Stop that"'),
        ("wren: !!python/object:os.system x", '- wren: "!!python/object:os.system x"'),
        ("wren: &and so on", '- wren: "&and so on"'),
        ("wren: Listen: here", '- wren: "Listen: here"'),
        ("wren: @home", '- wren: "@home"'),
        ("wren: %", '- wren: "%"'),
        ("wren: *so*  # softly", '- wren: "*so*"  # softly'),
        ("wren: {says: *so*, off: left}", '- wren: {says: "*so*", off: left}'),
        ("wren: {off: left, says: !}", '- wren: {off: left, says: "!"}'),
        ("wren: {says: Listen: here, off: left}", '- wren: {says: "Listen: here", off: left}'),
        ("wren: We are #1", '"We are #1"'),
        ('wren: "No," he said', "- wren: '\"No,\" he said'"),
        ("wren: 'Tis", '- wren: "\'Tis"'),
    ],
)
def test_words_that_want_quotes_are_shown_in_quotes(line: str, quoted: str) -> None:
    """Where YAML needs quotes the error shows the row as it should be typed."""
    (problem,) = problems(with_lines(line))

    assert problem.startswith("b.yaml:27:")
    assert quoted in problem


def test_a_row_mended_as_the_error_shows_is_read() -> None:
    """The quoted row of the error is itself good."""
    (problem,) = problems(with_lines("wren: *so* he said: no"))
    mended = problem.split("quotes: - ")[1]

    assert read(with_lines(mended)).spreads[0].lines[0].says == "*so* he said: no"


def test_a_comment_behind_words_is_a_comment() -> None:
    """A '#' with spaces on both sides begins a comment, as in YAML."""
    assert read(with_lines("wren: Hi  # softly")).spreads[0].lines[0].says == "Hi"


def test_all_problems_are_told_at_once_in_the_order_of_the_file() -> None:
    """Rows that want quotes do not hide what else is wrong."""
    text = with_lines("wren: *so*", "toda: Hi", "wren: !").replace("25 cm", "-1")

    assert [problem.split(": ")[0] for problem in problems(text)] == [
        "b.yaml:7:11", "b.yaml:27:15", "b.yaml:28:9", "b.yaml:29:15",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "b.yaml:1:1: the file is empty."),
        (b"# nothing\n", "b.yaml:1:1: the file is empty."),
        (b"- a\n", "b.yaml:1:1: the book wants fields, not a list."),
        (b"title: a\n\xe9t\xe9: b\n", "b.yaml:2:1: byte 0xe9 is not UTF-8 text. Save the file as UTF-8"),
        ("title: a".encode("utf-16"), "b.yaml:1:1: byte 0xff is not UTF-8 text."),
        (b"title: a\npage:\n\twidth: 1\n", "b.yaml:3:1: a tab stands where YAML wants spaces."),
        (b"title: a\x00b\n", "b.yaml:1:9: character U+0000 cannot be used in text."),
        (b"title: a\n---\ntitle: b\n", "b.yaml:2:1: a second document begins here."),
        (b"? [a]\n: b\n", "b.yaml:1:3: a name is wanted before the colon."),
        (b"title: {a: b\n", "b.yaml:"),
        (b"[" * 100_000, "b.yaml:1:13: values are nested more than 12 deep."),
        (b"a: " * 2_000_000, "b.yaml: the file has 6,000,000 bytes; at most 250,000 are read."),
        (b"a: &a [x]\nb: [*a, *a]\n", "b.yaml:1:4: words that begin with '&' need quotes in YAML."),
    ],
    ids=[
        "empty", "comment", "list", "latin1", "utf16", "tab", "nul", "two", "key", "open", "deep", "large",
        "bomb",
    ],
)  # fmt: skip
def test_a_file_that_is_no_book_is_explained(data: bytes, expected: str) -> None:
    """Odd encodings, tabs, depth, size, anchors and tags are refused in words, and nothing is expanded."""
    found = problems(data)

    assert any(problem.startswith(expected) for problem in found), found


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


@pytest.mark.parametrize("tag", ["de-419-DE", "en_GB", "english language", "e", "-en", "en-", "123", ""])
def test_ill_formed_language_tags_are_refused(tag: str) -> None:
    """Two regions (RFC 5646, appendix A) and what has no shape of a tag do not pass."""
    assert not LANGUAGE_TAG.fullmatch(tag)


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


def test_a_file_with_endless_problems_is_given_up() -> None:
    """After 200 problems reading stops, so that no file keeps the program busy for long."""
    head = BOOK[: BOOK.index("spreads:")]

    assert len(problems(head + "spreads:\n" + "  - a: b\n" * 1000)) == 200


def test_a_row_beyond_mending_is_told_without_trying_for_ever() -> None:
    """A row that stays broken with quotes round its words is given up at the second fault."""
    text = BOOK.replace("shout, from: 2}", "shout, f}': %sis").replace("80, 80], mouth:", '"[!` -[')

    assert all(problem.startswith("b.yaml:") and len(problem) < 500 for problem in problems(text))


@pytest.mark.timeout(30)
@pytest.mark.parametrize(
    "data",
    [
        b"a: " + b" " * 200_000 + b"*x*", b"- " * 100_000, b"a: *x*\n" * 30_000, b"a: '" + b"'" * 200_001,
        b"a: {" + b"b: *c*, " * 25_000 + b"}", b"a: b: " * 30_000, b"a: &a [x]\n" * 20_000,
    ],
    ids=["spaces", "dashes", "rows", "quotes", "braces", "colons", "anchors"],
)  # fmt: skip
def test_a_hostile_file_is_refused_soon_and_briefly(data: bytes) -> None:
    """Long rows and endless faults take seconds at most, and no message grows with the file."""
    assert all(len(problem) < 500 for problem in problems(data))


def either(data: bytes) -> ReadBook | BookError:
    """Return the book or the error; anything else raised is a fault."""
    try:
        return book_of(data, "b.yaml")
    except BookError as error:
        return error


@given(st.binary(max_size=200))
def test_any_bytes_give_a_book_or_its_problems(data: bytes) -> None:
    """No bytes whatever bring another exception."""
    assert either(data)


@given(st.data())
def test_a_damaged_book_gives_a_book_or_its_problems(data: st.DataObject) -> None:
    """A book file with pieces cut out, put in or moved never brings another exception."""
    text = BOOK
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, min(len(text), start + 30)))
        piece = data.draw(st.text("\t\n :-#*!&'\"[]{},|>%@`?aé0\u2028\u0000\ud800", max_size=6))
        text = text[:start] + piece + text[end:]

    result = either(text.encode("utf-8", errors="surrogatepass"))

    if isinstance(result, BookError):
        assert all(isinstance(problem.where, Where) for problem in result.problems)


@given(st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1).filter(lambda s: s.strip()))
def test_quoted_words_come_back_as_typed(words: str) -> None:
    """Any words in double quotes, with YAML's two escapes, are read without change."""
    escaped = words.replace("\\", "\\\\").replace('"', '\\"')
    if any(c in words for c in "\x85\u2028\u2029\ufeff\ufffe\uffff"):
        return  # what YAML 1.1 counts as an end of a row, or as no character

    assert read(with_lines(f'wren: "{escaped}"')).spreads[0].lines[0].says == words.strip()


def lines_of(text: str) -> tuple[Line, ...]:
    """Return the lines of the book above with `text` in place of its own."""
    head = BOOK.split("    lines:\n", maxsplit=1)[0]
    return book_of(f"{head}    lines:\n{text}".encode(), "b.yaml").book.spreads[0].lines


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


def test_impossible_ways_and_joints_are_refused() -> None:
    """Ways of one point, unknown courses and joints to nothing are problems with their place."""
    head = BOOK.split("    lines:\n", maxsplit=1)[0]
    found = problems(
        head
        + "    lines:\n      - sound: {says: A, along: loop}\n      - sound: {says: B, along: [[1, 2]]}\n"
        + "      - toad: {says: C, joint: neck}\n      - wren: {says: D, joint: neck}\n"
    )

    assert len(found) == 4
    assert "arc, wave, rising, shrinking" in found[0]
    assert "2 to 64 points" in found[1]
    assert "no bubble is spoken just before" in found[2]
    assert "same speaker" in found[3]
