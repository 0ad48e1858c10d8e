"""What a book file that cannot be read says of it, noted where the page looks for it."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol

from lettering.errors import BookError, LetteringError


class Troubled(Protocol):
    """Work that can be in trouble."""

    trouble: tuple[str, ...]


@contextmanager
def noting(work: Troubled) -> Iterator[None]:
    """Note on the work in sentences why its book cannot be read, if it cannot; else that nothing is wrong."""
    work.trouble = ()
    try:
        yield
    except BookError as error:
        work.trouble = tuple(map(str, error.problems))
    except LetteringError as error:
        work.trouble = (str(error),)
