"""Where the bubbles of a spread go: candidates, hard rules, a choice, and a finer look round it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.placing import costs, rules
from lettering.placing.between import Between
from lettering.placing.bound import Pairs
from lettering.placing.broken import broken
from lettering.placing.candidates import Candidates, around, bodies, ending_at, grid, with_tails
from lettering.placing.choose import Choice, choose
from lettering.placing.placement import LineToPlace, PlacedSpread, Placement, SpreadToPlace
from lettering.placing.shortage import shortages
from lettering.placing.weights import HOUSE, Weights

SECONDS = 1.0
"""About how long a spread may take on a slow computer; the limit counts the solver's work, not the clock."""

STEP_MM = 9.0
"""First distance between places tried; the places chosen are then tried again much finer."""
FINE_MM = 1.5
"""Distance between places of the finer look."""
MOST = 80
"""Candidates kept for each line."""
MOST_HARD = 200
"""Candidates kept for each line of a spread that the first look could not solve."""
MOST_OF_ALL = 840
"""Candidates kept for all lines of a spread together: the work of a choice grows with their square."""
MOST_TRIED = 40_000
"""Bodies tried in one look, about: with more lines and shapes the places tried lie farther apart."""

HOPELESS = 3
"""Pairs of lines that still exclude each other in the first look, beyond which a finer look is no help."""

LIKELY = 3
"""Times as many candidates are given tails as are kept."""

PRICES = {rule: 60.0 * 2.5**rank for rank, rule in enumerate(rules.RULES)}
"""What breaking a rule costs when it cannot be kept: each more than two of the rule given up before it."""
DEPTH_PRICE = 2.0
"""What each mm costs by which a rule is broken, so that the least bad is chosen."""


@dataclass(frozen=True, slots=True)
class _Look:
    """Candidates of every line with what each costs."""

    found: tuple[Candidates, ...]
    cost: tuple[NDArray[np.float64], ...]


def place(spread: SpreadToPlace, *, seconds: float = SECONDS, weights: Weights = HOUSE) -> PlacedSpread:
    """Return the best layout of `spread`: every hard rule kept, or named in `broken`.

    The same spread always gives the same layout. `score` and `bound` concern the candidates considered.
    """
    if not spread.lines:
        return PlacedSpread(placements=(), score=0.0, bound=0.0)
    for step, most in ((STEP_MM, MOST), (STEP_MM / 2, MOST_HARD)):
        look = _look(spread, weights, step, most)
        choice = _choose(spread, look, weights, seconds / 4)
        if choice is not None and not choice.clashes:
            return _settled(spread, look, choice, weights, seconds / 4)
        if choice is not None and choice.clashes > HOPELESS:
            break
    look = _look(spread, weights, STEP_MM, MOST, lenient=True)
    choice = _choose(spread, look, weights, seconds / 4, lenient=True)
    if choice is None:
        raise AssertionError("every rule has a price, so a layout is always found")
    return _result(spread, look, choice)


def _look(spread: SpreadToPlace, weights: Weights, step: float, most: int, lenient: bool = False) -> _Look:
    """Return candidates of every line, fewer of each and farther apart where there are many lines."""
    safe, shapes = spread.frame.safe, sum(len(line.shapes) for line in spread.lines)
    step = max(step, math.sqrt(shapes * safe.width * safe.height / MOST_TRIED))
    most = min(most, _share(spread))
    looked = [_line(spread, line, weights, step, most, lenient) for line in spread.lines]
    return _Look(tuple(found for found, _ in looked), tuple(cost for _, cost in looked))


def _share(spread: SpreadToPlace) -> int:
    """Return how many candidates each line may have at most."""
    return max(MOST_OF_ALL // len(spread.lines), 1)


def _line(
    spread: SpreadToPlace, line: LineToPlace, weights: Weights, step: float, most: int, lenient: bool
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the candidates of one line and what each costs."""
    if line.held is not None:
        return _held(spread, line, line.held), np.zeros(1)
    return _priced(spread, bodies(line, *grid(spread, line, step)), weights, most, lenient)


def _priced(
    spread: SpreadToPlace, found: Candidates, weights: Weights, most: int, lenient: bool
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the best of the bodies `found` that keep the rules (or pay for it), with tails."""
    cell = _page_cell(spread, most) if lenient else CELL_MM
    fines = _fines(rules.bodies(spread, found), lenient)
    found, fines = _only(found, fines, np.flatnonzero(np.isfinite(fines)))
    cost = fines + costs.bodies(spread, found, weights)
    found, cost = _only(found, cost, _thinned(found, cost + costs.away(found, weights), LIKELY * most, cell))
    found = with_tails(spread, found)
    cost = cost + costs.tails(spread, found, weights) + _fines({"tail": rules.tails(spread, found)}, lenient)
    found, cost = _only(found, cost, np.flatnonzero(np.isfinite(cost)))
    return _only(found, cost, _thinned(found, cost, most, cell))


def _only(
    found: Candidates, cost: NDArray[np.float64], kept: NDArray[np.intp]
) -> tuple[Candidates, NDArray[np.float64]]:
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


CELL_MM = 20.0
"""The best candidate of every cell this wide has a chance before the second best of any."""


LEADERS = 2 / 3
"""Part of the kept candidates that the best of all cells may take."""


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


def _choose(
    spread: SpreadToPlace, look: _Look, weights: Weights, effort: float, lenient: bool = False
) -> Choice | None:
    if any(len(found) == 0 for found in look.found):
        return None
    pairs = _pairs(spread, look.found, weights, lenient)
    return choose(look.cost, pairs, [found.middle for found in look.found], effort=effort)


def _pairs(spread: SpreadToPlace, found: Sequence[Candidates], weights: Weights, lenient: bool) -> Pairs:
    """Return what every two lines cost together, infinite where they exclude each other."""
    tables = {}
    for (i, first), (j, second) in combinations(enumerate(found), 2):
        between = Between.of(first, second)
        both_held = first.line.held is not None and second.line.held is not None
        table = costs.together(spread, between, first, second, weights, next_=j == i + 1)
        for rule, clash in rules.together(between, first, second, spread.frame).items():
            table[clash] += PRICES[rule] if lenient or both_held else np.inf
        tables[i, j] = table
    return tables


def _settled(
    spread: SpreadToPlace, look: _Look, choice: Choice, weights: Weights, effort: float
) -> PlacedSpread:
    """Return the choice bettered among places all round the chosen ones, at a fine step."""
    closer = [
        _closer(spread, found, cost, pick, weights)
        for found, cost, pick in zip(look.found, look.cost, choice.picks, strict=True)
    ]
    fine = _Look(tuple(found for found, _ in closer), tuple(cost for _, cost in closer))
    better = _choose(spread, fine, weights, effort)
    if better is None or better.clashes or better.score > choice.score:
        return _result(spread, look, choice)
    return _result(spread, fine, better)


def _closer(
    spread: SpreadToPlace, found: Candidates, cost: NDArray[np.float64], pick: int, weights: Weights
) -> tuple[Candidates, NDArray[np.float64]]:
    if found.line.held is not None:
        return found, cost
    x, y = found.centre[pick]
    near = around(Rect(x, y, x, y).inset(-STEP_MM * 0.67), FINE_MM)
    shape = np.repeat(np.arange(len(found.line.shapes)), len(near))
    shape = np.concatenate([shape, found.shape])
    centre = np.concatenate([np.tile(near, (len(found.line.shapes), 1)), found.centre])
    return _priced(spread, bodies(found.line, shape, centre), weights, min(MOST, _share(spread)), False)


def _result(spread: SpreadToPlace, look: _Look, choice: Choice) -> PlacedSpread:
    chosen = tuple(found.only(np.array([p])) for found, p in zip(look.found, choice.picks, strict=True))
    wrong = broken(spread, chosen)
    short = shortages(spread, chosen, wrong)
    return PlacedSpread(
        placements=tuple(_placement(one) for one in chosen),
        score=choice.score,
        bound=choice.bound,
        broken=wrong,
        missing=tuple(map(str, short)),
        advice=tuple(one.advice for one in short),
    )


def _placement(one: Candidates) -> Placement:
    tips = tuple(Point(*map(float, tail.tip[0].round(3))) for tail in one.tails)
    if (held := one.line.held) is not None:
        return held if len(held.tips) == len(tips) else replace(held, tips=tips)
    return Placement(
        line=one.line.line,
        shape=int(one.shape[0]),
        centre=Point(*map(float, one.centre[0].round(3))),
        tips=tips,
    )
