"""Rounds on disk: kept, compared, brought back."""

from dataclasses import replace
from pathlib import Path

import pypdfium2 as pdfium  # type: ignore[import-untyped]
import pytest

from lettering.errors import LetteringError, OutputError
from lettering.export.path_text import path_of
from lettering.export.svg import path_data
from lettering.steps.changes_told import as_rows, write_comparison
from lettering.steps.compare import Comparison, compare
from lettering.steps.place import place_book
from lettering.steps.rounds import restore, save
from lettering.storage.placements import placements_path
from lettering.storage.rounds import Round, read_round, round_names
from tests.export.drawings import spread
from tests.steps.books import book_on_disk


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small book, placed and kept as a round, then changed in one line."""
    path = book_on_disk(tmp_path_factory.mktemp("rounds"))
    place_book(path)
    save(path, "first")
    path.write_text(path.read_text("utf-8").replace("Nobody answered.", "Nobody said a word."), "utf-8")
    place_book(path)
    save(path, "second")
    return path


@pytest.fixture(scope="module")
def first(book: Path) -> Round:
    """The facts of the first round."""
    return read_round(book, "first")


def kinds(comparison: Comparison) -> list[tuple[str, str]]:
    """Return kind and place of every difference."""
    return [(one.kind, one.where) for one in comparison.differences]


def test_only_the_line_that_changed_is_told(book: Path, first: Round) -> None:
    """Of four lines one has other words; the outlines of the three others have the same bytes."""
    found = compare(first, read_round(book, "second"))

    assert {where for _, where in kinds(found)} == {"pages 4-5, line 4"}
    assert ("words", "pages 4-5, line 4") in kinds(found)
    assert found.unchanged == 3
    assert "3 of 4 lines are unchanged, outline for outline." in list(as_rows(found))


def test_a_round_against_itself_has_no_difference(first: Round) -> None:
    """Nothing is told, and every line is unchanged."""
    assert kinds(compare(first, first)) == []
    assert compare(first, first).unchanged == 4


def test_every_kind_of_change_is_named(first: Round) -> None:
    """A line moved by 5 mm, another size, voice and rows, a line gone, new art and a new finding are told."""
    (one,) = first.spreads
    a, b, c, _ = one.lines
    moved = replace(a, centre=(a.centre[0] + 3, a.centre[1] + 4), lettering=a.lettering + " ")
    sized = replace(b, x_height=9.0, voice="plain", rows=("Not", "me!"), lettering=b.lettering + " ")
    touched = replace(c, bubble=c.bubble + " ")
    changed = replace(one, art="new.png", art_sha256="1", lines=(moved, sized, touched))
    found = compare(
        first,
        replace(
            first, spreads=(changed,), findings=(*first.findings, ("size", "error", "the book", "small."))
        ),
    )

    assert kinds(found) == [
        ("art", "pages 4-5"),
        ("moved", "pages 4-5, line 1"),
        ("voice", "pages 4-5, line 2"),
        ("rows", "pages 4-5, line 2"),
        ("size", "pages 4-5, line 2"),
        ("outline", "pages 4-5, line 3"),
        ("gone", "pages 4-5, line 4"),
        ("finding", "the book"),
    ]
    assert found.differences[1].moved_mm == 5.0


def test_what_the_book_says_of_itself_is_compared(book: Path, first: Round) -> None:
    """Another reader's age is told, where both rounds know it; rounds of earlier programs do not."""
    older = tuple((name, "8" if name == "reader's age" else value) for name, value in first.facts)

    assert dict(read_round(book, "first").facts)["page"] == "250 x 250 mm"
    assert kinds(compare(replace(first, facts=older), first)) == [("reader's age", "the book")]
    assert "the book: reader's age: 8 → 5" in as_rows(compare(replace(first, facts=older), first))
    assert kinds(compare(replace(first, facts=()), first)) == []


def test_a_comparison_is_drawn(book: Path, first: Round, tmp_path: Path) -> None:
    """The leaf of the changed spread is written as a PDF, the same bytes each time."""
    found = compare(first, read_round(book, "second"))
    (one,) = write_comparison(found, tmp_path / "a.pdf", "first", "second")
    (other,) = write_comparison(found, tmp_path / "b.pdf", "first", "second")

    assert one.read_bytes().startswith(b"%PDF-")
    assert one.read_bytes() == other.read_bytes()


def test_what_changed_of_the_whole_book_is_drawn(first: Round, tmp_path: Path) -> None:
    """Another age and page size stand on a leaf of their own, and the resized spread shows both its trims.

    Read back with PDFium.
    """
    former = {"reader's age": "8", "page": "200 x 200 mm"}
    facts = tuple((name, former.get(name, value)) for name, value in first.facts)
    spreads = tuple(replace(spread, size=(400.0, 200.0)) for spread in first.spreads)
    found = compare(replace(first, facts=facts, spreads=spreads, hand_sha256="other"), first)
    (file,) = write_comparison(found, tmp_path / "a.pdf", "first", "second")
    pages = [page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(file)]

    assert len(pages) == 2
    assert "the book: reader's age: 8 → 5" in pages[0]
    assert "the book: page: 200 x 200 mm → 250 x 250 mm" in pages[0]
    assert "the hand: hand" in pages[0]
    assert pages[1].startswith("Pages 4-5")
    assert "the trim: 400 x 200 mm → 500 x 250 mm" in pages[1]


def test_a_round_is_brought_back_and_nothing_is_lost(book: Path) -> None:
    """Book file and placements are those of the round; the book as it was has become a round of its own."""
    before = book.read_bytes()
    restore(book, "first")
    kept = book.parent / "rounds" / "before restoring first 1"

    assert book.read_bytes() == (book.parent / "rounds" / "first" / "book.yaml").read_bytes() != before
    frozen = book.parent / "rounds" / "first" / "placements.json"
    assert placements_path(book).read_bytes() == frozen.read_bytes()
    assert (kept / "book.yaml").read_bytes() == before
    assert round_names(book) == ("before restoring first 1", "first", "second")


def test_names_and_damage_are_answered_in_a_sentence(book: Path) -> None:
    """A round that is there, a path for a name, an unknown name and a damaged file are each refused."""
    with pytest.raises(OutputError, match="already"):
        save(book, "second")
    with pytest.raises(LetteringError, match="cannot be called"):
        read_round(book, "../first")
    with pytest.raises(LetteringError, match="There are: "):
        read_round(book, "third")
    facts = book.parent / "rounds" / "second" / "round.json"
    facts.write_text(facts.read_text("utf-8")[:-40], "utf-8")
    with pytest.raises(LetteringError, match="damaged"):
        read_round(book, "second")


def test_path_data_is_read_back_as_it_was_written() -> None:
    """Round and straight outlines, holes and pieces come back with the same data."""
    for item in spread().items:
        data = path_data(item.path)  # type: ignore[union-attr]
        assert path_data(path_of(data)) == data
