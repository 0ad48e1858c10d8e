"""The exact choice of one candidate for each line: least total cost, with a proven lower bound.

The problem is general: every line has candidates with a cost each, every two lines may have a table of what
two candidates cost together (infinite: never together). Three steps, each exact: a quick descent finds a
good choice; candidates that cannot be in a better one are struck out; what is left goes to the solver.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Costs = NDArray[np.float64]
Pairs = Mapping[tuple[int, int], Costs]
"""By two lines, first < second: shape (candidates of the first, of the second); infinite for never."""

SCALE = 1000
"""Costs are compared in thousandths: the solver counts in whole numbers."""

EFFORT = 1.5
"""Most work the solver may do, in its own deterministic seconds: the same on every machine."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One candidate for each line."""

    picks: tuple[int, ...]
    score: float
    """Total cost."""
    bound: float
    """Proven: no choice costs less."""

    @property
    def proven(self) -> bool:
        """Whether no better choice exists among the candidates."""
        return self.score <= self.bound + 0.5 / SCALE


def choose(costs: Sequence[Costs], pairs: Pairs, *, effort: float = EFFORT) -> Choice | None:
    """Return the cheapest choice, or the best found within `effort`; none when every choice is forbidden.

    `costs` holds one array of shape (candidates,) a line, finite; deterministic for equal input.
    """
    if any(len(own) == 0 for own in costs):
        return None
    tables = _both_ways(pairs)
    start = _descend(costs, tables)
    kept = _worth_keeping(costs, tables, start)
    if kept is None:
        return start
    if start is not None and all(len(k) == 1 for k in kept):
        return Choice(start.picks, start.score, start.score)
    return _solve(costs, pairs, kept, start, effort)


def total(picks: Sequence[int], costs: Sequence[Costs], pairs: Pairs) -> float:
    """Return what a choice costs."""
    alone = sum(float(own[pick]) for own, pick in zip(costs, picks, strict=True))
    return alone + sum(float(table[picks[i], picks[j]]) for (i, j), table in pairs.items())


Tables = Mapping[int, Mapping[int, Costs]]


def _both_ways(pairs: Pairs) -> Tables:
    """Return the tables by line and other line, rows always for the first of the two."""
    found: dict[int, dict[int, Costs]] = {}
    for (i, j), table in pairs.items():
        found.setdefault(i, {})[j] = table
        found.setdefault(j, {})[i] = table.T
    return found


def _descend(costs: Sequence[Costs], tables: Tables) -> Choice | None:
    """Return the best of a few greedy choices, each bettered line by line until nothing gains."""
    count = len(costs)
    orders = [list(range(count)), list(range(count))[::-1], sorted(range(count), key=lambda i: len(costs[i]))]
    found = [choice for order in orders if (choice := _greedy(costs, tables, order)) is not None]
    return min(found, key=lambda choice: choice.score, default=None)


def _greedy(costs: Sequence[Costs], tables: Tables, order: Sequence[int]) -> Choice | None:
    picks: dict[int, int] = {}
    for sweep in range(12):
        before = dict(picks)
        for i in order:
            seen = costs[i].copy()
            for j, table in tables.get(i, {}).items():
                if j in picks:
                    seen += table[:, picks[j]]
                elif not sweep:
                    seen += table.min(axis=1)
            picks[i] = int(np.argmin(seen))
        if picks == before:
            break
    chosen = tuple(picks[i] for i in range(len(costs)))
    score = sum(float(costs[i][p]) for i, p in enumerate(chosen)) + sum(
        float(table[chosen[i], chosen[j]]) for i, row in tables.items() for j, table in row.items() if i < j
    )
    return Choice(chosen, score, -np.inf) if np.isfinite(score) else None


def _worth_keeping(
    costs: Sequence[Costs], tables: Tables, best: Choice | None
) -> list[NDArray[np.intp]] | None:
    """Return for each line the candidates that may be in a choice as good as `best`; none when `best` is proven.

    A candidate cannot cost less than itself plus, for every other line, that line's cheapest candidate
    beside it.
    """
    kept = [np.arange(len(own)) for own in costs]
    most = best.score if best is not None else np.inf
    for _ in range(6):
        sizes = [len(k) for k in kept]
        for i in range(len(costs)):
            least = _least_with(i, costs, tables, kept)
            stays = np.isfinite(least) & (least <= most - 1 / SCALE)
            if best is not None:
                stays |= kept[i] == best.picks[i]
            kept[i] = kept[i][stays]
            if len(kept[i]) == 0:
                return None
        if sizes == [len(k) for k in kept]:
            break
    return kept


def _least_with(i: int, costs: Sequence[Costs], tables: Tables, kept: Sequence[NDArray[np.intp]]) -> Costs:
    """Return a lower bound of every choice that holds each kept candidate of line `i`."""
    least = costs[i][kept[i]].copy()
    for j in range(len(costs)):
        if j != i:
            table = tables.get(i, {}).get(j)
            alone = costs[j][kept[j]]
            least += alone.min() if table is None else (table[np.ix_(kept[i], kept[j])] + alone).min(axis=1)
    return least


def _solve(
    costs: Sequence[Costs],
    pairs: Pairs,
    kept: Sequence[NDArray[np.intp]],
    start: Choice | None,
    effort: float,
) -> Choice | None:
    """Return the solver's choice among the kept candidates."""
    # The solver is heavy to load and most single lines never need it.
    from ortools.sat.python import cp_model  # noqa: PLC0415

    model = cp_model.CpModel()
    picks = [[model.new_bool_var("") for _ in k] for k in kept]
    for own in picks:
        model.add_exactly_one(own)
    terms = [(var, _whole(cost)) for own, c, k in zip(picks, costs, kept, strict=True)
             for var, cost in zip(own, c[k], strict=True)]  # fmt: skip
    for (i, j), table in sorted(pairs.items()):
        terms += _pair(model, picks[i], picks[j], table[np.ix_(kept[i], kept[j])])
    model.minimize(cp_model.LinearExpr.weighted_sum([v for v, _ in terms], [c for _, c in terms]))
    if start is not None:
        for own, k, pick in zip(picks, kept, start.picks, strict=True):
            for var, index in zip(own, k, strict=True):
                model.add_hint(var, int(index) == pick)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return start
    chosen = tuple(
        int(k[next(n for n, var in enumerate(own) if solver.boolean_value(var))])
        for own, k in zip(picks, kept, strict=True)
    )
    score = total(chosen, costs, pairs)
    if start is not None and start.score < score:
        chosen, score = start.picks, start.score
    bound = score if status == cp_model.OPTIMAL else solver.best_objective_bound / SCALE
    return Choice(chosen, score, min(bound, score))


def _whole(cost: float) -> int:
    return round(float(cost) * SCALE)


def _pair(model, first, second, table: Costs):  # type: ignore[no-untyped-def]
    """Add what two lines cost together; return the terms of the total (variable, price)."""
    if table.shape[0] > table.shape[1]:
        first, second, table = second, first, table.T
    never = ~np.isfinite(table)
    for var, row in zip(first, never, strict=True):
        if row.any():
            model.add_at_most_one([var, *(second[b] for b in np.flatnonzero(row))])
    prices = np.rint(np.where(never, 0.0, table) * SCALE).astype(np.int64)
    base = prices.min(axis=1)
    terms = [(var, int(price)) for var, price in zip(first, base, strict=True) if price]
    prices -= base[:, None]
    if not prices.any():
        return terms
    paid = model.new_int_var(0, int(prices.max()), "")
    for var, row in zip(first, prices, strict=True):
        some = np.flatnonzero(row)
        if len(some):
            # With `var` chosen the pair pays its price; without it the row asks nothing.
            most = int(row.max())
            from ortools.sat.python import cp_model  # noqa: PLC0415

            model.add(
                paid
                >= cp_model.LinearExpr.weighted_sum(
                    [second[b] for b in some] + [var], [int(row[b]) for b in some] + [most]
                )
                - most
            )
    return terms + [(paid, 1)]
