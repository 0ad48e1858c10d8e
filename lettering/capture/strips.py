"""Pages gone through in strips, so that what is made of them on the way stays small."""

from collections.abc import Iterator

STRIP_ROWS = 512
"""Rows looked at together: an index, say, is widened to 64 bits, and that of a page would be eight pages."""


def strips(rows: int) -> Iterator[slice]:
    """Yield the strips of a page of so many rows, from above."""
    for top in range(0, rows, STRIP_ROWS):
        yield slice(top, min(top + STRIP_ROWS, rows))
