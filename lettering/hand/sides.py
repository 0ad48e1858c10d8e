"""The room that each side of each letter keeps, learnt from gaps that were left between letters.

A gap is taken as `constant + room(right side of the first) + room(left side of the second)` after the white
area of the facing sides has been accounted for. Rooms are drawn toward zero (ridge regression), toward a
share of that white where a hand heeds it less or more, and toward one another where sides look alike: a
letter seen seldom, or never, learns from those shaped like it. In the terms of the literature this is kriging
with a nugget, made robust by Huber's weights (Huber 1964, iterated). How far rooms stray differs from hand to
hand: several scales are tried, and each counts as far as the gaps speak for it (their marginal likelihood, as
in MacKay 1992). The constants were chosen on five open typefaces that neither a test nor a benchmark uses.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lettering.hand.profile import HEIGHTS, Profile

OWN = 30.0
"""How far a side's room usually lies from that of sides shaped like it, font units (sd)."""
ALIKE = 30.0
"""How far the room of a whole family of shapes usually lies from zero, font units (sd)."""
SAME_SIDE = 15.0
"""… and how far the left and the right side of one shape differ."""
MINDED = 0.7
"""How far a hand may heed the white areas less, or more, than by all of them, as a share (sd): not everybody
leaves equal white, and the gaps tell who does."""
SCALES = (0.5, 1.0, 2.0)
"""How much steadier or freer than usual a hand may be in all of these."""
NOISE = 7.0
"""How far a gap usually lies from what its two sides say, font units (sd)."""
SPREAD = 100.0
"""How far the constant may lie from the middle of all gaps, font units (sd): as good as free."""
REACH = 40.0
"""Root mean square distance of profiles, font units, at which shapes stop being alike."""
SEEN = 150.0
"""Deepest white that counts for likeness, font units: behind it the eye is in the counter."""
HUBER = 1.5
"""Residuals beyond so many robust standard deviations lose weight."""
ROUNDS = 4

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

    def __init__(
        self, profiles: Mapping[str, Profile], whites: Mapping[str, tuple[float, float]] | None = None
    ) -> None:
        """Compare sides by `profiles`; `whites` has the white area of each character's left and right."""
        self.chars = tuple(sorted(profiles))
        self.index = {char: i for i, char in enumerate(self.chars)}
        rights = [np.minimum(profiles[char].right[_ZONE], SEEN) for char in self.chars]
        lefts = [np.minimum(profiles[char].left[_ZONE], SEEN) for char in self.chars]
        likeness = _likeness(np.array(rights + lefts))
        if whites is not None:
            # All rooms stray together, in proportion to their white: a linear kernel beside that of shapes.
            white = np.array([whites[char][side] for side in (1, 0) for char in self.chars])
            likeness += np.outer(*[MINDED * (white - white.mean())] * 2)
        self._root = np.linalg.cholesky(likeness)

    def fit(self, evidence: Sequence[Evidence]) -> Sides:
        """Return the rooms that explain `evidence` best; needs at least one."""
        value = np.array([seen.value for seen in evidence])
        matrix = self._matrix(evidence) @ self._root
        weight = np.ones(len(value))
        for _ in range(ROUNDS):
            off = np.abs(value - _solved(matrix, value, weight, 1.0).foretold)
            scale = max(1.4826 * float(np.median(off)), NOISE / 3)
            weight = np.minimum(1.0, HUBER * scale / np.maximum(off, 1e-9))
        fits = [_solved(matrix, value, weight, scale) for scale in SCALES]
        likely = np.array([fit.log_likelihood for fit in fits])
        share = np.exp(likely - likely.max())
        share /= share.sum()
        constant = float(share @ [fit.constant for fit in fits])
        rooms = (self._root @ np.einsum("s,sk->k", share, [fit.steps for fit in fits])).tolist()
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


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """What one scale of rooms makes of the gaps."""

    constant: float
    steps: NDArray[np.float64]
    """Shape (sides,): rooms in terms of the covariance's root."""
    foretold: NDArray[np.float64]
    """Shape (gaps,)."""
    log_likelihood: float
    """Of the gaps, rooms averaged out; up to a constant that all scales share."""


def _solved(
    matrix: NDArray[np.float64], value: NDArray[np.float64], weight: NDArray[np.float64], scale: float
) -> _Fit:
    """Return the constant and steps of a weighted ridge regression at one scale of rooms."""
    middle = float(np.average(value, weights=weight))
    target, sure = value - middle, weight / NOISE**2
    design = np.concatenate([matrix * scale, np.full((len(value), 1), SPREAD)], axis=1)
    root = np.linalg.cholesky((design * sure[:, None]).T @ design + np.eye(design.shape[1]))
    toward = np.linalg.solve(root, design.T @ (sure * target))
    best = np.linalg.solve(root.T, toward)
    return _Fit(
        constant=middle + float(best[-1]) * SPREAD,
        steps=best[:-1] * scale,
        foretold=middle + design @ best,
        log_likelihood=float(toward @ toward) / 2 - float(np.log(np.diag(root)).sum()),
    )
