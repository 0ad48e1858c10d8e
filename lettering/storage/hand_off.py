"""A hand-off on disk: made aside, then put in place as a whole; one at a time."""

import fcntl
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lettering.errors import OutputError

LOCK = ".lettering-hand-off"


@contextmanager
def replacing_parts(folder: Path) -> Iterator[Path]:
    """Give an empty folder to fill; its folders and files then take the place of those in `folder`.

    Nothing in `folder` changes before all is made; when putting in place fails half-way, what was there is
    put back. Raises OutputError when the disk refuses, or when another run writes into the same folder.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _locked(folder):
            scratch = Path(tempfile.mkdtemp(prefix=f"{LOCK}.", dir=folder))
            try:
                (scratch / "new").mkdir()
                (scratch / "old").mkdir()
                yield scratch / "new"
                _exchange(scratch, folder)
            finally:
                shutil.rmtree(scratch, ignore_errors=True)
    except OSError as error:
        message = f"cannot write: {error.strerror or error}."
        raise OutputError(message, str(folder), "The former hand-off is untouched.") from error


def _exchange(scratch: Path, folder: Path) -> None:
    """Move every new part into `folder`, the former aside; on failure put all former parts back."""
    moved: list[str] = []
    try:
        for part in sorted((scratch / "new").iterdir()):
            moved.append(part.name)
            if (folder / part.name).exists():
                (folder / part.name).rename(scratch / "old" / part.name)
            part.rename(folder / part.name)
    except BaseException:
        for name in moved:
            if not (scratch / "new" / name).exists():
                (folder / name).rename(scratch / "new" / name)
            if (scratch / "old" / name).exists():
                (scratch / "old" / name).rename(folder / name)
        raise


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Keep a second run out of `folder`; a lock goes with the process that holds it."""
    path = folder / LOCK
    with path.open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            hint = "Wait for it to end, or choose another --out."
            raise OutputError("another export is writing into this folder.", str(folder), hint) from None
        try:
            yield
        finally:
            path.unlink(missing_ok=True)
