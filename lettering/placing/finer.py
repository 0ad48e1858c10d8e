"""A finer look: places all round the chosen ones, for each line those that suit where the others stand."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.geometry.rect import Rect
from lettering.placing.candidates import DIGITS, Candidates, around, bodies
from lettering.placing.look import MOST, STEP_MM, Look, kept, only, share
from lettering.placing.pairs import pair_of
from lettering.placing.placement import Shape, SpreadToPlace
from lettering.placing.weights import Weights

FINE_MM = 1.5
"""Distance between places of the finer look."""
CROWDED = 6.0
"""What a place costs in the finer look for each rule it breaks with another bubble, which may still move."""


def finer(spread: SpreadToPlace, look: Look, chosen: Sequence[Candidates], weights: Weights) -> Look:
    """Return new candidates round the `chosen` ones, which hold one candidate a line and are among them."""
    closer = [_closer(spread, look, chosen, index, weights) for index in range(len(chosen))]
    return Look(tuple(found for found, _ in closer), tuple(cost for _, cost in closer))


def _closer(
    spread: SpreadToPlace, look: Look, chosen: Sequence[Candidates], index: int, weights: Weights
) -> tuple[Candidates, NDArray[np.float64]]:
    """Return the chosen candidate of one line, and those that would do best while the others stay."""
    line, here = chosen[index].line, chosen[index]
    if line.held is not None:
        return look.found[index], look.cost[index]
    near = [_near(shape, here, chosen) for shape in line.shapes]
    before = look.found[index]
    shape = np.repeat(np.arange(len(near)), [len(centres) for centres in near])
    shape = np.concatenate([here.shape, shape, before.shape])
    centre = np.concatenate([here.centre, *near, before.centre])
    found, cost = kept(spread, bodies(line, shape, centre), weights, len(shape), False)
    seen = cost.copy()
    for other, one in enumerate(chosen):
        if other != index:
            both = (found, one) if index < other else (one, found)
            table = pair_of(spread, *both, weights, next_=abs(other - index) == 1, price=CROWDED)
            seen += table.reshape(-1)
    seen[(found.centre == here.centre).all(axis=1) & (found.shape == here.shape)] = -np.inf
    return only(found, cost, np.argsort(seen, kind="stable")[: min(MOST, share(spread))])


def _near(shape: Shape, here: Candidates, chosen: Sequence[Candidates]) -> Points:
    """Return centres (n, 2) round a chosen place, some with their top in line with another bubble's."""
    (x, y), reach = here.centre[0], STEP_MM * 0.67
    square = around(Rect(x, y, x, y).inset(-reach), FINE_MM)
    tops = np.array([one.box[0, 1] for one in chosen]) - shape.body[:, 1].min()
    level = np.unique(tops[np.abs(tops - y) <= reach].round(DIGITS))
    across = np.unique(square[:, 0])
    return np.concatenate([square, np.stack(np.meshgrid(across, level), axis=-1).reshape(-1, 2)])
