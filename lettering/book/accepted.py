"""A finding that the illustrator has looked at and lets stand."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """Findings of one kind, in one place or everywhere, that are meant to be so."""

    code: str
    """Name of the check."""
    reason: str
    """Why it stands, in a person's words."""
    pages: tuple[int, ...] | None = None
    """Pages of the spread; none for the whole book."""
    line: int | None = None
    """Number of the line on that spread, from 1; none for all of them."""
    place: str = ""
    """Where it is written: 'book.yaml:12:5'."""
