"""The shortest vector within bounds is that of elementary geometry and of an independent solver."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import nnls

from lettering.bubbles.shortest import shortest

Floats = NDArray[np.float64]
NONE = np.array([np.inf])


def by_nnls(columns: Floats, low: Floats, high: Floats) -> Floats | None:
    """Return the same by Lawson & Hanson's LDP (Solving Least Squares Problems, 1974, chapter 23)."""
    asked, bounds = np.concatenate([columns, -columns], axis=1), np.concatenate([low, -high])
    table = np.concatenate([asked, bounds[None]])[:, np.isfinite(bounds)]
    goal = np.zeros(len(table))
    goal[-1] = 1
    residual = table @ nnls(table, goal)[0] - goal
    return None if residual[-1] > -1e-9 else -residual[:-1] / residual[-1]


def test_it_is_that_of_elementary_geometry() -> None:
    """The shortest vector beyond the line x + y = 2 is (1, 1)."""
    found = shortest(np.array([[1.0], [1.0]]), np.array([2.0]), NONE, 9.0)

    assert found == pytest.approx(np.array([1.0, 1.0]))


def test_nothing_asked_is_no_vector() -> None:
    """Bounds that hold at the origin are met there."""
    found = shortest(np.eye(3), np.full(3, -1.0), np.full(3, 1.0), 9.0)

    assert found == pytest.approx(np.zeros(3))


@pytest.mark.parametrize("gap", [1.0, 1e-3, 1e-6])
def test_contradictions_have_no_answer(gap: float) -> None:
    """Nothing is both above 1 and, by however little, below it."""
    columns = np.array([[1.0, 1.0], [0.0, 0.0]])

    assert shortest(columns, np.array([1.0, -np.inf]), np.array([np.inf, 1.0 - gap]), 9.0) is None


def test_a_vector_that_would_be_too_long_is_no_answer() -> None:
    """A bound that is met only farther out than allowed counts as not to be met."""
    columns, low = np.array([[0.1]]), np.array([1.0])

    assert shortest(columns, low, NONE, 11.0) == pytest.approx(np.array([10.0]))
    assert shortest(columns, low, NONE, 9.0) is None


@pytest.mark.parametrize("seed", range(40))
def test_it_is_that_of_non_negative_least_squares(seed: int) -> None:
    """Random programmes, some contradictory, some that say a thing twice, come out as by scipy."""
    random = np.random.default_rng(seed)
    size, count = int(random.integers(1, 12)), int(random.integers(1, 60))
    columns = random.normal(size=(size, count))
    columns[:, count // 2] = columns[:, 0]
    low = columns.T @ random.normal(size=size) - random.uniform(0, 1, count)
    high = low + random.uniform(0.2, 3, count)

    found, known = shortest(columns, low, high, 1e6), by_nnls(columns, low, high)

    assert (found is None) == (known is None)
    if found is not None and known is not None:
        assert found == pytest.approx(known, abs=1e-6)
        got = found @ columns
        assert max((low - got).max(), (got - high).max()) < 1e-8
