"""What every two candidates of two lines cost together."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from lettering.errors import stop_point
from lettering.placing import costs, rules
from lettering.placing.between import Between
from lettering.placing.bound import Pairs
from lettering.placing.candidates import Candidates
from lettering.placing.placement import SpreadToPlace
from lettering.placing.weights import Weights

PRICES = {rule: 60.0 * 2.5**rank for rank, rule in enumerate(rules.RULES)}
"""What breaking a rule costs when it cannot be kept: each more than two of the rule given up before it."""


def pairs_of(spread: SpreadToPlace, found: Sequence[Candidates], weights: Weights, lenient: bool) -> Pairs:
    """Return what every two lines cost together, infinite where they exclude each other."""
    tables = {}
    for (i, first), (j, second) in combinations(enumerate(found), 2):
        both_held = first.line.held is not None and second.line.held is not None
        price = None if lenient or both_held else np.inf
        tables[i, j] = pair_of(spread, first, second, weights, next_=j == i + 1, price=price)
    return tables


def pair_of(
    spread: SpreadToPlace,
    first: Candidates,
    second: Candidates,
    weights: Weights,
    *,
    next_: bool,
    price: float | None,
) -> NDArray[np.float64]:
    """Return what two lines cost together, (n, m), each broken rule at `price`, or at its own if none."""
    stop_point()
    between = Between.of(first, second)
    table = costs.together(spread, between, first, second, weights, next_=next_)
    for rule, clash in rules.together(between, first, second, spread.frame).items():
        table[clash] += PRICES[rule] if price is None else price
    return table
