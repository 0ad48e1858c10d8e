"""The shortest vector whose products keep within bounds: a least-distance programme, from the dual side.

The method is that of Goldfarb and Idnani, "A numerically stable dual method for solving strictly convex
quadratic programs" (1983), with the unit matrix for its Hessian: it starts from no vector at all, which meets
no demand but costs nothing, and takes up the demand that is missed most until none is. The demands it holds
are kept as an orthonormal basis and a triangle, so that taking one up or letting one go costs little. The
length only grows on the way, so a programme without an answer is known early.

Loops go number by number: whole rows at once take seconds to compile, and are no faster.
"""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled

Floats = NDArray[np.float64]

MISSED = 1e-9
"""By how much a demand may be missed."""
FLAT = 1e-9
"""A demand adds nothing to those held when so little of it, as a share, stands square to them."""
MOST_STEPS = 40
"""Steps for each number of the vector after which a programme counts as having no answer."""


def shortest(columns: Floats, low: Floats, high: Floats, longest: float) -> Floats | None:
    """Return the shortest z (n,) with low <= z @ columns <= high, all three (m,), or none.

    `columns` has shape (n, m). There is none when the bounds contradict each other, or when z would be longer
    than `longest`.
    """
    z = np.zeros(len(columns))
    return z if _shortened(columns, low, high, longest, z) else None


@compiled
def _shortened(columns: Floats, low: Floats, high: Floats, longest: float, z: Floats) -> bool:
    """Find the shortest vector in `z`, which comes as zeros; tell whether there is one."""
    size = len(z)
    # Rows of the basis are orthonormal, and held demand i is the sum of them by row i of the triangle.
    basis, triangle = np.zeros((size, size)), np.zeros((size, size))
    pull, share, rest = np.zeros(size), np.zeros(size), np.zeros(size)
    got, asked = np.zeros(len(low)), np.zeros(size)
    count, own, missed = 0, 0.0, _most_missed(columns, got, (low, high), asked)
    for _ in range(MOST_STEPS * size):
        if missed <= MISSED:
            return True
        _parted(basis, count, asked, share, rest)
        yields = _solved(triangle, share, count)
        give, free = np.inf, -1
        for i in range(count):
            if yields[i] > 0 and pull[i] < give * yields[i]:
                give, free = pull[i] / yields[i], i
        square = _squared(rest)
        stands = count < size and square > FLAT**2 * _squared(asked)
        reach = missed / square if stands else np.inf
        step = min(give, reach)
        if step == np.inf:
            return False
        for i in range(count):
            pull[i] -= step * yields[i]
        own += step
        if stands:
            _add(z, step, rest)
            missed -= step * square
            _add(got, step, rest @ columns)
            if _squared(z) > longest**2:
                return False
        if reach <= give:
            _take_up(basis, triangle, share, rest, count)
            pull[count] = own
            count, own, missed = count + 1, 0.0, _most_missed(columns, got, (low, high), asked)
        else:
            _let_go(basis, triangle, free, count)
            for i in range(free, count - 1):
                pull[i] = pull[i + 1]
            count -= 1
    return False


@compiled
def _most_missed(columns: Floats, got: Floats, bounds: tuple[Floats, Floats], asked: Floats) -> float:
    """Put into `asked` the demand that is missed most, as products >= something; return by how much it is."""
    low, high = bounds
    most, which, way = -np.inf, 0, 1.0
    for i in range(len(got)):
        if low[i] - got[i] > most:
            most, which, way = low[i] - got[i], i, 1.0
        if got[i] - high[i] > most:
            most, which, way = got[i] - high[i], i, -1.0
    for j in range(len(asked)):
        asked[j] = way * columns[j, which]
    return most


@compiled
def _parted(basis: Floats, count: int, demand: Floats, share: Floats, rest: Floats) -> None:
    """Part a demand into its share of each row of the basis and the rest, which stands square to them."""
    for i in range(count):
        share[i] = 0.0
    for j in range(len(rest)):
        rest[j] = demand[j]
    before, after = np.inf, _squared(rest)
    # Once more while so much goes that what is left is largely rounding (Daniel et al. 1976).
    while after < before / 2:
        along = basis[:count] @ rest
        for i in range(count):
            share[i] += along[i]
            _add(rest, -along[i], basis[i])
        before, after = after, _squared(rest)


@compiled
def _squared(what: Floats) -> float:
    total = 0.0
    for i in range(len(what)):
        total += what[i] * what[i]
    return total


@compiled
def _add(to: Floats, times: float, what: Floats) -> None:
    for i in range(len(to)):
        to[i] += times * what[i]


@compiled
def _solved(triangle: Floats, right: Floats, count: int) -> Floats:
    """Return x such that the first `count` rows of `triangle`, each times its x, add up to `right`."""
    x = right[:count].copy()
    for i in range(count - 1, -1, -1):
        x[i] /= triangle[i, i]
        _add(x[:i], -x[i], triangle[i, :i])
    return x


@compiled
def _take_up(basis: Floats, triangle: Floats, share: Floats, rest: Floats, count: int) -> None:
    """Hold one demand more, by its share of those held and what stands square to them."""
    length = np.sqrt(_squared(rest))
    for j in range(len(rest)):
        basis[count, j] = rest[j] / length
    for i in range(count):
        triangle[count, i] = share[i]
    triangle[count, count] = length


@compiled
def _let_go(basis: Floats, triangle: Floats, free: int, count: int) -> None:
    """Drop a held demand: its row goes, and turns of two columns at a time make a triangle of the rest."""
    for i in range(free, count - 1):
        for k in range(i + 2):
            triangle[i, k] = triangle[i + 1, k]
    for i in range(free, count - 1):
        length = np.hypot(triangle[i, i], triangle[i, i + 1])
        c, s = triangle[i, i] / length, triangle[i, i + 1] / length
        for k in range(i, count - 1):
            _turn(triangle[k, i : i + 1], triangle[k, i + 1 : i + 2], c, s)
        _turn(basis[i], basis[i + 1], c, s)


@compiled
def _turn(first: Floats, second: Floats, c: float, s: float) -> None:
    for i in range(len(first)):
        a, b = first[i], second[i]
        first[i], second[i] = c * a + s * b, c * b - s * a
