"""Begin: a manuscript becomes a book file, and changes only its words afterwards."""

from pathlib import Path

import pytest

from lettering.errors import BookError, LetteringError
from lettering.steps.begin import Begun, begin, new_book
from lettering.storage.book_file import read_book

MANUSCRIPT = """# The Lost Button

Pages 4-5

[Dusk.]

Nobody saw it roll.

WREN: Did *you* see it?

TOAD (whispering): It went: that way.

Pages 6-7

WREN & TOAD: Found it!
"""


def begun(folder: Path, text: str) -> tuple[Begun, Path]:
    """Write a manuscript and begin a book of it, or go on with the one there."""
    manuscript, out = folder / "m.md", folder / "book.yaml"
    manuscript.write_text(text)
    beginning = new_book(hand="h.ufo", language="en", reader_age="5", width_mm=250, height_mm=250)
    return begin(manuscript, out, beginning), out


def with_figures(path: Path) -> str:
    """Draw the figures that a new book file asks for; return its text."""
    text = path.read_text()
    for who, box in (("wren", "10, 100, 50, 60"), ("toad", "150, 100, 50, 60")):
        text = text.replace(
            f"# {who}: {{box: [x, y, width, height], mouth: [x, y]}}", f"{who}: {{box: [{box}]}}"
        )
    path.write_text(text)
    return text


def test_a_new_book_needs_only_its_figures(tmp_path: Path) -> None:
    """Once the figures are drawn, what was begun is a book file with all words, speakers and voices."""
    result, path = begun(tmp_path, MANUSCRIPT)
    assert result.changes is None
    with pytest.raises(BookError, match="has no figure"):
        read_book(path)

    with_figures(path)
    book = read_book(path).book

    assert book.title == "The Lost Button"
    assert [character.key for character in book.cast] == ["wren", "toad"]
    lines = [(line.who, line.says, line.voice) for spread in book.spreads for line in spread.lines]
    assert lines == [
        ((), "Nobody saw it roll.", "caption"),
        (("wren",), "Did *you* see it?", "plain"),
        (("toad",), "It went: that way.", "whisper"),
        (("wren", "toad"), "Found it!", "plain"),
    ]
    assert "      # Dusk.\n      - caption:" in path.read_text()


def test_the_same_manuscript_changes_no_byte(tmp_path: Path) -> None:
    """What the illustrator did to the words, and everything round them, stays when nothing changed."""
    _, path = begun(tmp_path, MANUSCRIPT)
    mine = with_figures(path).replace("Did *you* see it?", '"Did you\\nsee it?"   # two rows')
    path.write_text(mine)

    result, _ = begun(tmp_path, MANUSCRIPT)

    assert result.changes == ()
    assert path.read_text() == mine


def test_an_edit_changes_only_the_bytes_of_its_words(tmp_path: Path) -> None:
    """One changed line changes the words of that line and nothing else in the file."""
    _, path = begun(tmp_path, MANUSCRIPT)
    before = with_figures(path)

    result, _ = begun(tmp_path, MANUSCRIPT.replace("that way", "this way, ha"))

    assert [change.kind for change in result.changes or ()] == ["changed"]
    assert path.read_text() == before.replace("It went: that way.", "It went: this way, ha.")


def test_another_manner_is_told_and_left_to_the_illustrator(tmp_path: Path) -> None:
    """A line that the manuscript now has shouted keeps the voice of the book file, and is named."""
    _, path = begun(tmp_path, MANUSCRIPT)
    before = with_figures(path)

    result, _ = begun(tmp_path, MANUSCRIPT.replace("whispering", "shouting"))

    assert [(change.kind, change.after) for change in result.changes or ()] == [("voice", "shout")]
    assert path.read_text() == before


def test_lines_are_added_taken_out_and_moved(tmp_path: Path) -> None:
    """New lines stand where the manuscript has them, gone ones go, moved ones keep what is theirs."""
    _, path = begun(tmp_path, MANUSCRIPT)
    path.write_text(
        with_figures(path).replace("- wren: Did *you* see it?", "- wren: Did *you* see it?  # held")
    )
    text = MANUSCRIPT.replace("WREN: Did *you* see it?\n\n", "").replace(
        "Pages 6-7", "WREN: Did *you* see it?\n\nMOLE: Ha!\n\nPages 6-7"
    ).replace("Nobody saw it roll.\n\n", "")  # fmt: skip

    result, _ = begun(tmp_path, text)

    assert sorted(change.kind for change in result.changes or ()) == ["gone", "moved", "new", "new speaker"]
    tail = path.read_text().split("lines:\n")[1]
    assert tail.startswith(
        '      - toad: {says: "It went: that way.", voice: whisper}\n'
        "      - wren: Did *you* see it?  # held\n"
        "      - mole: Ha!\n"
    )
    assert "  mole: {name: Mole}\nspreads:" in path.read_text()


def test_spreads_are_added_and_never_thrown_away(tmp_path: Path) -> None:
    """A spread the manuscript has no longer keeps its art and figures in the file, and is told of."""
    _, path = begun(tmp_path, MANUSCRIPT)
    before = with_figures(path)
    start = before.index("  - pages: 6-7")

    result, _ = begun(tmp_path, MANUSCRIPT[: MANUSCRIPT.index("Pages 6-7")] + "Pages 8-9\n\nThe end.\n")

    assert {(change.kind, change.where) for change in result.changes or ()} == {
        ("new spread", "pages 8-9"),
        ("gone spread", "pages 6-7"),
    }
    assert path.read_text() == before + "  - pages: 8-9\n    lines:\n      - caption: The end.\n"
    assert before[start:] in path.read_text()


def test_a_renamed_key_is_known_by_its_name(tmp_path: Path) -> None:
    """The illustrator may call a character what she likes, as long as its name is the manuscript's."""
    _, path = begun(tmp_path, MANUSCRIPT)
    path.write_text(with_figures(path).replace("toad:", "t:").replace("+ toad", "+ t"))

    result, _ = begun(tmp_path, MANUSCRIPT.replace("Found it", "Here it is"))

    assert [change.kind for change in result.changes or ()] == ["changed"]
    assert "- wren + t: Here it is!" in path.read_text()


@pytest.mark.parametrize(
    "wrong", [{"language": "English please"}, {"reader_age": "five"}, {"width_mm": 10.0}]
)
def test_what_a_book_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    """Language, age and page are judged as the book file judges them."""
    usual: dict[str, object] = {"hand": "h.ufo", "language": "en", "reader_age": "5", "width_mm": 250.0}
    with pytest.raises(BookError):
        new_book(**{**usual, "height_mm": 250.0, **wrong})  # type: ignore[arg-type]


def test_a_broken_book_file_is_left_as_it_is(tmp_path: Path) -> None:
    """A book file that cannot be read stops the run, untouched."""
    path = tmp_path / "book.yaml"
    path.write_text("spreads: [\n")

    with pytest.raises(LetteringError, match=r"book\.yaml"):
        begun(tmp_path, MANUSCRIPT)
    assert path.read_text() == "spreads: [\n"
