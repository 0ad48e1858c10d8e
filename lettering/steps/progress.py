"""How a step tells how far it is."""

from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

T = TypeVar("T")


class Progress(Protocol):
    """Something that is told how much of a task is done."""

    def __call__(self, task: str, done: int, total: int) -> None:
        """Hear that `done` of `total` parts of `task` are finished."""


def silent(task: str, done: int, total: int) -> None:
    """Hear nothing."""


def told(parts: Iterable[T], total: int, task: str, progress: Progress) -> Iterator[T]:
    """Yield each of `parts`, telling `progress` after each has been dealt with."""
    progress(task, 0, total)
    for done, part in enumerate(parts, 1):
        yield part
        progress(task, done, total)
