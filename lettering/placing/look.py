"""Candidates of every line of a spread, and what each costs alone."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.errors import stop_point
from lettering.placing import costs, rules
from lettering.placing.candidates import Candidates, bodies, grid
from lettering.placing.pairs import PRICES
from lettering.placing.placement import LineToPlace, Placement, SpreadToPlace
from lettering.placing.springing import ending_at, with_tails
from lettering.placing.weights import Weights

STEP_MM = 9.0
"""First distance between places tried; the places chosen are then tried again much finer."""
MOST = 80
"""Candidates kept for each line."""
MOST_OF_ALL = 840
"""Candidates kept for all lines of a spread together: the work of a choice grows with their square."""
MOST_TRIED = 40_000
"""Bodies tried in one look, about: with more lines and shapes the places tried lie farther apart."""

CELL_MM = 20.0
"""The best candidate of every cell this wide has a chance before the second best of any."""

LEADERS = 2 / 3
"""Part of the kept candidates that the best of all cells may take."""

LIKELY = 3
"""Times as many candidates are given tails as are kept."""

DEPTH_PRICE = 2.0
"""What each mm costs by which a rule is broken, so that the least bad is chosen."""


@dataclass(frozen=True, slots=True)
class Look:
    """Candidates of every line with what each costs."""

    found: tuple[Candidates, ...]
    cost: tuple[NDArray[np.float64], ...]


def look_at(spread: SpreadToPlace, weights: Weights, step: float, most: int, lenient: bool = False) -> Look:
    """Return candidates of every line, fewer of each and farther apart where there are many lines."""
    safe, shapes = spread.frame.safe, sum(len(line.shapes) for line in spread.lines)
    step = max(step, math.sqrt(shapes * safe.width * safe.height / MOST_TRIED))
    most = min(most, share(spread))
    looked = [_line(spread, line, weights, step, most, lenient) for line in spread.lines]
    return Look(tuple(found for found, _ in looked), tuple(cost for _, cost in looked))


def share(spread: SpreadToPlace) -> int:
    """Return how many candidates each line may have at most."""
    return max(MOST_OF_ALL // len(spread.lines), 1)


def _line(
    spread: SpreadToPlace, line: LineToPlace, weights: Weights, step: float, most: int, lenient: bool
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the candidates of one line and what each costs."""
    stop_point()
    if line.held is not None:
        held = _held(spread, line, line.held)
        return held, costs.bodies(spread, held, weights) + costs.tails(spread, held, weights)
    return _priced(spread, bodies(line, *grid(spread, line, step)), weights, most, lenient)


def _priced(
    spread: SpreadToPlace, found: Candidates, weights: Weights, most: int, lenient: bool
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the best of the bodies `found` that keep the rules (or pay for it), with tails."""
    cell = _page_cell(spread, most) if lenient else CELL_MM
    found, cost = kept(spread, found, weights, LIKELY * most, lenient, cell)
    return only(found, cost, _thinned(found, cost, most, cell))


def kept(
    spread: SpreadToPlace,
    found: Candidates,
    weights: Weights,
    most: int,
    lenient: bool,
    cell: float = CELL_MM,
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the bodies `found` that keep the rules (or pay for it), at most `most`, with tails."""
    fines = _fines(rules.bodies(spread, found), lenient)
    found, fines = only(found, fines, np.flatnonzero(np.isfinite(fines)))
    cost = fines + costs.bodies(spread, found, weights)
    found, cost = only(found, cost, _thinned(found, cost + costs.away(found, weights), most, cell))
    found = with_tails(spread, found)
    cost = cost + costs.tails(spread, found, weights) + _fines({"tail": rules.tails(spread, found)}, lenient)
    return only(found, cost, np.flatnonzero(np.isfinite(cost)))


def only(
    found: Candidates, cost: NDArray[np.float64], kept: NDArray[np.intp]
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the kept candidates with what they cost."""
    return found.only(kept), cost[kept]


def _fines(depths: dict[str, NDArray[np.float64]], lenient: bool) -> NDArray[np.float64]:
    """Return what each candidate pays for the rules it breaks: everything, unless `lenient`."""
    fines = [
        np.where(depth > 0, PRICES[rule] + DEPTH_PRICE * depth if lenient else np.inf, 0.0)
        for rule, depth in depths.items()
    ]
    return np.asarray(np.sum(fines, axis=0))


def _held(spread: SpreadToPlace, line: LineToPlace, held: Placement) -> Candidates:
    """Return the only candidate of a line that must not move, with the tips it had."""
    here = bodies(line, np.array([held.shape]), np.array([(held.centre.x, held.centre.y)]))
    found = with_tails(spread, here)
    if len(held.tips) != len(found.tails):
        return found
    return ending_at(spread, found, [np.array([(tip.x, tip.y)]) for tip in held.tips])


def _page_cell(spread: SpreadToPlace, most: int) -> float:
    """Return the width of cells, mm, so large that the leaders cover the page: a crowd needs every corner."""
    safe = spread.frame.safe
    return max(CELL_MM, math.sqrt(safe.width * safe.height / (LEADERS * most)))


def _thinned(found: Candidates, cost: NDArray[np.float64], most: int, cell: float) -> NDArray[np.intp]:
    """Return the indices of at most `most` candidates: the best of each cell, then the best of the rest."""
    by_cost = np.argsort(cost, kind="stable")
    if len(cost) <= most:
        return by_cost
    cells = np.floor(found.middle[by_cost] / cell).astype(int)
    _, first = np.unique(cells, axis=0, return_index=True)
    leaders = np.sort(first)[: int(most * LEADERS)]
    rest = np.setdiff1d(np.arange(len(cost)), leaders)[: most - len(leaders)]
    best: NDArray[np.intp] = by_cost[np.sort(np.concatenate([leaders, rest]))]
    return best
