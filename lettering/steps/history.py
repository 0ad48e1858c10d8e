"""Every change of a book that can be undone, kept in a folder beside it: across reloads, ends and crashes.

A change is written down before its files are written, so that one which was cut off in between is finished
when the book is opened again. What was undone stays until something else is changed.
"""

from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from lettering.errors import LetteringError
from lettering.steps.table_files import held, history_folder, write
from lettering.storage.atomic import write_text
from lettering.storage.book_file import read_book
from lettering.storage.changes import Change, Contents, read_change, write_change

MOST_KEPT = 40_000_000
"""Bytes of former sessions' changes that are kept, the latest of them; those of this one all are."""
DONE = "done"
"""The file that tells how many changes are done, while some are undone."""


@dataclass(frozen=True, slots=True)
class _Kept:
    number: int
    label: str
    spread: int | None


@dataclass(frozen=True, slots=True)
class Step:
    """A change that can be undone, or done again, as things are now."""

    label: str
    spread: int | None
    """Where it was, to look at."""
    now: Contents
    """What its files hold …"""
    then: Contents
    """… and what they will hold."""
    way: int
    """-1 for one that is undone, 1 for one that is done again."""


class History:
    """Changes of one book in order, and how many of them are done; only their names are held in memory."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.folder = history_folder(path)
        self._kept: list[_Kept] = []
        self._done = 0
        self._opened = False

    def open(self) -> None:
        """Take up what former sessions left, once; a change that was cut off is finished."""
        if self._opened:
            return
        self._opened = True
        files = sorted((p for p in self.folder.glob("*.json") if p.stem.isdigit()), key=_number)
        sizes = [file.stat().st_size for file in files]
        while sum(sizes) > MOST_KEPT:
            files.pop(0).unlink(missing_ok=True)
            sizes.pop(0)
        for file in files:
            try:
                change = read_change(file)
                self._kept.append(_Kept(_number(file), change.label, change.spread))
            except LetteringError:
                self._kept = []  # what lies before it cannot be reached
        self._done = self._told_done()
        with suppress(LetteringError, OSError):
            there = self.path.exists()
            self._settle(read_book(self.path, unfinished=True).book.hands if there else ())

    @property
    def undoable(self) -> str | None:
        """What undoing would undo."""
        return self._kept[self._done - 1].label if self._done else None

    @property
    def redoable(self) -> str | None:
        """What redoing would do again."""
        return self._kept[self._done].label if self._done < len(self._kept) else None

    def make(
        self, label: str, before: Contents, after: Contents, *, hands: Collection[str], spread: int | None
    ) -> None:
        """Make files of the book hold what is in `after`, and write down that they did not.

        What was undone before can no longer be done again. Raises OutputError; then nothing was changed.
        """
        change = Change.between(label, spread, before, after)
        if not change.files:
            return
        for kept in reversed(self._kept[self._done :]):
            self._file(kept.number).unlink(missing_ok=True)
        del self._kept[self._done :]
        number = self._kept[-1].number + 1 if self._kept else 1
        write_change(change, self._file(number))
        try:
            write(self.path, hands, before, after)
        except LetteringError:
            self._file(number).unlink(missing_ok=True)
            raise
        self._kept.append(_Kept(number, label, spread))
        self._done += 1
        (self.folder / DONE).unlink(missing_ok=True)

    def step(self, way: int, hands: Collection[str]) -> Step:
        """Return what undoing (-1) or doing again (1) would do.

        Raises LetteringError when there is nothing, or when a file was changed by another program meanwhile.
        """
        change = self._back() if way < 0 else self._forth()
        now = held(self.path, hands, change)
        then = change.undone(now) if way < 0 else change.redone(now)
        return Step(change.label, change.spread, now, then, way)

    def take(self, step: Step, hands: Collection[str]) -> None:
        """Undo, or do again; raises OutputError."""
        write(self.path, hands, step.now, step.then)
        self._moved(step.way)

    def _back(self) -> Change:
        if not self._done:
            raise LetteringError("there is nothing more to undo.")
        return read_change(self._file(self._kept[self._done - 1].number))

    def _forth(self) -> Change:
        if self._done == len(self._kept):
            raise LetteringError("there is nothing to do again.")
        return read_change(self._file(self._kept[self._done].number))

    def _moved(self, step: int) -> None:
        self._done += step
        if self._done == len(self._kept):
            (self.folder / DONE).unlink(missing_ok=True)
        else:
            write_text(self.folder / DONE, f"{self._done and self._kept[self._done - 1].number}\n")

    def _settle(self, hands: Collection[str]) -> None:
        """Finish a change that was cut off, whether it was being made, undone or done again."""
        if self._done:
            last = self._back()
            now = held(self.path, hands, last)
            if last.is_before(now):
                self._moved(-1)
            elif last.is_between(now):
                write(self.path, hands, now, last.finished(now))
        if self._done < len(self._kept):
            following = self._forth()
            now = held(self.path, hands, following)
            if following.is_between(now) and not following.is_before(now):
                write(self.path, hands, now, following.finished(now))
                self._moved(1)

    def _told_done(self) -> int:
        try:
            number = int((self.folder / DONE).read_text("ascii"))
        except (OSError, ValueError):
            return len(self._kept)
        return sum(kept.number <= number for kept in self._kept)

    def _file(self, number: int) -> Path:
        return self.folder / f"{number:06}.json"


def _number(path: Path) -> int:
    return int(path.stem)
