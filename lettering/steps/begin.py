"""Begin: a manuscript becomes a book file; a changed manuscript changes only the words in it."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from lettering.book.manuscript import Manuscript, ManuscriptSpread
from lettering.book.page import PageFormat
from lettering.errors import LetteringError
from lettering.steps.updated import Change, updated
from lettering.storage.atomic import write_text
from lettering.storage.book_file import book_of
from lettering.storage.book_outline import outline
from lettering.storage.book_text import Beginning, book_text
from lettering.storage.manuscript import read_manuscript


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """What came of a manuscript."""

    spreads: int
    lines: int
    cast: Mapping[str, str]
    """By key, the names of those who speak."""
    changes: tuple[Change, ...] | None
    """What changed in a book file that was there; none when it was begun."""


def new_book(*, hand: str, language: str, reader_age: str, width_mm: float, height_mm: float) -> Beginning:
    """Return what a manuscript does not say of its book, checked as the book file will be.

    Raises BookError when language, age or page cannot be used.
    """
    page = PageFormat(width_mm=width_mm, height_mm=height_mm)
    beginning = Beginning(hand=hand, language=language, reader_age=reader_age, page=page)
    blank = Manuscript(title=None, spreads=(ManuscriptSpread(pages=(1,), lines=()),))
    book_of(book_text(blank, beginning).encode(), "the new book")
    return beginning


def begin(manuscript: Path, out: Path, beginning: Beginning) -> Begun:
    """Write the book file `out` from the file `manuscript`, or bring the words of the one there up to date.

    Of a book file that is there only words, new lines and new speakers change; every other byte stays.
    `beginning` is used for a new one only. Raises LetteringError, and writes nothing, when either cannot
    be read.
    """
    if out.exists():
        before = _text(out)
        after, begun = brought(before, manuscript, str(out))
        if after != before:
            write_text(out, after)
        return begun
    text, begun = fresh(manuscript, beginning)
    write_text(out, text)
    return begun


def fresh(manuscript: Path, beginning: Beginning) -> tuple[str, Begun]:
    """Return the text of a book file that begins with the file `manuscript`, and what came of it.

    Raises LetteringError when the manuscript cannot be read.
    """
    text = read_manuscript(manuscript)
    return book_text(text, beginning), _begun(text, None)


def brought(before: str, manuscript: Path, file: str) -> tuple[str, Begun]:
    """Return the text of a book `file` with the words of the file `manuscript`, and what came of it.

    Raises LetteringError when either cannot be read.
    """
    text = read_manuscript(manuscript)
    after, changes = updated(outline(before, file), text)
    return after, _begun(text, changes)


def _begun(text: Manuscript, changes: tuple[Change, ...] | None) -> Begun:
    lines = sum(len(spread.lines) for spread in text.spreads)
    return Begun(spreads=len(text.spreads), lines=lines, cast=text.cast, changes=changes)


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise LetteringError(f"cannot be read as UTF-8 text ({error}).", str(path)) from None
