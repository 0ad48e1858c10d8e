"""The book at a glance."""

from pathlib import Path

import pytest

from lettering.cli.main import main
from lettering.steps.layout import layout
from lettering.steps.place import book_as_placed, place_book
from lettering.steps.summary import as_rows, summary
from tests.steps.books import BOOK, book_on_disk


def test_a_summary_counts_what_the_book_says(tmp_path: Path) -> None:
    """Lines, words, speakers in speaking order, size and proof are those of the book; counted by hand."""
    path = book_on_disk(tmp_path)
    book = summary(place_book(path))

    assert (book.lines, book.words) == (4, 7 + 2 + 4 + 2)
    assert book.first == (("Wren", "4-5"), ("Toad", "4-5"))
    assert book.x_height_mm == 4.2
    assert (book.placed, book.proven) == (1, 1)
    assert book.spreads[0].score == pytest.approx(book.spreads[0].bound)


def test_what_stays_is_not_called_proven(tmp_path: Path) -> None:
    """Read back, every line stays where it was: nothing was placed, and nothing is claimed."""
    path = book_on_disk(tmp_path)
    placed = summary(place_book(path))
    again = summary(book_as_placed(path))

    assert (again.placed, again.proven) == (0, 0)
    # Rows that are given cost nothing any more; all else does what it did.
    assert placed.spreads[0].score - 3.0 < again.spreads[0].score <= placed.spreads[0].score + 0.05
    assert "stays" in as_rows(again)[1]


def test_the_layout_carries_the_summary(tmp_path: Path) -> None:
    """What people read stands in the layout too, beside what it always had."""
    result = place_book(book_on_disk(tmp_path))
    plain = layout(result)

    assert plain["summary"]["words"] == 15
    assert plain["summary"]["spreads"][0]["speakers"] == ["Wren", "Toad"]
    assert set(plain) == {"format", "version", "unit", "spreads", "findings", "summary"}


@pytest.mark.parametrize("command", ["place", "check"])
def test_the_commands_print_it(tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """After placing and after checking the table is shown, but not among the JSON of `--json -`."""
    path = book_on_disk(tmp_path)
    main([command, str(path)])
    assert "4 lines, 15 words, x-height 4.20 mm." in capsys.readouterr().out
    main([command, str(path), "--json", "-"])
    assert capsys.readouterr().out.startswith("{")


def test_one_is_told_as_one(tmp_path: Path) -> None:
    """A book of one line on one page is told of in the singular."""
    text = (
        BOOK[: BOOK.index("      - toad: {says")]
        .replace("pages: 4-5", "pages: 4")
        .replace("300, 160", "160, 160")
    )
    text = text.replace("330, 185", "190, 185").replace("Who left a cello in the compost?", "Who?")
    rows = as_rows(summary(place_book(book_on_disk(tmp_path, text))))

    assert "1 line, 1 word, x-height 4.20 mm." in rows
    assert "They first speak: Wren (page 4)." in rows
