"""The alignment against every possible alignment, one by one."""

from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.capture.letters.matching import MISSING, RowCosts, match_row


def all_ways(costs: RowCosts, i: int = 0, k: int = 0) -> Iterator[tuple[float, tuple[tuple[int, int], ...]]]:
    """Yield the cost of every way to deal pieces from i on to characters from k on, with its matches."""
    n, m = len(costs.stray), costs.start.shape[1]
    if i == n and k == m:
        yield 0.0, ()
    if i < n:
        yield from ((costs.stray[i] + cost, way) for cost, way in all_ways(costs, i + 1, k))
    if k < m:
        yield from ((MISSING + cost, ((0, 1), *way)) for cost, way in all_ways(costs, i, k + 1))
    steps = [(g, 1, cost) for g, cost in costs.single.items()]
    steps += [(g, t, cost) for (g, t), cost in costs.joined.items()]
    for g, t, cost in steps:
        if i + g <= n and k + t <= m:
            price = costs.start[i, k] + cost[i, k]
            yield from ((price + rest, ((g, t), *way)) for rest, way in all_ways(costs, i + g, k + t))


def some_costs(n: int, m: int, seed: int) -> RowCosts:
    """Return random costs of n pieces and m characters."""
    rng = np.random.default_rng(seed)
    return RowCosts(
        single={g: rng.uniform(0, 9, (n - g + 1, m)) for g in (1, 2) if g <= n},
        joined={(1, 2): rng.uniform(4, 15, (n, m - 1))} if m > 1 else {},
        start=rng.uniform(0, 5, (n + 1, m)),
        stray=rng.uniform(3, 15, n),
    )


@given(st.integers(1, 4), st.integers(1, 4), st.integers(0, 10**6))
def test_the_alignment_is_the_cheapest_of_all(n: int, m: int, seed: int) -> None:
    """No other way to deal the pieces out costs less (brute force over all ways)."""
    costs = some_costs(n, m, seed)
    cheapest, way = min(all_ways(costs))
    found = match_row(costs)

    assert tuple((len(match.pieces), len(match.chars)) for match in found) == way
    assert sum(match.cost for match in found) <= cheapest + 1e-9


@given(st.integers(1, 3), st.integers(1, 3), st.integers(0, 10**6))
def test_the_first_letter_s_probability_is_its_share_of_all_ways(n: int, m: int, seed: int) -> None:
    """A match is as probable as the weight of the ways that contain it (brute force over all ways)."""
    costs = some_costs(n, m, seed)
    first = match_row(costs)[0]
    if first.pieces[:1] != (0,):
        return
    ways = list(all_ways(costs))
    weight = sum(np.exp(-cost) for cost, _ in ways)
    step = (len(first.pieces), len(first.chars))
    table = costs.joined[step] if step[1] > 1 else costs.single[step[0]]
    price = costs.start[0, 0] + table[0, 0]
    rest = sum(np.exp(-cost) for cost, _ in all_ways(costs, *step))

    assert first.probability == pytest.approx(np.exp(-price) * rest / weight, rel=1e-6)
