"""Ink matched to the reading: the likeliest way to deal a row's pieces out to its characters.

A dynamic programme over (characters read, pieces used) looks at every way at once: one to four pieces a
letter, pieces that are no letter, letters that left no ink, letters run together in one piece. The same
recursion with sums for maxima gives each letter's probability among all the ways.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Costs = NDArray[np.float64]

MOST_PIECES = 4
"""Pieces in one letter: a percent sign, or a broken stroke under an accent."""
MOST_TOUCHING = 6
"""Letters run together in one piece of ink; more is joined writing."""
TOUCHING = 4.0
"""Cost of each join between letters that should stand apart (nats)."""
MISSING = 16.0
"""Cost of a letter without ink."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RowCosts:
    """What every possible step costs in one row of n pieces and m characters, spaces apart (nats)."""

    single: dict[int, Costs]
    """For g pieces: shape (n - g + 1, m), pieces i..i+g-1 being character k; inf when impossible."""
    joined: dict[tuple[int, int], Costs]
    """For (g pieces, t characters): shape (n - g + 1, m - t + 1)."""
    start: Costs
    """Shape (n + 1, m): character k beginning at piece i, for the gap before it."""
    stray: Costs
    """Shape (n,): piece i being no letter at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Some characters, and the pieces that are theirs."""

    chars: tuple[int, ...]
    """Indices of characters; more than one when they touch."""
    pieces: tuple[int, ...]
    """Indices of pieces; none when the character left no ink."""
    probability: float
    cost: float
    """How ill the ink fits (nats)."""


def match_row(costs: RowCosts) -> tuple[Match, ...]:
    """Return the likeliest dealing of pieces to characters, in reading order, with their probabilities."""
    steps = _steps(costs)
    forward, backward = _forward(costs, steps, np.logaddexp), _backward(costs, steps)
    best = _forward(costs, steps, np.maximum)
    total = forward[-1][-1]
    matches = []
    for step, i, k in _traced(costs, steps, best):
        cost = float(step.cost[i, k])
        after = backward[k + step.chars][i + step.pieces]
        chance = float(np.exp(forward[k][i] - costs.start[i, k] * bool(step.pieces) - cost + after - total))
        matches.append(
            Match(
                chars=tuple(range(k, k + step.chars)),
                pieces=tuple(range(i, i + step.pieces)),
                probability=min(chance, 1.0),
                cost=cost,
            )
        )
    return tuple(matches)


def likeliest_cost(costs: RowCosts) -> float:
    """Return what the likeliest dealing costs in all, strays and gaps too (nats)."""
    return -float(_forward(costs, _steps(costs), np.maximum)[-1][-1])


def likely_runs(costs: RowCosts, within: float) -> Iterator[tuple[int, int, int, int]]:
    """Yield the runs of joined letters on ways at most `within` nats dearer than the best.

    Each as its number of pieces, number of characters, first piece and first character.
    """
    steps = _steps(costs)
    forward, backward = _forward(costs, steps, np.maximum), _backward(costs, steps, np.maximum)
    for (pieces, chars), cost in costs.joined.items():
        step = _Step(pieces, chars, cost)
        for k in range(cost.shape[1]):
            ahead = backward[k + chars][pieces:]
            through = _gained(costs, step, forward[k], k) + ahead
            for i in np.flatnonzero(through > forward[-1][-1] - within):
                yield pieces, chars, int(i), k


@dataclass(frozen=True, slots=True, eq=False)
class _Step:
    pieces: int
    chars: int
    cost: Costs


def _steps(costs: RowCosts) -> list[_Step]:
    n, m = costs.start.shape
    missing = _Step(0, 1, np.full((n, m), MISSING))
    singles = [_Step(g, 1, cost) for g, cost in costs.single.items()]
    return [missing, *singles, *(_Step(g, t, cost) for (g, t), cost in costs.joined.items())]


def _forward(costs: RowCosts, steps: Sequence[_Step], join: np.ufunc) -> list[Costs]:
    """Return for each count of characters read the log weight of having used i pieces, shape (n + 1,)."""
    n, m = len(costs.stray), costs.start.shape[1]
    paid = np.concatenate([[0.0], np.cumsum(costs.stray)])
    state = [np.full(n + 1, -np.inf) for _ in range(m + 1)]
    state[0][0] = 0.0
    for k in range(m + 1):
        state[k] = join.accumulate(state[k] + paid) - paid
        for step in steps:
            if k + step.chars <= m:
                gained = _gained(costs, step, state[k], k)
                join(state[k + step.chars][step.pieces :], gained, out=state[k + step.chars][step.pieces :])
    return state


def _gained(costs: RowCosts, step: _Step, state: Costs, k: int) -> Costs:
    """Return the log weights after taking `step` from each place it can be taken, shape (n + 1 - pieces,)."""
    count = max(len(state) - step.pieces, 0)
    start = costs.start[:count, k] if step.pieces else 0.0
    gained: Costs = state[:count] - start - step.cost[:count, k]
    return gained


def _backward(costs: RowCosts, steps: Sequence[_Step], join: np.ufunc = np.logaddexp) -> list[Costs]:
    """Return for each count of characters read the log weight of all ways to the end, shape (n + 1,)."""
    n, m = len(costs.stray), costs.start.shape[1]
    paid = np.concatenate([[0.0], np.cumsum(costs.stray)])
    state = [np.full(n + 1, -np.inf) for _ in range(m + 1)]
    state[m][n] = 0.0
    for k in range(m, -1, -1):
        for step in steps:
            if k + step.chars <= m:
                ahead = state[k + step.chars][step.pieces :]
                here = state[k][: len(ahead)]
                join(here, _gained(costs, step, _padded(ahead, n + 1), k), out=here)
        state[k] = join.accumulate((state[k] - paid)[::-1])[::-1] + paid
    return state


def _padded(ahead: Costs, length: int) -> Costs:
    return np.concatenate([ahead, np.full(length - len(ahead), -np.inf)])


def _traced(costs: RowCosts, steps: Sequence[_Step], best: Sequence[Costs]) -> list[tuple[_Step, int, int]]:
    """Return the steps of the likeliest way with the piece and the character each starts at."""
    k, i = len(best) - 1, len(best[0]) - 1
    way: list[tuple[_Step, int, int]] = []
    while k or i:
        options = [
            (float(_gained(costs, step, best[k - step.chars], k - step.chars)[i - step.pieces]), step)
            for step in steps
            if step.chars <= k and step.pieces <= i
        ]
        value, step = max(options, key=lambda option: option[0], default=(-np.inf, steps[0]))
        if i and best[k][i - 1] - costs.stray[i - 1] >= value:
            i -= 1
            continue
        k, i = k - step.chars, i - step.pieces
        way.append((step, i, k))
    return way[::-1]
