"""The constraint solver, for what neither descent nor bounds could decide."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lettering.placing.bound import NEVER, Picks, Problem

FINE = 1e-3
"""The solver counts in whole numbers of these, the steps of all costs."""


def solved(
    problem: Problem, least: float, effort: float, hint: Picks | None = None
) -> tuple[Picks | None, float]:
    """Return the cheapest choice found within `effort`, none if there is none, and its proven bound.

    Costs are whole thousandths; `least` is a bound already known, `hint` a choice to begin with.
    """
    # The solver takes long to load, and most spreads are decided without it.
    from ortools.sat.python import cp_model  # noqa: PLC0415

    model = cp_model.CpModel()
    lines = [[model.new_bool_var("") for _ in own] for own in problem.costs]
    terms: list[tuple[Any, int]] = []
    for own, cost in zip(lines, problem.costs, strict=True):
        model.add_exactly_one(own)
        terms += zip(own, _whole(cost).tolist(), strict=True)
    for (i, j), table in sorted(problem.pairs.items()):
        terms += _pair(model, lines[i], lines[j], table)
    cost = _sum(terms)
    model.add(cost >= int(np.floor(least / FINE)))
    model.minimize(cost)
    for own, pick in zip(lines, hint or (), strict=bool(hint)):
        for number, variable in enumerate(own):
            model.add_hint(variable, number == pick)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None, np.inf
    bound = max(least, solver.best_objective_bound * FINE)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, bound
    return tuple(next(n for n, v in enumerate(own) if solver.boolean_value(v)) for own in lines), bound


def _pair(
    model: Any, first: Sequence[Any], second: Sequence[Any], table: NDArray[np.float64]
) -> list[tuple[Any, int]]:
    """Add what two lines cost together to the model; return the terms of the total."""
    never = table >= NEVER
    for variable, row in zip(first, never, strict=True):
        if row.any():
            model.add_at_most_one([variable, *(second[b] for b in np.flatnonzero(row).tolist())])
    least = np.where(never.all(axis=1), 0.0, table.min(axis=1))
    more = _whole(np.where(never, 0.0, table - least[:, None]))
    terms = list(zip(first, _whole(least).tolist(), strict=True))
    if not more.any():
        return terms
    paid = model.new_int_var(0, int(more.max()), "")
    for variable, row in zip(first, more, strict=True):
        if row.any():
            # With `variable` chosen the pair pays its price; without it the row asks nothing.
            most = int(row.max())
            asked = [(second[b], int(row[b])) for b in np.flatnonzero(row).tolist()]
            model.add(_sum([*asked, (variable, most), (paid, -1)]) <= most)
    return [*terms, (paid, 1)]


def _sum(terms: Sequence[tuple[Any, int]]) -> Any:
    from ortools.sat.python.cp_model import LinearExpr  # noqa: PLC0415 - as above

    return LinearExpr.weighted_sum([variable for variable, _ in terms], [price for _, price in terms])


def _whole(cost: NDArray[np.float64]) -> NDArray[np.int64]:
    return np.rint(cost / FINE).astype(np.int64)
