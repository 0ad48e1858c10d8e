"""What is dropped on the table: proven to be what it says, by decoding it, and kept in the book's folder."""

import io
import re
import tempfile
import unicodedata
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from lettering.errors import LetteringError, Where
from lettering.steps.begin import Begun, brought, fresh, new_book
from lettering.storage.atomic import write_bytes, write_text
from lettering.storage.images import read_art
from lettering.storage.reading import read_reading
from lettering.storage.scans import pages_in, read_scan
from lettering.storage.svg_art import painted
from lettering.units import MM_PER_INCH

MOST_BYTES = 200_000_000
"""Largest file that is taken: a spread of 16-bit colour at 600 ppi, packed."""
MOST_TEXT = 2_000_000
"""Largest manuscript, as `lettering begin` takes it."""
LONGEST_MM = 506.0
"""Longer side of a spread with its bleed where no other is told: two pages of 250 mm."""
DRAWN_PPI = 300
"""Resolution of art that was drawn as SVG: what printers ask of colour (common practice)."""
MOST_DRAWN = 8_000
"""Longest side of it, px."""
ART, PAGES = "art", "pages"
"""Folders beside the book file for art and for lettered pages."""


def keep_art(base: Path, name: str, data: bytes, *, longest_mm: float = LONGEST_MM) -> str:
    """Keep a picture as art and return its path relative to the book's folder `base`.

    It is decoded first; raises ImageError for what is no picture or too large a one, and keeps nothing.
    A drawing in SVG is kept as what it looks like, at 300 ppi when its longer side is `longest_mm` on paper:
    so every command can use it, and nothing in it can act.
    """
    if name.lower().endswith(".svg"):
        longest = min(round(longest_mm / MM_PER_INCH * DRAWN_PPI), MOST_DRAWN)
        name, data = f"{name[:-4]}.png", painted(data, name, longest)
    return _kept(base, ART, name, data, lambda path: read_art(path, 64))


def keep_page(base: Path, name: str, data: bytes) -> str:
    """Keep the scan or photo of a lettered page, or a PDF of them, as `keep_art` does."""
    return _kept(base, PAGES, name, data, lambda path: (pages_in(path), read_scan(path)))


def kept_page(base: Path, name: str) -> Path:
    """Return the picture of a lettered page that was kept; raises LetteringError for any other file."""
    path = inside(base, name)
    if path.parent != (base / PAGES).resolve() or not path.is_file():
        raise LetteringError("there is no such lettered page.", name)
    return path


def keep_reading(base: Path, page: str, text: str) -> Path:
    """Keep what a lettered page says beside its picture; raises ReadingError, and keeps nothing."""
    path = inside(base, page).with_suffix(".txt")
    with tempfile.TemporaryDirectory() as folder:
        trial = Path(folder) / path.name
        trial.write_text(text, encoding="utf-8")
        read_reading(trial)
    write_text(path, text)
    return path


def take_manuscript(name: str, data: bytes, *, page: tuple[float, float], age: str) -> tuple[str, Begun]:
    """Return the text of the book file that a manuscript begins, and what came; raises LetteringError."""
    beginning = new_book(hand="hand.ufo", language="en", reader_age=age, width_mm=page[0], height_mm=page[1])
    with _lying(name, data) as path:
        return fresh(path, beginning)


def bring_manuscript(text: str, name: str, data: bytes) -> tuple[str, Begun]:
    """Return the book file `text` with the words of a manuscript, and what changed; raises LetteringError."""
    with _lying(name, data) as path:
        return brought(text, path, "book.yaml")


@contextmanager
def _lying(name: str, data: bytes) -> Iterator[Path]:
    """Yield the path of a file that holds `data` for a while; errors call it by its own name."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / _plain(name)
        path.write_bytes(data)
        try:
            yield path
        except LetteringError as error:
            if isinstance(error.where, Where):
                error.where = replace(error.where, file=path.name)
            elif error.where == str(path):
                error.where = path.name
            raise


def together(folder: Path, files: tuple[Path, ...]) -> Path:
    """Write all `files` of `folder` as one ZIP file beside it, and return that; raises OutputError."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as packed:
        for file in files:
            packed.write(file, file.relative_to(folder.parent))
    out = folder.with_suffix(".zip")
    write_bytes(out, data.getvalue())
    return out


def inside(base: Path, name: str) -> Path:
    """Return the path `name` in the folder `base`; raises LetteringError when it leads out of it.

    Links are followed first, so that none leads out either.
    """
    path = (base / name).resolve()
    if not path.is_relative_to(base.resolve()):
        raise LetteringError("this lies outside the book's folder.", name)
    return path


def _kept(base: Path, folder: str, name: str, data: bytes, decode: Callable[[Path], object]) -> str:
    if len(data) > MOST_BYTES:
        raise LetteringError(f"the file has more than {MOST_BYTES // 1_000_000} million bytes.", name)
    plain = _plain(name)
    with _lying(plain, data) as trial:
        decode(trial)
    path = _free(inside(base, f"{folder}/{plain}"), data)
    write_bytes(path, data)
    return f"{folder}/{path.name}"


def _plain(name: str) -> str:
    """Return a file name without folders, and of letters, digits, dots and dashes alone."""
    last = unicodedata.normalize("NFC", re.split(r"[/\\]", name)[-1])
    stem = re.sub(r"[^\w.-]+", "-", last).strip(".-")[-80:]
    if not stem:
        raise LetteringError("this file has no name that can be kept.", hint="Give it a name.")
    return stem


def _free(path: Path, data: bytes) -> Path:
    """Return `path`, or the next one numbered when another file has its name."""
    for number in range(1, 1000):
        one = path if number == 1 else path.with_stem(f"{path.stem}-{number}")
        if not one.exists() or one.read_bytes() == data:
            return one
    raise LetteringError("there are too many files of this name.", path.name)
