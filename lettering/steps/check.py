"""Check: the book as it is placed, and every finding."""

from pathlib import Path

from lettering.steps.laid_out import LaidOut
from lettering.steps.place import book_as_placed
from lettering.steps.progress import Progress, silent


def check_book(path: Path, *, progress: Progress = silent) -> LaidOut:
    """Return the book at `path` as it is placed, with its findings; raises LetteringError."""
    return book_as_placed(path, progress=progress)
