"""What can go wrong, where, and what to do next; how it is put into words; and leaving work midway."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a file that a person wrote."""

    file: str
    """The file as the person named it."""
    line: int | None = None
    """Line, counted from 1."""
    column: int | None = None
    """Column, counted from 1."""

    def __str__(self) -> str:
        return ":".join(str(part) for part in (self.file, self.line, self.column) if part is not None)


class LetteringError(Exception):
    """The work could not be done; says what, where and what to do next, in whole sentences."""

    exit_status = 2

    def __init__(self, message: str, where: Where | str | None = None, hint: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.where = where
        self.hint = hint

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        advice = f" {self.hint}" if self.hint else ""
        stop = "" if self.message.endswith((".", "?", "!", "\n")) else "."
        return f"{place}{self.message}{stop}{advice}"


class BookError(LetteringError):
    """The book file cannot be used as it stands; carries every problem found in it."""

    def __init__(self, problems: Iterable[LetteringError]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class StoppedError(LetteringError):
    """The work is no longer wanted by whoever asked for it; it was left midway."""


_unwanted: ContextVar[Callable[[], bool] | None] = ContextVar("unwanted", default=None)


@contextmanager
def stoppable(unwanted: Callable[[], bool]) -> Iterator[None]:
    """Let the work of this thread be left midway, by StoppedError, once `unwanted` tells so."""
    before = _unwanted.set(unwanted)
    try:
        yield
    finally:
        _unwanted.reset(before)


def stop_point() -> None:
    """Leave here, by StoppedError, when the work is no longer wanted; long loops pass such points often."""
    unwanted = _unwanted.get()
    if unwanted is not None and unwanted():
        raise StoppedError("stopped.")


class ImageError(LetteringError):
    """A picture cannot be read, or is not what was asked for."""


class ReadingError(LetteringError):
    """A lettered page and its reading do not belong together."""


class HandError(LetteringError):
    """A hand cannot be read, written or used for these words."""


class OutputError(LetteringError):
    """A result could not be written; nothing was left half-written."""


def did_you_mean(name: str, allowed: Iterable[str]) -> str | None:
    """Return a hint that names the closest allowed name, or lists all of them."""
    names = sorted(allowed)
    if close := get_close_matches(name, names, n=1):
        return f"Did you mean '{close[0]}'?"
    return f"Allowed: {', '.join(names)}." if names else None


def counted(number: int, noun: str) -> str:
    """Return a number with its noun, in the plural where English has it so: 1 page, 2 pages."""
    return f"{number} {noun}{'s' * (number != 1)}"
