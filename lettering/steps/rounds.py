"""Rounds: freeze what was sent, compare two of them, bring one back."""

from collections.abc import Iterator
from pathlib import Path

from lettering.book.book import Book
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.export.svg import path_data
from lettering.steps.check import check_book
from lettering.steps.compare import Comparison, compare
from lettering.steps.laid_out import LaidOut
from lettering.steps.progress import Progress, silent
from lettering.storage.book_file import read_book
from lettering.storage.rounds import (
    Round,
    RoundLine,
    RoundSpread,
    book_of_round,
    file_sha256,
    folders_sha256,
    read_round,
    restore_round,
    round_names,
    write_round,
)

NOW = "now"
"""Stands for the book as it is, in place of the name of a round."""

SAFE = "before restoring"
"""Begins the name of the round that is saved before another is brought back."""


def save(book: Path, name: str, *, progress: Progress = silent) -> Path:
    """Freeze the book at `book` as the round `name` and return its folder; raises LetteringError."""
    result = check_book(book, progress=progress)
    return write_round(book, _hands(result.book, book), name, frozen(result, book))


def names(book: Path) -> tuple[str, ...]:
    """Return the names of the rounds of a book, sorted."""
    return round_names(book)


def frozen(result: LaidOut, book: Path) -> Round:
    """Return the facts of a book that is laid out."""
    return Round(
        title=result.book.title,
        hand_sha256=folders_sha256(_hands(result.book, book)),
        spreads=tuple(_spread(finished, book.parent) for finished in result.spreads),
        findings=tuple((f.code, f.severity, f.where, f.message) for f in result.findings),
        facts=tuple(_facts(result.book)),
    )


def _facts(book: Book) -> Iterator[tuple[str, str]]:
    """Yield what a book file says of the book as a whole, as people call it."""
    page, (young, old) = book.page, book.reader_age
    yield "title", book.title
    yield "language", book.language
    yield "reader's age", f"{young}" if young == old else f"{young}-{old}"
    yield "page", f"{page.width_mm:g} x {page.height_mm:g} mm"
    yield "bleed", f"{page.bleed_mm:g} mm"
    yield "safe area", f"{page.safe_mm:g} mm"
    yield "gutter", f"{page.gutter_mm:g} mm"
    yield from ((f"name of {one.key}", one.name) for one in book.cast)


def _hands(book: Book, path: Path) -> list[Path]:
    """Return where the glyph sets of the book in the file at `path` are."""
    return [path.parent / hand for hand in book.hands]


def _spread(finished: FinishedSpread, base: Path) -> RoundSpread:
    art, trim = finished.spread.art, finished.frame.trim
    return RoundSpread(
        pages=finished.spread.pages,
        size=(trim.width, trim.height),
        art=art or "",
        art_sha256=file_sha256(base / art) if art else "",
        lines=tuple(map(_line, finished.lines)),
    )


def _line(line: FinishedLine) -> RoundLine:
    centre = line.stack.ink.centre
    return RoundLine(
        who=line.line.who,
        says=line.line.says,
        voice=line.line.voice,
        rows=tuple(row.text for row in line.stack.rows),
        x_height=round(line.stack.x_height_mm, 3),
        centre=(round(centre.x, 3), round(centre.y, 3)),
        lettering="".join(path_data(glyph.path) for glyph in line.stack.glyphs),
        bubble=path_data(line.bubble.outline) if line.bubble else "",
    )


def compare_rounds(book: Path, before: str, after: str, *, progress: Progress = silent) -> Comparison:
    """Return what changed between two rounds of a book; 'now' is the book as it is."""
    return compare(_taken(book, before, progress), _taken(book, after, progress))


def _taken(book: Path, name: str, progress: Progress) -> Round:
    return frozen(check_book(book, progress=progress), book) if name == NOW else read_round(book, name)


def restore(
    book: Path, name: str, *, with_hand: bool = False, progress: Progress = silent
) -> tuple[Path, ...]:
    """Bring the round `name` back; the book as it is becomes a round first. Return what was written.

    The hands are brought back only when asked for, to where the round's book file names them: other books may
    share them.
    """
    read_round(book, name)
    taken = round_names(book)
    kept = next(n for n in (f"{SAFE} {name} {k}" for k in range(1, 1000)) if n not in taken)
    saved = save(book, kept[:60], progress=progress)
    hands = _hands(read_book(book_of_round(book, name)).book, book) if with_hand else []
    return (*restore_round(book, name, hands), saved)
