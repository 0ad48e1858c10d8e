"""What a UFO folder may hold before anything in it is parsed: few enough files, small enough, no tricks."""

import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path

from lettering.errors import HandError

MOST_FILES = 40_000
"""Takes and their pictures: twenty thousand letters, a hundred full pages."""
MOST_GLYPH_BYTES = 1_000_000
"""A letter of a thousand points takes 60 kB."""
MOST_LIST_BYTES = 20_000_000
"""The longest property list, kerning of all pairs of a large hand, takes 5 MB."""
MOST_PICTURE_BYTES = 20_000_000
MOST_BYTES = 1_000_000_000
"""All files together."""

_ENTITIES = re.compile(rb"<!ENTITY|\x00", re.IGNORECASE)
"""Entities can be made to expand without end; a zero byte betrays an encoding in which they would hide."""
_ENCODING = re.compile(rb"<\?xml[^>]*encoding\s*=\s*[\"']([^\"']*)", re.IGNORECASE)


def check_folder(path: Path) -> None:
    """Raise HandError unless `path` is a UFO folder of plain files within the limits."""
    if not path.is_dir():
        there = "this is no folder; a hand is a UFO folder." if path.exists() else "there is no such hand."
        raise HandError(there, str(path), "Make one with `lettering gather`.")
    if not (path / "metainfo.plist").is_file():
        raise HandError("this folder is no UFO: it has no metainfo.plist.", str(path))
    total = 0
    try:
        for count, (file, status) in enumerate(_files(path), start=1):
            total += status.st_size
            if count > MOST_FILES or total > MOST_BYTES:
                raise _too_large(path, f"{MOST_FILES} files or {MOST_BYTES // 1_000_000} MB")
            _check_file(file, status)
    except OSError as error:
        raise HandError(f"cannot be read: {error.strerror or error}.", str(path)) from error


def _files(folder: Path) -> Iterator[tuple[Path, os.stat_result]]:
    """Yield all files below `folder` with their size; a link could lead anywhere, so none is followed."""
    with os.scandir(folder) as entries:
        for entry in entries:
            status = entry.stat(follow_symlinks=False)
            if stat.S_ISDIR(status.st_mode):
                yield from _files(Path(entry.path))
            elif stat.S_ISREG(status.st_mode):
                yield Path(entry.path), status
            else:
                raise HandError("is neither a file nor a folder.", entry.path, "Put a plain copy there.")


def _check_file(file: Path, status: os.stat_result) -> None:
    limit = {".glif": MOST_GLYPH_BYTES, ".png": MOST_PICTURE_BYTES}.get(file.suffix, MOST_LIST_BYTES)
    if status.st_size > limit:
        raise _too_large(file, f"{limit // 1_000_000} MB")
    if file.suffix in (".glif", ".plist"):
        text = file.read_bytes()
        encoding = _ENCODING.match(text)
        if _ENTITIES.search(text) or (encoding and encoding[1].lower() != b"utf-8"):
            raise HandError("declares entities or is not UTF-8, which no UFO needs.", str(file))


def _too_large(path: Path, limit: str) -> HandError:
    return HandError(f"is too large: more than {limit}.", str(path), "A hand of one person is far smaller.")
