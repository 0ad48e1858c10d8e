"""The choice of one candidate for each line: least total cost, with a proven lower bound.

The problem is general: every line has candidates with a cost each, every two lines may have a table of what
two candidates cost together (infinite: never together). Three steps, each exact: a quick descent finds a
good choice; candidates that cannot be in a better one are struck out; what is left, if anything, goes to a
constraint solver.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.placing.bound import NEVER, Costs, Pairs, Problem, shared_out
from lettering.placing.search import searched
from lettering.placing.solver import solved

STEP = 1e-3
"""Costs count in steps this large, so that totals compare exactly."""

EFFORT = 0.5
"""Most work the solver may do, in its own deterministic seconds: the same on every machine."""

ROUNDS = 12
"""Sweeps of sharing out between two strikes."""

STRIKES = 8
"""Most times that candidates are struck out before the rest goes to the solver."""

SOLVABLE = 20_000
"""Most pairs of candidates given to the solver: it takes long to build more, and cannot decide them."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One candidate for each line."""

    picks: tuple[int, ...]
    score: float
    """Total cost."""
    bound: float
    """Proven: no choice costs less."""
    clashes: int = 0
    """Pairs in it that exclude each other: 0 unless no better choice was found."""

    @property
    def proven(self) -> bool:
        """Whether no choice among the candidates is better."""
        return self.score < self.bound + STEP / 2


def choose(costs: Sequence[Costs], pairs: Pairs, *, effort: float = EFFORT) -> Choice | None:
    """Return the cheapest choice found, with the fewest clashes; none when a line has no candidate.

    `costs` holds one array of shape (candidates,) a line, finite; a pair's infinite cost forbids it, and
    counts `NEVER` in a choice that clashes. Costs are rounded to thousandths; `effort` limits the solver's
    work. Equal input gives an equal choice.
    """
    if any(len(own) == 0 for own in costs):
        return None
    rounded = {pair: np.minimum(_rounded(table), NEVER) for pair, table in pairs.items()}
    problem = Problem(tuple(map(_rounded, costs)), rounded)
    best, kept, shared = _narrowed(problem)
    if any(len(own) == 0 for own in kept):
        return _as_choice(problem, best, problem.total(best))
    left = problem.only(kept)
    if left.size > SOLVABLE:
        return _as_choice(problem, best, shared.bound)
    picks, bound = solved(left, shared.bound, effort)
    if picks is not None:
        best = min(best, _back(picks, kept), key=problem.total)
    return _as_choice(problem, best, bound)


def _rounded(cost: Costs) -> Costs:
    return np.rint(np.asarray(cost, dtype=np.float64) / STEP) * STEP


def _as_choice(problem: Problem, picks: tuple[int, ...], bound: float) -> Choice:
    """Return the choice; no total lies strictly between two steps, so the bound rises to one."""
    score = problem.total(picks)
    clashes = sum(bool(table[picks[i], picks[j]] >= NEVER) for (i, j), table in problem.pairs.items())
    risen = score if bound >= score else float(np.ceil(bound / STEP - 0.1)) * STEP
    return Choice(picks, score, min(score, risen), clashes)


def _descended(problem: Problem) -> tuple[int, ...]:
    """Return the best of a few greedy choices, each bettered line by line."""
    beside: list[dict[int, Costs]] = [{} for _ in problem.costs]
    for (i, j), table in problem.pairs.items():
        beside[i][j], beside[j][i] = table, table.T
    there = list(range(len(beside)))
    orders = [there, there[::-1], sorted(there, key=lambda i: (len(problem.costs[i]), i))]
    return min((_greedy(problem, beside, order) for order in orders), key=problem.total)


def _greedy(problem: Problem, beside: Sequence[dict[int, Costs]], order: Sequence[int]) -> tuple[int, ...]:
    picks: dict[int, int] = {}
    for sweep in range(12):
        before = dict(picks)
        for i in order:
            seen = problem.costs[i].copy()
            for j, table in beside[i].items():
                if j in picks:
                    seen += table[:, picks[j]]
                elif not sweep:
                    seen += table.min(axis=1)
            picks[i] = int(np.argmin(seen))
        if picks == before:
            break
    return tuple(picks[i] for i in range(len(beside)))


def _narrowed(problem: Problem) -> tuple[tuple[int, ...], list[NDArray[np.intp]], Problem]:
    """Return the best choice found, the candidates that may be in a better one, and their problem shared out.

    Shared out, a problem is easy to descend: the better the bound, the better the choice found, and the
    more can be struck out.
    """
    kept = [np.arange(len(own)) for own in problem.costs]
    shared, best = problem, _descended(problem)
    for strike in range(STRIKES):
        shared = shared_out(shared, 1 if strike == 0 else ROUNDS)
        best = min(best, _back(_descended(shared), kept), key=problem.total)
        if strike == 1 and shared.size > SOLVABLE:
            best = searched(problem, best)
        stays = [np.flatnonzero(bound <= problem.total(best) - STEP / 2) for bound in shared.bounds()]
        before = sum(map(len, kept))
        kept = [own[s] for own, s in zip(kept, stays, strict=True)]
        if any(len(own) == 0 for own in kept):
            break
        shared = shared.only(stays)
        if strike > 0 and sum(map(len, kept)) > 0.97 * before:
            break
    return best, kept, shared


def _back(picks: Sequence[int], kept: Sequence[NDArray[np.intp]]) -> tuple[int, ...]:
    """Return picks among the kept candidates as picks among all."""
    return tuple(int(own[pick]) for own, pick in zip(kept, picks, strict=True))
