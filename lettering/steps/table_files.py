"""The files of a book on the table: what they say, whether others changed them, and writing them."""

from collections.abc import Mapping
from pathlib import Path

from lettering.errors import LetteringError
from lettering.steps.on_table import OnTable
from lettering.storage.atomic import write_text
from lettering.storage.placements import placements_path

Texts = dict[str, str]
"""'book' and the name of the placements, and what each file says; nothing for one that is not there."""


def placements_name(path: Path) -> str:
    """Return what the placements of the book at `path` are called among its texts."""
    return placements_path(path).name


def texts_on_disk(path: Path) -> Texts:
    """Return what the files of the book at `path` say; raises LetteringError for what is no UTF-8 text."""
    return {"book": _text(path), placements_name(path): _text(placements_path(path))}


def saved(path: Path, before: Mapping[str, str], after: Mapping[str, str]) -> None:
    """Write those files of the book at `path` that changed, each whole or not at all; raises OutputError."""
    files = {"book": path, placements_name(path): placements_path(path)}
    for name, file in files.items():
        if after[name] != before.get(name, ""):
            if after[name]:
                write_text(file, after[name])
            else:
                file.unlink(missing_ok=True)


def stamps(path: Path, state: OnTable | None) -> dict[str, tuple[int, int, int]]:
    """Return by which the files of a book, its hands and its art are known to have changed."""
    files = [path, placements_path(path)]
    if state is not None:
        files += [path.parent / hand / "glyphs" / "contents.plist" for hand in state.book.hands]
        files += [path.parent / spread.art for spread in state.book.spreads if spread.art]
    return {str(file): _stamp(file) for file in files}


def _stamp(file: Path) -> tuple[int, int, int]:
    try:
        known = file.stat()
    except OSError:
        return (0, 0, 0)
    return (known.st_mtime_ns, known.st_size, known.st_ino)


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return ""
    except (OSError, UnicodeDecodeError) as error:
        raise LetteringError(f"cannot be read as UTF-8 text ({error}).", str(path)) from None
