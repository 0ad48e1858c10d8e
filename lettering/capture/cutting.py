"""Letters run together in one piece of ink, cut apart where the join is thin."""

from collections.abc import Callable, Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

THICKEST_CUT = 1.5
"""A cut may cross as much ink as this many strokes' widths: more would take a stroke in two."""
REACH = 0.4
"""How far from the expected place a cut is looked for, as a share of a letter's width."""
TRIES = 7
"""Places about the expected one at which the thinnest cut is sought."""


Judge = Callable[[int, NDArray[np.bool_]], float]
"""Tells how ill a part (by its number from the left, and its ink) fits its character."""
Parts = tuple[NDArray[np.bool_], ...]


def cut_apart(
    own: NDArray[np.bool_], widths: Sequence[float], stroke: float, judge: Judge
) -> tuple[Parts, float] | None:
    """Return the ink `own` (h, w) in parts, left to right, and how ill the worst part fits; none if unsafe.

    `widths` are the letters' usual widths, px. Cuts are tried about where they say that the letters meet,
    counted from the left, from the right and shared out, and those whose parts look most like their letters
    are kept.
    """
    seams = [_seams(own, widths, number, stroke) for number in range(1, len(widths))]
    known: dict[tuple[int, bytes], float] = {}

    def ill(number: int, ink: NDArray[np.bool_]) -> float:
        key = number, ink.tobytes()
        if key not in known:
            known[key] = judge(number, ink)
        return known[key]

    best: tuple[Parts, float] | None = None
    for choice in product(*seams):
        parts = _parted(own, choice)
        if not all(part.any() for part in parts):
            continue
        worst = max(ill(number, part) for number, part in enumerate(parts))
        if best is None or worst < best[1]:
            best = parts, worst
    return best


def _seams(
    own: NDArray[np.bool_], widths: Sequence[float], number: int, stroke: float
) -> list[NDArray[np.intp]]:
    """Return the thin cuts, each once, that may part the first `number` letters from the others."""
    across, before, after = own.shape[1], sum(widths[:number]), sum(widths[number:])
    shared = before / (before + after) * across
    reach = REACH * across / len(widths)
    places = [(shared + float(shift) * reach, reach / 2) for shift in np.linspace(-1, 1, TRIES)]
    places += [(end, reach / 5) for end in (before, across - after)]
    seams = {}
    for place, slack in places:
        seam = _seam(own, min(max(place, 1.0), across - 1.0), max(slack, 1.0))
        if own[np.arange(len(seam)), seam].sum() <= THICKEST_CUT * stroke:
            seams[seam.tobytes()] = seam
    return list(seams.values())


def _parted(own: NDArray[np.bool_], seams: Sequence[NDArray[np.intp]]) -> tuple[NDArray[np.bool_], ...]:
    parts, rest = [], own
    for seam in seams:
        left = np.arange(own.shape[1])[None, :] < seam[:, None]
        parts.append(rest & left)
        rest = rest & ~left
    return (*parts, rest)


def _seam(own: NDArray[np.bool_], middle: float, slack: float) -> NDArray[np.intp]:
    """Return the column of the thinnest cut in each row, from top to bottom, stepping one column a row."""
    height, width = own.shape
    drift = ((np.arange(width) + 0.5 - middle) / slack) ** 2
    price = own.astype(float) + 0.05 * drift / height
    best = price[0] + np.where(np.abs(np.arange(width) + 0.5 - middle) > slack, np.inf, 0)
    came = np.zeros((height, width), dtype=np.intp)
    for y in range(1, height):
        ways = np.stack([np.concatenate([[np.inf], best[:-1]]), best, np.concatenate([best[1:], [np.inf]])])
        came[y] = ways.argmin(axis=0) - 1
        best = ways.min(axis=0) + price[y]
    seam = np.empty(height, dtype=np.intp)
    seam[-1] = int(best.argmin())
    for y in range(height - 1, 0, -1):
        seam[y - 1] = seam[y] + came[y, seam[y]]
    return seam
