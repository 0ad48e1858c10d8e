"""A proven lower bound of every choice, and for each candidate of every choice that holds it.

What a pair costs may be shared out between its two lines without changing the total of any choice. Sharing it
out so that the sum of all least parts rises gives ever better bounds: sequential reweighted message passing
(Kolmogorov 2006, Convergent Tree-Reweighted Message Passing, IEEE PAMI 28:1568-1583). Where the bound of a
candidate is above the cost of a choice already found, that candidate can be struck out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Costs = NDArray[np.float64]
Pairs = Mapping[tuple[int, int], Costs]
"""By two lines, first < second: shape (candidates of the first, of the second); `NEVER` for never."""

NEVER = 1e7
"""What two candidates cost that exclude each other: more than any choice, yet it can be shared out."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Lines with candidates, what each costs alone, and what two of two lines cost together."""

    costs: tuple[Costs, ...]
    pairs: Pairs

    @property
    def bound(self) -> float:
        """No choice costs less than the sum of all least parts."""
        return float(sum(own.min() for own in self.costs) + sum(table.min() for table in self.pairs.values()))

    @property
    def size(self) -> int:
        """How many pairs of candidates there are, which is what work on the problem grows with."""
        return sum(table.size for table in self.pairs.values())

    def total(self, picks: Sequence[int]) -> float:
        """Return what a choice of one candidate a line costs."""
        alone = sum(float(own[pick]) for own, pick in zip(self.costs, picks, strict=True))
        return alone + sum(float(table[picks[i], picks[j]]) for (i, j), table in self.pairs.items())

    def bounds(self) -> list[Costs]:
        """Return for each candidate of each line what a choice that holds it costs at least."""
        bound = self.bound
        least = [bound - own.min() + own for own in self.costs]
        for (i, j), table in self.pairs.items():
            least[i] = least[i] + (table.min(axis=1) - table.min())
            least[j] = least[j] + (table.min(axis=0) - table.min())
        return least

    def only(self, kept: Sequence[NDArray[np.intp]]) -> "Problem":
        """Return the problem with only the kept candidates of each line."""
        return Problem(
            tuple(own[k] for own, k in zip(self.costs, kept, strict=True)),
            {(i, j): table[np.ix_(kept[i], kept[j])] for (i, j), table in self.pairs.items()},
        )


def shared_out(problem: Problem, rounds: int) -> Problem:
    """Return `problem` with its costs shared out better, by `rounds` sweeps there and back.

    Every choice costs what it did, and `bound` is never less than before.
    """
    costs = [own.copy() for own in problem.costs]
    pairs = {pair: table.copy() for pair, table in problem.pairs.items()}
    beside: dict[int, list[int]] = {i: [] for i in range(len(costs))}
    for i, j in sorted(pairs):
        beside[i].append(j)
        beside[j].append(i)
    for _ in range(rounds):
        for i in range(len(costs)):
            _pass(i, [j for j in beside[i] if j > i], beside[i], costs, pairs)
        for i in reversed(range(len(costs))):
            _pass(i, [j for j in beside[i] if j < i], beside[i], costs, pairs)
    return Problem(tuple(costs), pairs)


def _pass(
    i: int,
    onward: Sequence[int],
    beside: Sequence[int],
    costs: list[Costs],
    pairs: dict[tuple[int, int], Costs],
) -> None:
    """Gather what line `i` costs from its pairs, then hand equal shares to the lines that come next."""
    for j in beside:
        table = _rows(i, j, pairs)
        least = table.min(axis=1)
        table -= least[:, None]
        costs[i] += least
    if not onward:
        return
    share = costs[i] / max(len(onward), len(beside) - len(onward))
    for j in onward:
        table = _rows(i, j, pairs)
        table += share[:, None]
        costs[i] -= share
        least = table.min(axis=0)
        table -= least
        costs[j] += least


def _rows(i: int, j: int, pairs: dict[tuple[int, int], Costs]) -> Costs:
    """Return the table of two lines with a row for each candidate of `i`; a view, to be changed in place."""
    return pairs[i, j] if i < j else pairs[j, i].T
