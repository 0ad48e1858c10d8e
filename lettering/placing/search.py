"""A search that leaves good choices for better ones, for problems too large to decide exactly.

Tabu search (Glover 1989, Tabu Search, part I, ORSA Journal on Computing 1:190-206): each move takes the
cheapest change of one line, even for the worse, and bars for a while what it undid. It counts moves, not the
clock, and draws no lots, so equal problems give equal choices.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.errors import stop_point
from lettering.placing.bound import Costs, Picks, Problem

MOVES = 1500
"""Moves of one search."""

LARGEST = 3000
"""Candidates of all lines together beyond which no search is tried: every two of them take a number."""

BARRED = 25
"""Moves for which a line may not go back to the candidate it left."""


@dataclass(frozen=True, slots=True, eq=False)
class Search:
    """A problem laid out for searching: its candidates in one row, one line's after another's."""

    problem: Problem
    first: NDArray[np.intp]
    """Where each line's candidates begin, (lines,)."""
    line: NDArray[np.intp]
    """Which line each candidate is of, (candidates,)."""
    together: Costs
    """What every two candidates cost together, (candidates, candidates), those of one line nothing."""

    @classmethod
    def of(cls, problem: Problem) -> "Search | None":
        """Return the search of a problem; none where there is nothing to search, or far too much."""
        sizes = [len(own) for own in problem.costs]
        if sum(sizes) > LARGEST or len(sizes) < 2:
            return None
        first = np.cumsum([0, *sizes[:-1]])
        line = np.repeat(np.arange(len(sizes)), sizes)
        return cls(problem, first, line, _together(problem, first))

    def bettered(self, start: Picks, moves: int = MOVES) -> Picks:
        """Return the cheapest choice met within `moves` changes of one line, from `start`; never a worse."""
        lines = len(self.first)
        picks = self.first + np.asarray(start)
        seen = np.concatenate(self.problem.costs) + self.together[picks].sum(axis=0)
        free = np.zeros(len(self.line), dtype=np.intp)
        rests = np.zeros(lines, dtype=np.intp)
        total = lowest = self.problem.total(start)
        best = picks.copy()
        for move in range(moves):
            stop_point()
            change = seen - seen[picks][self.line]
            barred = (free > move) | (rests > move)[self.line]
            change[picks] = np.inf
            change[barred & (change > lowest - total - 1e-6)] = np.inf
            new = int(np.argmin(change))
            if change[new] == np.inf:
                continue
            moved = int(self.line[new])
            old = int(picks[moved])
            total += float(change[new])
            seen += self.together[new] - self.together[old]
            picks[moved] = new
            free[old] = move + BARRED + move % 7
            rests[moved] = move + 1 + lines // 4
            if total < lowest - 1e-6:
                lowest, best = total, picks.copy()
        return tuple((best - self.first).tolist())


def _together(problem: Problem, first: NDArray[np.intp]) -> Costs:
    """Return what every two candidates cost together, (n, n), those of one line nothing."""
    sizes = [len(own) for own in problem.costs]
    table = np.zeros((sum(sizes), sum(sizes)))
    for (i, j), pair in problem.pairs.items():
        rows, columns = slice(first[i], first[i] + sizes[i]), slice(first[j], first[j] + sizes[j])
        table[rows, columns] = pair
        table[columns, rows] = pair.T
    return table
