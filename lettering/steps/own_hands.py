"""Hands that a character may be given on the table: those of the book, those beside it, and a new one."""

import re
from pathlib import Path

from lettering.book.book import Book

GLYPH_SET = ".ufo"


def offered(book: Book, base: Path) -> tuple[str, ...]:
    """Return the glyph sets but for the book's own that a character may be given, as the file names them.

    They are those that the cast has, and those that lie beside the book file in its folder `base`.
    """
    beside = sorted(p.name for p in base.glob(f"*{GLYPH_SET}") if p.is_dir() and not p.is_symlink())
    own = (base / book.hand).resolve()
    return tuple(name for name in dict.fromkeys((*book.hands, *beside)) if (base / name).resolve() != own)


def new_hand(book: Book, base: Path, key: str) -> str:
    """Return what a glyph set of its own would be called for the character `key`: one that is not there."""
    stem = re.sub(r"[^\w-]+", "-", key).strip("-") or "hand"
    names = [f"{stem}{GLYPH_SET}", *(f"{stem}-{number}{GLYPH_SET}" for number in range(2, 1000))]
    return next(name for name in names if name not in book.hands and not (base / name).exists())
