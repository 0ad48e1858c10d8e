"""A proven lower bound of every choice, and for each candidate of every choice that holds it.

What a pair costs may be shared out between its two lines without changing the total of any choice. Sharing it
out so that the sum of all least parts rises gives ever better bounds: sequential reweighted message passing
(Kolmogorov 2006, Convergent Tree-Reweighted Message Passing, IEEE PAMI 28:1568-1583). Where the bound of a
candidate is above the cost of a choice already found, that candidate can be struck out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Costs = NDArray[np.float64]
Picks = tuple[int, ...]
"""A choice: the index of one candidate for each line."""
Pairs = Mapping[tuple[int, int], Costs]
"""By two lines, first < second: shape (candidates of the first, of the second); `NEVER` for never."""
Messages = Mapping[tuple[int, int], Costs]
"""By two lines, from and to: what the pair lends to each candidate of the second, shape (candidates,)."""

NEVER = 1e7
"""What two candidates cost that exclude each other: more than any choice, yet it can be shared out."""


@dataclass(frozen=True, eq=False)
class Problem:
    """Lines with candidates, what each costs alone, and what two of two lines cost together."""

    costs: tuple[Costs, ...]
    pairs: Pairs

    @property
    def size(self) -> int:
        """How many pairs of candidates there are, which is what work on the problem grows with."""
        return sum(table.size for table in self.pairs.values())

    @property
    def priced(self) -> int:
        """How many pairs of candidates cost something together."""
        return sum(int(np.count_nonzero(table)) for table in self.pairs.values())

    @cached_property
    def beside(self) -> tuple[tuple[int, ...], ...]:
        """For each line the lines that it has a table with, in order."""
        found: list[list[int]] = [[] for _ in self.costs]
        for i, j in self.pairs:
            found[i].append(j)
            found[j].append(i)
        return tuple(tuple(sorted(others)) for others in found)

    def table(self, i: int, j: int) -> Costs:
        """Return the table of two lines with a row for each candidate of `i`."""
        return self.pairs[i, j] if i < j else self.pairs[j, i].T

    def total(self, picks: Sequence[int]) -> float:
        """Return what a choice of one candidate a line costs."""
        alone = sum(float(own[pick]) for own, pick in zip(self.costs, picks, strict=True))
        return alone + sum(float(table[picks[i], picks[j]]) for (i, j), table in self.pairs.items())

    def only(self, kept: Sequence[NDArray[np.intp]]) -> "Problem":
        """Return the problem with only the kept candidates of each line."""
        return Problem(
            tuple(own[k] for own, k in zip(self.costs, kept, strict=True)),
            {(i, j): table[kept[i][:, None], kept[j]] for (i, j), table in self.pairs.items()},
        )


@dataclass(frozen=True, slots=True, eq=False)
class Shared:
    """What a problem's costs are known to come to at least, by the way its pairs are shared out."""

    messages: Messages
    bound: float
    """No choice costs less."""
    lows: tuple[Costs, ...]
    """For each candidate of each line: no choice that holds it costs less."""

    def only(self, kept: Sequence[NDArray[np.intp]]) -> "Shared":
        """Return what is known of the kept candidates of each line."""
        messages = {(i, j): message[kept[j]] for (i, j), message in self.messages.items()}
        return Shared(messages, self.bound, tuple(own[k] for own, k in zip(self.lows, kept, strict=True)))


def unshared(problem: Problem) -> Shared:
    """Return what is known before anything is shared out: nothing."""
    messages = {}
    for i, j in problem.pairs:
        messages[i, j], messages[j, i] = np.zeros(len(problem.costs[j])), np.zeros(len(problem.costs[i]))
    return Shared(messages, -np.inf, tuple(np.full(len(own), -np.inf) for own in problem.costs))


def shared_out(problem: Problem, shared: Shared, rounds: int = 1) -> Shared:
    """Return the costs of `problem` shared out better, by `rounds` sweeps there and back.

    The bound of sweeps without end never falls, and often rises to the least cost of a choice.
    """
    messages = dict(shared.messages)
    count = len(problem.costs)
    kept, more = list(problem.costs), [np.zeros(len(own)) for own in problem.costs]
    for sweep in range(1, rounds + 1):
        for i in range(count):
            _hand_on(problem, i, [j for j in problem.beside[i] if j > i], messages)
        for i in reversed(range(count)):
            behind = [j for j in problem.beside[i] if j < i]
            kept[i] = _hand_on(problem, i, behind, messages, more[i] if sweep == rounds else None)
    least = [float(own.min()) for own in kept]
    bound = sum(least)
    lows = (own + extra + (bound - low) for own, extra, low in zip(kept, more, least, strict=True))
    return Shared(messages, bound, tuple(lows))


def _hand_on(
    problem: Problem,
    i: int,
    onward: Sequence[int],
    messages: dict[tuple[int, int], Costs],
    more: Costs | None = None,
) -> Costs:
    """Hand equal shares of what line `i` costs to the lines that come next; return what it keeps.

    To `more` is added what its candidates cost beyond that in their pairs with those lines.
    """
    beside = problem.beside[i]
    whole = problem.costs[i].copy()
    for j in beside:
        whole += messages[j, i]
    share = whole / max(len(onward), len(beside) - len(onward), 1)
    for j in onward:
        table = problem.table(i, j) + (share - messages[j, i])[:, None]
        messages[i, j] = least = np.minimum.reduce(table, axis=0)
        if more is not None:
            table -= least
            more += np.minimum.reduce(table, axis=1)
    return whole - share * len(onward)


def rounded_off(problem: Problem, shared: Shared) -> Picks:
    """Return a choice made line by line, each with a view of what the lines to come will cost."""
    picks: list[int] = []
    for i, own in enumerate(problem.costs):
        seen = own.copy()
        for j in problem.beside[i]:
            seen += problem.table(j, i)[picks[j]] if j < i else shared.messages[j, i]
        picks.append(int(seen.argmin()))
    return tuple(picks)
