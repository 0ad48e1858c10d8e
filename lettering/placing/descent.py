"""Good choices, quickly: greedy ones, bettered line by line."""

from collections.abc import Sequence

import numpy as np

from lettering.placing.bound import Picks, Problem

SWEEPS = 12
"""Most times that every line is looked at."""


def greedy(problem: Problem) -> Picks:
    """Return the best of a few choices made line by line, each bettered until no line alone can do better."""
    there = list(range(len(problem.costs)))
    orders = [there, there[::-1], sorted(there, key=lambda i: (len(problem.costs[i]), i))]
    return min((descended(problem, _made(problem, order)) for order in orders), key=problem.total)


def _made(problem: Problem, order: Sequence[int]) -> Picks:
    picks: dict[int, int] = {}
    for i in order:
        seen = problem.costs[i].copy()
        for j in problem.beside[i]:
            table = problem.table(i, j)
            seen += table[:, picks[j]] if j in picks else table.min(axis=1)
        picks[i] = int(np.argmin(seen))
    return tuple(picks[i] for i in range(len(order)))


def descended(problem: Problem, picks: Picks) -> Picks:
    """Return `picks` bettered line by line, until no change of one line makes it cheaper."""
    now = list(picks)
    for _ in range(SWEEPS):
        before = tuple(now)
        for i, own in enumerate(problem.costs):
            seen = own.copy()
            for j in problem.beside[i]:
                seen += problem.table(i, j)[:, now[j]]
            now[i] = int(np.argmin(seen))
        if tuple(now) == before:
            break
    return tuple(now)
