"""A book file with mistakes is refused with every problem, its place and what would mend it."""

import pytest

from lettering.storage.book_file import LANGUAGE_TAG, book_of
from tests.storage.book_texts import BOOK, problems, read, with_lines


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


@pytest.mark.parametrize("tag", ["de-419-DE", "en_GB", "english language", "e", "-en", "en-", "123", ""])
def test_ill_formed_language_tags_are_refused(tag: str) -> None:
    """Two regions (RFC 5646, appendix A) and what has no shape of a tag do not pass."""
    assert not LANGUAGE_TAG.fullmatch(tag)


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
