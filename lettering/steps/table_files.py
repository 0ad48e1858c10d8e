"""The files of a book on the table: what they hold, whether others changed them, and writing them.

Files go by name: that of the book file, that of its placements, and for a glyph set its path as the book
names it with the file's own below, such as `hand.ufo/glyphs/a.glif`.
"""

import os
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from lettering.errors import LetteringError
from lettering.hand.hand import Hand
from lettering.steps.on_table import OnTable
from lettering.storage.atomic import replacing_folder, write_bytes
from lettering.storage.changes import Change, Contents
from lettering.storage.placements import placements_path
from lettering.storage.ufo import hand_files

Texts = dict[str, str]
"""'book' and the name of the placements, and what each file says; nothing for one that is not there."""


def placements_name(path: Path) -> str:
    """Return what the placements of the book at `path` are called among its texts."""
    return placements_path(path).name


def history_folder(path: Path) -> Path:
    """Return where the changes of the book at `path` are kept: `.book.history` beside `book.yaml`."""
    return path.with_name(f".{path.stem}.history")


def texts_on_disk(path: Path) -> Texts:
    """Return what the files of the book at `path` say; raises LetteringError for what is no UTF-8 text."""
    return {"book": _text(path), placements_name(path): _text(placements_path(path))}


def contents_of(path: Path, texts: Mapping[str, str]) -> dict[str, bytes | None]:
    """Return texts as files by name."""
    named = {path.name: texts.get("book", ""), placements_name(path): texts.get(placements_name(path), "")}
    return {name: text.encode("utf-8") if text else None for name, text in named.items()}


def hand_contents(hand: Hand, name: str) -> dict[str, bytes | None]:
    """Return the files that a hand is kept in, below the glyph set `name`; raises OutputError."""
    return {f"{name}/{file}": data for file, data in hand_files(hand).items()}


def files_below(folder: Path, name: str) -> dict[str, bytes | None]:
    """Return every file of a glyph set at `folder`, named below `name`; none when it is not there."""
    found: dict[str, bytes | None] = {}
    for parent, _, files in os.walk(folder):
        inner = Path(parent).relative_to(folder)
        found |= {f"{name}/{(inner / file).as_posix()}": (Path(parent) / file).read_bytes() for file in files}
    return found


def held(path: Path, hands: Iterable[str], change: Change) -> dict[str, bytes | None]:
    """Return what the files of a change hold now, of the book at `path` with its glyph sets `hands`.

    Raises LetteringError for a file that is none of the book's.
    """
    return {name: _held(_place(path, hands, name)) for name in change.files}


def write(path: Path, hands: Iterable[str], before: Contents, after: Contents) -> None:
    """Write those files of the book at `path` that changed, each whole or not at all; raises OutputError.

    A glyph set is written as one.
    """
    names = [name for name in after if after[name] != before.get(name)]
    known = tuple(hands)
    for hand in known:
        own = {name.removeprefix(f"{hand}/"): after[name] for name in names if name.startswith(f"{hand}/")}
        if own:
            _write_below(path.parent / hand, own)
    for name in (name for name in names if not any(name.startswith(f"{hand}/") for hand in known)):
        place, data = _place(path, known, name), after[name]
        if data is None:
            place.unlink(missing_ok=True)
        else:
            write_bytes(place, data)


def _write_below(folder: Path, files: Contents) -> None:
    """Make files of a glyph set hold something else, or nothing; without any left it goes."""
    kept = [p for p in folder.rglob("*") if p.is_file() and p.relative_to(folder).as_posix() not in files]
    if not kept and not any(data is not None for data in files.values()):
        shutil.rmtree(folder, ignore_errors=True)
        return
    with replacing_folder(folder) as fresh:
        for file in kept:
            _carried(file, fresh / file.relative_to(folder))
        for name, data in files.items():
            if data is not None:
                (fresh / name).parent.mkdir(parents=True, exist_ok=True)
                (fresh / name).write_bytes(data)


def _carried(file: Path, to: Path) -> None:
    """Put a file that stays as it is into the new folder: a second name for it, which costs nothing."""
    to.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(file, to)
    except OSError:
        shutil.copy2(file, to)


def _place(path: Path, hands: Iterable[str], name: str) -> Path:
    """Return the path of a file of the book; raises LetteringError for any other name."""
    if name in (path.name, placements_name(path)):
        return path.with_name(name)
    for hand in hands:
        inner = PurePosixPath(name.removeprefix(f"{hand}/"))
        if name.startswith(f"{hand}/") and not inner.is_absolute() and ".." not in inner.parts:
            return path.parent / hand / inner
    raise LetteringError("this is no file of the book any more.", name, "It is left as it is.")


def _held(place: Path) -> bytes | None:
    return place.read_bytes() if place.is_file() else None


def stamps(path: Path, state: OnTable | None) -> dict[str, tuple[int, int, int]]:
    """Return by which the files of a book, its hands and its art are known to have changed."""
    files = [path, placements_path(path)]
    if state is not None:
        # A glyph set that is written is another folder; its list of glyphs may be the same file.
        files += [path.parent / hand for hand in state.book.hands]
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
