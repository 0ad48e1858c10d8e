"""The choice of one candidate for each line: least total cost, with a proven lower bound.

The problem is general: every line has candidates with a cost each, every two lines may have a table of what
two candidates cost together (infinite: never together). Each step is exact: a quick descent finds a good
choice; candidates that cannot be in a better one are struck out; what is left is halved place by place where
places are known, and goes to a constraint solver where it is small.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.placing.bound import (
    NEVER,
    Costs,
    Pairs,
    Picks,
    Problem,
    Shared,
    rounded_off,
    shared_out,
    unshared,
)
from lettering.placing.descent import descended, greedy
from lettering.placing.halving import halved
from lettering.placing.search import Search
from lettering.placing.solver import solved

STEP = 1e-3
"""Costs count in steps this large, so that totals compare exactly."""

EFFORT = 0.5
"""Most work a choice may take, about in seconds on a slow computer; it counts work, not the clock."""

A_SECOND = 60e6
"""Pairs of candidates that are looked at in about a second."""

ROUNDS = 6
"""Sweeps of sharing out between two strikes."""

STRIKES = 4
"""Most times that candidates are struck out from the whole before its parts are looked at."""

SOLVABLE = 20_000
"""Most pairs of candidates that cost something given to the solver: it cannot decide more."""

LARGE = 100_000
"""Pairs of candidates beyond which a search for a good choice is worth its time."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One candidate for each line."""

    picks: Picks
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


def choose(
    costs: Sequence[Costs], pairs: Pairs, places: Sequence[Points] | None = None, *, effort: float = EFFORT
) -> Choice | None:
    """Return the cheapest choice found, with the fewest clashes; none when a line has no candidate.

    `costs` holds one array of shape (candidates,) a line, finite; a pair's infinite cost forbids it, and
    counts `NEVER` in a choice that clashes. Costs are rounded to thousandths. `places` tells where candidates
    lie, (candidates, 2) a line: with it far more is proven. `effort` limits the work. Equal input gives an
    equal choice.
    """
    if any(len(own) == 0 for own in costs):
        return None
    rounded = {pair: np.minimum(_rounded(table), NEVER) for pair, table in pairs.items()}
    problem = Problem(tuple(map(_rounded, costs)), rounded)
    best, kept, shared = _narrowed(problem)
    if any(len(own) == 0 for own in kept):
        return _as_choice(problem, best, problem.total(best))
    left, bound = problem.only(kept), shared.bound
    if places is not None:
        where = [own[k] for own, k in zip(places, kept, strict=True)]
        start = _within(best, kept)
        found, bound = halved(left, where, start, shared, effort * A_SECOND, STEP / 2)
        best = min(best, _back(found, kept), key=problem.total)
    undecided = bound < min(problem.total(best) - STEP / 2, NEVER)
    if undecided and left.priced <= SOLVABLE:
        picks, bound = solved(left, bound, effort, _within(best, kept))
        if picks is not None:
            best = min(best, _back(picks, kept), key=problem.total)
    return _as_choice(problem, best, bound)


def _rounded(cost: Costs) -> Costs:
    return np.rint(np.asarray(cost, dtype=np.float64) / STEP) * STEP


def _as_choice(problem: Problem, picks: Picks, bound: float) -> Choice:
    """Return the choice; no total lies strictly between two steps, so the bound rises to one."""
    score = problem.total(picks)
    clashes = sum(bool(table[picks[i], picks[j]] >= NEVER) for (i, j), table in problem.pairs.items())
    risen = score if bound >= score else float(np.ceil(bound / STEP - 0.1)) * STEP
    return Choice(picks, score, min(score, risen), clashes)


def _narrowed(problem: Problem) -> tuple[Picks, list[NDArray[np.intp]], Shared]:
    """Return the best choice found, the candidates that may be in one as good, and what is known of those.

    The better the bound, the better the choice found, and the more can be struck out.
    """
    kept = [np.arange(len(own)) for own in problem.costs]
    best, left, shared = greedy(problem), problem, unshared(problem)
    for strike in range(STRIKES):
        shared = shared_out(left, shared, 1 if strike == 0 else ROUNDS)
        found = descended(left, rounded_off(left, shared))
        best = min(best, _back(found, kept), key=problem.total)
        if strike == 1 and left.size > LARGE and (search := Search.of(problem)):
            best = search.bettered(best)
        stays = [np.flatnonzero(lows <= problem.total(best) + STEP / 2) for lows in shared.lows]
        before = sum(map(len, kept))
        kept = [own[s] for own, s in zip(kept, stays, strict=True)]
        left, shared = left.only(stays), shared.only(stays)
        if strike > 0 and sum(map(len, kept)) > 0.9 * before:
            break
    return best, kept, shared


def _back(picks: Sequence[int], kept: Sequence[NDArray[np.intp]]) -> Picks:
    """Return picks among the kept candidates as picks among all."""
    return tuple(int(own[pick]) for own, pick in zip(kept, picks, strict=True))


def _within(picks: Sequence[int], kept: Sequence[NDArray[np.intp]]) -> Picks:
    """Return picks among all as picks among the kept candidates, which hold them."""
    return tuple(int(np.searchsorted(own, pick)) for own, pick in zip(kept, picks, strict=True))
