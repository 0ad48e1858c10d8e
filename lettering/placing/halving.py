"""Branch and bound over places: candidates are halved by where they lie until no half can hold a better one.

Candidates that lie near each other cost about alike with all others, so a half of a line's places has a bound
much nearer to its true cost than the whole (Land and Doig 1960, An Automatic Method of Solving Discrete
Programming Problems, Econometrica 28:497-520). The half with the lowest bound is looked at first. It counts
its work, not the clock, and draws no lots, so equal problems give equal choices.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count

import numpy as np
from numpy.typing import NDArray

from lettering.errors import stop_point
from lettering.geometry.contour import Points
from lettering.placing.bound import NEVER, Picks, Problem, Shared, rounded_off, shared_out
from lettering.placing.descent import descended
from lettering.placing.search import Search

Kept = Sequence[NDArray[np.intp]]
"""For each line the indices of candidates that may be in a better choice."""

OVERHEAD = 2_000
"""What a pair of lines costs beside its numbers, in numbers."""

SIDEWAYS = 1.5
"""Places are halved sideways unless they reach so much farther down: columns are read one after another."""


LARGE = 100_000
"""Pairs of candidates beyond which halves are searched too: their roundings alone are not good enough."""

SEARCHES, MOVES = 30, 300
"""How many of the first halves are searched from, and by how many moves."""


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """Some of the candidates of each line, and what is known of choices among them."""

    kept: Kept
    shared: Shared


def halved(
    problem: Problem, places: Sequence[Points], best: Picks, start: Shared, effort: float, slack: float
) -> tuple[Picks, float]:
    """Return the best choice found, at least as good as `best`, and the proven bound of all.

    `places` tells where the candidates of each line lie, (candidates, 2); `start` what is known of the whole;
    `effort` limits the work, counted in pairs of candidates looked at. A choice counts as better when it
    costs less by more than `slack`. Where two candidates of every choice exclude each other, that is all that
    is proven.
    """
    total, number = problem.total(best), count()
    searches = SEARCHES
    search = Search.of(problem) if problem.size > LARGE else None
    whole = _Part([np.arange(len(own)) for own in problem.costs], start)
    open_ = [(start.bound, next(number), whole)]
    while open_ and open_[0][0] <= min(total - slack, NEVER):
        if effort <= 0:
            return best, open_[0][0]
        *_, part = heappop(open_)
        for half in _halves(part, places, total - slack):
            stop_point()
            inner = problem.only(half.kept)
            effort -= inner.size + OVERHEAD * len(inner.pairs)
            shared = shared_out(inner, half.shared)
            found = descended(inner, rounded_off(inner, shared))
            found = tuple(int(own[pick]) for own, pick in zip(half.kept, found, strict=True))
            if search and searches:
                found = search.bettered(found, MOVES)
                searches -= 1
            best = min(best, found, key=problem.total)
            total = problem.total(best)
            if shared.bound <= total - slack:
                heappush(open_, (shared.bound, next(number), _Part(half.kept, shared)))
    return best, min(total, open_[0][0]) if open_ else total


def _halves(part: _Part, places: Sequence[Points], most: float) -> list[_Part]:
    """Return two halves of a part, without candidates whose bound is above `most`; none is left empty."""
    stays = [np.flatnonzero(lows <= most) for lows in part.shared.lows]
    if any(len(own) == 0 for own in stays):
        return []
    kept = [own[s] for own, s in zip(part.kept, stays, strict=True)]
    shared = part.shared.only(stays)
    line, first = _cut([own[k] for own, k in zip(places, kept, strict=True)])
    halves = []
    for chosen in (np.flatnonzero(first), np.flatnonzero(~first)):
        if len(chosen):
            picked = [np.arange(len(own)) for own in kept]
            picked[line] = chosen
            own = [k[p] for k, p in zip(kept, picked, strict=True)]
            halves.append(_Part(own, shared.only(picked)))
    return halves


def _cut(places: Sequence[Points]) -> tuple[int, NDArray[np.bool_]]:
    """Return the line whose places lie farthest apart, and which of them lie before their mean."""
    reach = np.array([own.std(axis=0) * (SIDEWAYS, 1.0) for own in places])
    line, axis = divmod(int(reach.argmax()), 2)
    if reach[line, axis] > 0:
        along = places[line][:, axis]
        return line, along < along.mean()
    # All in one place each: they differ in their stacks.
    line = max(range(len(places)), key=lambda i: len(places[i]))
    return line, np.arange(len(places[line])) < len(places[line]) // 2
