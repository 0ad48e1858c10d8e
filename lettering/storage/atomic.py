"""Writing that is either whole or has not happened: a temporary sibling, then a rename."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lettering.errors import OutputError


def write_bytes(path: Path, data: bytes) -> None:
    """Write `data` at `path`, making its folder; raises OutputError and leaves what was there."""
    temporary: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(0o644)
        temporary.replace(path)
    except OSError as error:
        raise _failed(path, error) from error
    finally:
        if temporary is not None:
            temporary.unlink(missing_ok=True)


def write_text(path: Path, text: str) -> None:
    """Write `text` as UTF-8 with line feeds; raises OutputError and leaves what was there."""
    write_bytes(path, text.encode("utf-8"))


@contextmanager
def replacing_folder(path: Path) -> Iterator[Path]:
    """Give an empty folder to fill, which takes the place of `path` when all went well.

    A folder cannot be renamed over a full one, so the former is first moved aside and only then removed;
    on any error it stays, or is put back. Raises OutputError when the disk refuses.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        scratch = Path(tempfile.mkdtemp(prefix=f".{path.name}.", dir=path.parent))
    except OSError as error:
        raise _failed(path, error) from error
    fresh, former = scratch / "new", scratch / "old"
    try:
        fresh.mkdir()
        yield fresh
        if path.exists():
            path.rename(former)
        try:
            fresh.rename(path)
        except OSError:
            if former.exists():
                former.rename(path)
            raise
    except OSError as error:
        raise _failed(path, error) from error
    finally:
        shutil.rmtree(scratch, ignore_errors=True)


def _failed(path: Path, error: OSError) -> OutputError:
    return OutputError(
        f"cannot write: {error.strerror or error}.", str(path), "What stood there before is untouched."
    )
