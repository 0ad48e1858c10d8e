"""Spacing: how much white the hand keeps between any two letters, learnt from her own words.

gap(l, r) = c - A(l, r; depth) + s_l + t_r: letters stand so that the white between them looks equal. A is the
white area of the two facing sides, counted to a depth, as a mean width over the x-height; c is what remains;
s and t are the rooms of the sides, learnt from words (see `sides`). Measured against designers' spacing of
six open hand-lettered typefaces in `benchmarks/spacing.py`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np
from numpy.typing import NDArray

from lettering.hand.profile import HEIGHTS, Profile
from lettering.hand.rows import Gap
from lettering.hand.sides import Evidence, Shapes, Sides

DEPTH = 0.2
"""White deeper than this share of the x-height belongs to the letter, not to the gap."""
UNSPOKEN = 0.31
"""The constant c of a hand that shows no words, x-heights: the middle of eleven open typefaces."""
FOLDS = 4
"""Most rounds in which words are left out to measure the error."""
LEAST_KERN = 8.0
"""Kerning smaller than this is left out, font units: 0.06 mm at an x-height of 4 mm, which nobody sees."""
SURE = 3.0
"""A pair's own remainder counts n / (n + this) when it was seen n times."""
HOLE = 0.28
"""Clear distance beyond which two letters leave a hole, x-heights. Small letters among themselves are left
to their sides: on open typefaces to close their holes by shape did more harm than good."""
CLASH = 0.09
"""Clear distance below which two letters clash, x-heights."""
FILL = 0.5
"""How much of a hole is closed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """How far the spacing can be trusted."""

    words: tuple[str, ...]
    """The words it learnt from, in the order of the pages."""
    error: float | None
    """Mean absolute error of the gaps of words left out of the fit, font units; none with fewer than 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """The white between any two letters of a hand."""

    sides: Sides
    whites: Mapping[str, tuple[float, float]]
    """White of the left and the right side of each character, font units, as `white` gives it."""

    def gap(self, first: str, second: str) -> float:
        """Return the white from box to box that the sides ask for, font units."""
        return self.sides.room(first, second) - self.whites[first][1] - self.whites[second][0]


def white(side: NDArray[np.float64], x_height: float, depth: float = DEPTH) -> float:
    """Return the white area of one side of a letter as a mean width over the x-height, font units."""
    zone = (HEIGHTS > 0) & (x_height > HEIGHTS)
    return float(np.minimum(side[zone], depth * x_height).mean())


def learnt(
    gaps: Sequence[Gap],
    words: Sequence[str],
    typical: Mapping[str, Profile],
    own: Mapping[int, Profile],
    x_height: float,
) -> tuple[Spacing, Report]:
    """Return the spacing that the `gaps` inside `words` show, and how well it foretells words left out.

    `typical` has the profile of each character's usual take, `own` that of each drawn letter by identity.
    """  # fmt: skip
    whites = {char: (white(p.left, x_height), white(p.right, x_height)) for char, p in typical.items()}
    seen = [(gap.word, _evidence(gap, own, x_height)) for gap in gaps]
    if not seen:
        return Spacing(sides=Sides(constant=UNSPOKEN * x_height), whites=whites), Report(words=(), error=None)
    shapes = Shapes(typical, whites)
    sides = shapes.fit([evidence for _, evidence in seen])
    learnt_from = tuple(words[i] for i in sorted({word for word, _ in seen}))
    return Spacing(sides=sides, whites=whites), Report(words=learnt_from, error=_left_out(seen, shapes))


def kerning(
    spacing: Spacing,
    gaps: Sequence[Gap],
    own: Mapping[int, Profile],
    typical: Mapping[str, Profile],
    x_height: float,
) -> dict[tuple[str, str], float]:
    """Return what pairs need beyond their sides, font units: as seen, or against holes and clashes."""
    remains: dict[tuple[str, str], list[float]] = {}
    for gap in gaps:
        evidence = _evidence(gap, own, x_height)
        pair = (gap.first.char, gap.second.char)
        remains.setdefault(pair, []).append(evidence.value - spacing.sides.room(*pair))
    shapes_ask = _asked_by_shape(spacing, gaps, typical, x_height)
    kerned = {}
    for pair in sorted(set(remains) | set(shapes_ask)):
        seen, guess = remains.get(pair, []), shapes_ask.get(pair, 0.0)
        trust = len(seen) / (len(seen) + SURE)
        kerned[pair] = trust * median(seen) + (1 - trust) * guess if seen else guess
    return {pair: by for pair, by in kerned.items() if abs(by) >= LEAST_KERN}


def _evidence(gap: Gap, own: Mapping[int, Profile], x_height: float) -> Evidence:
    area = white(own[id(gap.first)].right, x_height) + white(own[id(gap.second)].left, x_height)
    return Evidence(gap.first.char, gap.second.char, gap.width + area)


def _left_out(seen: Sequence[tuple[int, Evidence]], shapes: Shapes) -> float | None:
    """Return the mean absolute error of gaps in words that the fit did not see."""
    numbers = sorted({word for word, _ in seen})
    if len(numbers) < 2:
        return None
    errors: list[float] = []
    for fold in range(min(FOLDS, len(numbers))):
        out = set(numbers[fold::FOLDS])
        sides = shapes.fit([evidence for word, evidence in seen if word not in out])
        errors += [abs(e.value - sides.room(e.first, e.second)) for word, e in seen if word in out]
    return float(np.mean(errors))


def _asked_by_shape(
    spacing: Spacing, gaps: Sequence[Gap], typical: Mapping[str, Profile], x_height: float
) -> dict[tuple[str, str], float]:
    """Return what pairs of letters need so that they neither leave a hole nor clash, font units."""
    chars = sorted(typical)
    rights = {char: _softened(typical[char].right) for char in chars}
    lefts = np.stack([_softened(typical[char].left) for char in chars])
    apart = {char: (rights[char] + lefts).min(axis=1) for char in chars}
    index = {char: i for i, char in enumerate(chars)}
    seen = [gap.width + float(apart[gap.first.char][index[gap.second.char]]) for gap in gaps]
    least, most = _clear(seen, x_height)
    asked = {}
    for first in chars:
        for second, between in zip(chars, apart[first].tolist(), strict=True):
            clear = between + spacing.gap(first, second)
            by = FILL * min(most - clear, 0.0) + max(least - clear, 0.0)
            if by and np.isfinite(between) and not (first.islower() and second.islower()):
                asked[first, second] = by
    return asked


def _clear(seen: Sequence[float], x_height: float) -> tuple[float, float]:
    """Return the least and most clear distance that letters may have, font units, or hers if wider."""
    least, most = CLASH * x_height, HOLE * x_height
    clears = [clear for clear in seen if np.isfinite(clear)]
    if not clears:
        return least, most
    low, high = np.quantile(clears, [0.05, 0.95])
    return min(least, float(low)), max(most, float(high))


def _softened(side: NDArray[np.float64], steps: int = 8) -> NDArray[np.float64]:
    """Return the side with each height seeing its neighbours within `steps`, farther by their distance."""
    seen = side.copy()
    for step in range(1, steps + 1):
        lift = 0.5 * step**2  # font units: a round nib 80 units high, for steps of 10
        seen[step:] = np.minimum(seen[step:], side[:-step] + lift)
        seen[:-step] = np.minimum(seen[:-step], side[step:] + lift)
    return seen
