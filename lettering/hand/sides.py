"""The room that each side of each letter keeps, learnt from gaps that were left between letters.

A gap is taken as `constant + room(right side of the first) + room(left side of the second)` after the white
area of the facing sides has been accounted for. Rooms are drawn toward zero (ridge regression), and toward
one another where sides look alike: a letter seen seldom, or never, learns from those shaped like it. In the
terms of the literature this is kriging with a nugget, made robust by Huber's weights (Huber 1964, iterated).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lettering.hand.profile import HEIGHTS, Profile

OWN = 20.0
"""How far a side's room usually lies from that of sides shaped like it, font units (sd)."""
ALIKE = 30.0
"""How far the room of a whole family of shapes usually lies from zero, font units (sd)."""
SAME_SIDE = 15.0
"""… and how far the left and the right side of one shape differ."""
NOISE = 10.0
"""How far a gap usually lies from what its two sides say, font units (sd)."""
REACH = 25.0
"""Root mean square distance of profiles, font units, at which shapes stop being alike."""
SEEN = 150.0
"""Deepest white that counts for likeness, font units: behind it the eye is in the counter."""
HUBER = 1.5
"""Residuals beyond so many robust standard deviations lose weight."""
ROUNDS = 8

_ZONE = (HEIGHTS > -300) & (HEIGHTS < 850)


@dataclass(frozen=True, slots=True)
class Evidence:
    """One gap as it was left, with the white area of its two sides added."""

    first: str
    second: str
    value: float
    """Font units."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Rooms by character; what is not in the maps keeps none."""

    constant: float
    """Font units."""
    right: Mapping[str, float] = field(default_factory=dict)
    """Room after a character, font units."""
    left: Mapping[str, float] = field(default_factory=dict)
    """Room before a character, font units."""

    def room(self, first: str, second: str) -> float:
        """Return the constant and both rooms between two characters, font units."""
        return self.constant + self.right.get(first, 0.0) + self.left.get(second, 0.0)


class Shapes:
    """The sides of a hand's letters and how alike they are; built once, fitted many times."""

    def __init__(self, profiles: Mapping[str, Profile]) -> None:
        self.chars = tuple(sorted(profiles))
        self.index = {char: i for i, char in enumerate(self.chars)}
        rights = [np.minimum(profiles[char].right[_ZONE], SEEN) for char in self.chars]
        lefts = [np.minimum(profiles[char].left[_ZONE], SEEN) for char in self.chars]
        self._root = np.linalg.cholesky(_likeness(np.array(rights + lefts)))

    def fit(self, evidence: Sequence[Evidence], noise: float = NOISE) -> Sides:
        """Return the rooms that explain `evidence` best; needs at least one."""
        value = np.array([seen.value for seen in evidence])
        matrix = self._matrix(evidence) @ self._root
        weight = np.ones(len(value))
        constant, steps = float(np.median(value)), np.zeros(matrix.shape[1])
        for _ in range(ROUNDS):
            constant, steps = _solved(matrix, value, weight, noise)
            off = np.abs(value - constant - matrix @ steps)
            scale = max(1.4826 * float(np.median(off)), noise / 3)
            weight = np.minimum(1.0, HUBER * scale / np.maximum(off, 1e-9))
        rooms = (self._root @ steps).tolist()
        count = len(self.chars)
        return Sides(
            constant=constant,
            right=dict(zip(self.chars, rooms[:count], strict=True)),
            left=dict(zip(self.chars, rooms[count:], strict=True)),
        )

    def _matrix(self, evidence: Sequence[Evidence]) -> NDArray[np.float64]:
        """Return which sides each gap touches, shape (gaps, sides)."""
        matrix = np.zeros((len(evidence), 2 * len(self.chars)))
        rows = np.arange(len(evidence))
        matrix[rows, [self.index[seen.first] for seen in evidence]] = 1
        matrix[rows, [len(self.chars) + self.index[seen.second] for seen in evidence]] = 1
        return matrix


def _likeness(sides: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the covariance of the rooms of `sides` (2n, heights), right sides first, then left ones."""
    squares = (sides**2).mean(axis=1)
    apart = np.maximum(squares[:, None] + squares[None] - 2 * sides @ sides.T / sides.shape[1], 0)
    alike = np.exp(-apart / (2 * REACH**2))
    right = np.arange(len(sides)) < len(sides) // 2
    same = right[:, None] == right[None]
    shared: NDArray[np.float64] = ALIKE**2 * alike + SAME_SIDE**2 * alike * same
    return shared + OWN**2 * np.eye(len(sides))


def _solved(
    matrix: NDArray[np.float64], value: NDArray[np.float64], weight: NDArray[np.float64], noise: float
) -> tuple[float, NDArray[np.float64]]:
    """Return the constant and the steps of a weighted ridge regression with a free constant."""
    total = weight.sum()
    mean_value, mean_row = (weight @ value) / total, (weight @ matrix) / total
    centred = matrix - mean_row
    normal = (centred * weight[:, None]).T @ centred + noise**2 * np.eye(matrix.shape[1])
    steps = np.linalg.solve(normal, (centred * weight[:, None]).T @ (value - mean_value))
    return float(mean_value - mean_row @ steps), steps
