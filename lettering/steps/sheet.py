"""Sheet: a page to letter on that asks for what a book still lacks, and the way back from a picture of it."""

from dataclasses import dataclass
from pathlib import Path

from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.flatten import flattened
from lettering.capture.paper.registration import find_sheet, without_marks
from lettering.capture.paper.sheet_marks import DISC_MM, LONGEST, Asked, Marks, code_dots, code_texts
from lettering.capture.paper.sizes import paper_mm
from lettering.errors import LetteringError, ReadingError
from lettering.export.sheet_pdf import sheet_pdf
from lettering.hand.asking import rows_to_letter, usual_rows
from lettering.hand.hand import Hand
from lettering.hand.sheet import Code, Sheet, rows_that_fit, set_rows
from lettering.setting.words import shown
from lettering.steps.hands import lines_in
from lettering.storage.atomic import write_bytes
from lettering.storage.book_file import read_book
from lettering.storage.ufo import read_hand

X_HEIGHT_MM = 6.0
"""Height of small letters on a sheet: drawn about twice as large as they are printed (house default)."""
X_HEIGHTS_MM = (3.0, 15.0)
"""Least and most that a sheet is made for."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadSheet:
    """A picture of a lettered sheet, understood by its marks alone."""

    page: PageImage
    """The paper flat, without marks and guides, with its resolution."""
    reading: Reading
    """What it was asked for."""


def make_sheet(
    to: Path, *, book: Path | None = None, paper: str = "A4", x_height_mm: float = X_HEIGHT_MM
) -> tuple[str, ...]:
    """Write a sheet as PDF at `to` and return the rows it asks for; raises LetteringError.

    With a `book` it asks for what its own hand lacks, in the words that are set in it; without, for an
    alphabet in words.
    """
    if not X_HEIGHTS_MM[0] <= x_height_mm <= X_HEIGHTS_MM[1]:
        least, most = X_HEIGHTS_MM
        raise LetteringError(
            f"an x-height of {x_height_mm:g} mm cannot be.",
            "--x-height",
            f"From {least:g} mm to {most:g} mm.",
        )
    size = paper_mm(paper)
    count, width = rows_that_fit(size, x_height_mm)
    rows = usual_rows(width=width, rows=count)
    if book is not None:
        rows = rows_to_letter(*_words(book), width=width, rows=count)
    if not rows:
        hint = "The hand may have all that the book needs; without a book the usual sheet is made."
        raise LetteringError("nothing is wanted that a row of this sheet could hold.", str(book or to), hint)
    title = "A sheet to letter on" if book is None else f"A sheet to letter on, for {book.name}"
    write_bytes(to, sheet_pdf(sheet_of(rows, size, x_height_mm, title)))
    return rows


def sheet_of(rows: tuple[str, ...], size_mm: tuple[float, float], x_height_mm: float, title: str) -> Sheet:
    """Return the sheet that asks for `rows`, its marks in place."""
    marks = Marks.of(size_mm)
    asked = Asked(
        size_mm=size_mm, x_height_mm=x_height_mm, reading=Reading(tuple(row[:LONGEST] for row in rows))
    )
    boxes = zip((marks.head, marks.foot), code_texts(asked), strict=True)
    return Sheet(
        title=title,
        size_mm=size_mm,
        x_height_mm=x_height_mm,
        rows=set_rows(asked.reading.rows, size_mm, x_height_mm),
        discs=marks.discs,
        disc_mm=DISC_MM,
        codes=tuple(Code(box, code_dots(text)) for box, text in boxes),
    )


def read_sheet(page: PageImage) -> ReadSheet | None:
    """Return a lettered sheet with its reading from a picture alone; none when there is no sheet in it."""
    found = find_sheet(page)
    if found is None:
        return None
    flat = flattened(page, found.to_picture, found.asked.size_mm)
    return ReadSheet(page=without_marks(flat, found.asked), reading=found.asked.reading)


def demanded_sheet(page: PageImage) -> ReadSheet:
    """Return the sheet in a picture; raises ReadingError when there is none."""
    sheet = read_sheet(page)
    if sheet is None:
        hint = "Show all of a printed sheet, or type what the page says and give it with --reading."
        raise ReadingError("no sheet's code can be read in this picture.", page.name, hint)
    return sheet


def _words(book: Path) -> tuple[tuple[str, ...], Hand | None]:
    """Return the lines of a book that are set in its own hand, and that hand when there is one yet."""
    read = read_book(book, unfinished=True).book
    path = book.parent / read.hand
    lines = tuple(shown(line.says).replace("\n", " ") for line in lines_in(path, read, book.parent))
    return lines, read_hand(path) if path.exists() else None
