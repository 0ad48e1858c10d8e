"""The hands of a book read from disk, each glyph set once, and which lines are set in which."""

from pathlib import Path

from lettering.book.book import Book
from lettering.book.line import Line
from lettering.errors import LetteringError
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.storage.ufo import read_hand


def read_hands(book: Book, base: Path) -> Hands:
    """Return the hands of `book`, kept in folder `base`; raises LetteringError when one cannot be read."""
    read: dict[Path, Hand] = {}
    for path in book.hands:
        glyphs = (base / path).resolve()
        read[glyphs] = read.get(glyphs) or read_hand(base / path)
    return _dealt(book, base, read)


def found_hands(book: Book, base: Path) -> tuple[Hands | None, dict[str, str]]:
    """Return the hands of an unfinished book that are there, and in sentences why others are not.

    There are none without the book's own. Sentences are by glyph set as the book file names it.
    """
    read: dict[Path, Hand] = {}
    troubles: dict[str, str] = {}
    for path in book.hands:
        glyphs = (base / path).resolve()
        try:
            if glyphs.exists():
                read[glyphs] = read.get(glyphs) or read_hand(base / path)
            else:
                troubles[path] = _absent(book, path)
        except LetteringError as error:
            troubles[path] = f"The hand cannot be read: {error}"
    return (None if book.hand in troubles else _dealt(book, base, read)), troubles


def lines_in(hand: Path, book: Book, base: Path) -> tuple[Line, ...]:
    """Return the lines of `book`, kept in folder `base`, that are set in the glyph set at `hand`.

    One that the book does not name is asked for all of them.
    """
    lines = tuple(line for spread in book.spreads for line in spread.lines)
    if all(hand.resolve() != (base / path).resolve() for path in book.hands):
        return lines
    return tuple(line for line in lines if (base / book.hand_of(line)).resolve() == hand.resolve())


def _dealt(book: Book, base: Path, read: dict[Path, Hand]) -> Hands:
    """Return the hands that were read, by whose they are."""
    named = [(one.key, (base / one.hand).resolve()) for one in book.cast if one.hand is not None]
    others = {key: read[glyphs] for key, glyphs in named if glyphs in read}
    return Hands(read[(base / book.hand).resolve()], others)


def _absent(book: Book, path: str) -> str:
    if path == book.hand:
        return "The book has no hand yet: gather a lettered page."
    names = " and ".join(one.name for one in book.cast if one.hand == path)
    return f"The hand of {names} is not there yet: gather a lettered page into {path}."
