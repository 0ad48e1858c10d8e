"""The best way to break a line into a given number of rows: one exact optimisation.

A breaking is a path through the rows that could be set. Each row has a cost, and each pair of rows that
follow each other has one, which may depend on how far down the stack they stand. Dynamic programming over
(row number, row) finds the least sum over all breakings, because nothing else in the cost looks farther than
one row: the shape of a stack is judged by how each row's width compares with the next one's.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]
JoinCost = Callable[[int, int], Floats]
"""(k, m) to the costs of all joins, shape (joins,), of row k (from 0) to row k + 1 in a stack of m rows."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """Every row that may be set of n pieces, and every pair that may follow each other."""

    pieces: int
    """How many pieces the line has."""
    first: Indices
    """Shape (r,): first piece of each row."""
    last: Indices
    """Shape (r,): last piece of each row; rows are sorted by it."""
    upper: Indices
    """Shape (joins,): the row above, for each pair that may follow each other."""
    lower: Indices
    """Shape (joins,): the row below; pairs are sorted by it."""

    @classmethod
    def of(cls, spans: NDArray[np.intp], pieces: int) -> "Rows":
        """Return the rows `spans`, shape (r, 2), first and last piece of each."""
        spans = spans[np.lexsort((spans[:, 0], spans[:, 1]))]
        first, last = spans[:, 0], spans[:, 1]
        lower, upper = np.nonzero(first[:, None] == last[None, :] + 1)
        return cls(pieces=pieces, first=first, last=last, upper=upper, lower=lower)


@dataclass(frozen=True, slots=True)
class Breaking:
    """A way to break a line."""

    rows: tuple[tuple[int, int], ...]
    """First and last piece of each row, top to bottom."""
    cost: float


def best_breakings(rows: Rows, row_cost: Floats, join_cost: JoinCost, counts: range) -> Iterator[Breaking]:
    """Yield the cheapest breaking into m rows for each m of `counts` that can be had at all.

    `row_cost` has shape (r,); infinity forbids a row.
    """
    for count in counts:
        if found := _best(rows, row_cost, join_cost, count):
            yield found


def _best(rows: Rows, row_cost: Floats, join_cost: JoinCost, count: int) -> Breaking | None:
    cheapest = [np.where(rows.first == 0, row_cost, np.inf)]
    """For each row number: the least cost of all that ends with each row."""
    heads, starts = np.unique(rows.lower, return_index=True)
    for k in range(count - 1):
        layer = np.full(len(row_cost), np.inf)
        if len(heads):
            through = cheapest[-1][rows.upper] + join_cost(k, count)
            layer[heads] = np.minimum.reduceat(through, starts) + row_cost[heads]
        cheapest.append(layer)
    final = np.where(rows.last == rows.pieces - 1, cheapest[-1], np.inf)
    end = int(np.argmin(final))
    if not np.isfinite(final[end]):
        return None
    path = _traced(rows, cheapest, join_cost, end)
    spans = tuple((int(rows.first[row]), int(rows.last[row])) for row in path)
    return Breaking(spans, float(final[end]))


def _traced(rows: Rows, cheapest: list[Floats], join_cost: JoinCost, end: int) -> list[int]:
    """Return the rows of the cheapest path to `end`, top to bottom."""
    path = [end]
    for k in range(len(cheapest) - 2, -1, -1):
        lo, hi = np.searchsorted(rows.lower, [path[0], path[0] + 1])
        through = cheapest[k][rows.upper[lo:hi]] + join_cost(k, len(cheapest))[lo:hi]
        path.insert(0, int(rows.upper[lo + int(np.argmin(through))]))
    return path
