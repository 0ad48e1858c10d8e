"""The measures of a hand, each the middle of many letters so that no odd one decides."""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from statistics import median

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.edges import Edges
from lettering.hand.hand import Metrics
from lettering.hand.take import Drawn

X_LETTERS = "xzvwacemnorsu"
CAPITALS = "HIEFLTNMKAVXZBDPRUWYCGJOQS"
RISING = "bdhklf"
FALLING = "gpqyj"
STANDING = "abcdehiklmnorstuvwxzABDEFHIKLMNOPRSTUVWXZ"
"""Letters that stand on the baseline."""

MAD_TO_SD = 1.4826
"""Standard deviation of a normal distribution for a median absolute deviation of 1."""
LEAN_MOST = math.radians(35)
"""Strokes that lean farther than this are diagonals, which say nothing of slant."""

# What stands in for letters that were not drawn, as shares of the x-height (common practice, no source).
_CAP, _ASCENDER, _DESCENDER, _PITCH = 1.4, 1.5, -0.5, 1.2


def metrics(
    outlines: Mapping[str, Sequence[Outline]], *, word_space: float, row_pitch: float | None
) -> Metrics:
    """Return the measures of a hand from its outlines by character, on their baseline, font units.

    A hand without lower case is given the x-height at which its capitals are 1.25 times as high, the
    least that capitals must exceed the x-height that a reader needs (house default).
    """
    chars = [char for char, group in outlines.items() for outline in group if outline.contours]
    edges = Edges.of([outline for group in outlines.values() for outline in group if outline.contours])
    standing = _by_char(chars, edges.bounds[:, 1])
    tops = {char: median(values) for char, values in _by_char(chars, edges.bounds[:, 3]).items()}
    feet = {char: median(values) for char, values in standing.items()}
    capitals = _middle(tops, CAPITALS)
    x_height = _middle(tops, X_LETTERS) or (capitals / 1.25 if capitals else max(tops.values(), default=500))
    cap_height = capitals or x_height * _CAP
    ascender = max(_middle(tops, RISING) or x_height * _ASCENDER, cap_height)
    descender = min(_middle(feet, FALLING) or x_height * _DESCENDER, 0.0)
    return Metrics(
        x_height=x_height,
        cap_height=cap_height,
        ascender=ascender,
        descender=descender,
        stem=_stem(chars, edges),
        word_space=word_space,
        row_pitch=row_pitch or (ascender - descender) * _PITCH,
        baseline_drift=_drift(standing),
        slant=slant(edges, np.array([char.isalpha() for char in chars], dtype=bool)),
    )


def stroke_widths(edges: Edges) -> NDArray[np.float64]:
    """Return the width w of a stroke of length L drawn as each outline: area L w, half the edge L + k w.

    k is the number of pieces less the number of holes: 1 for a bar, 0 for a ring; exact for both.
    """
    step = edges.end - edges.start
    half = np.bincount(edges.owner, np.hypot(step[:, 0], step[:, 1]), len(edges.area)) / 2
    ends = np.maximum(edges.rings, 0)
    inside = np.sqrt(np.maximum(half * half - 4 * ends * edges.area, 0.0))
    bars: NDArray[np.float64] = (half - inside) / np.maximum(2 * ends, 1)
    return np.where(ends > 0, bars, edges.area / np.maximum(half, 1e-9))


def slant(edges: Edges, chosen: NDArray[np.bool_] | None = None) -> float:
    """Return how far upright strokes lean to the right, radians: the middle of all steep edges.

    `chosen` tells which outlines count, shape (n,); all when not given.
    """
    step = edges.end - edges.start if chosen is None else (edges.end - edges.start)[chosen[edges.owner]]
    leans = np.arctan2(step[:, 0] * np.sign(step[:, 1]), np.abs(step[:, 1]))
    weights = np.hypot(step[:, 0], step[:, 1])
    steep = np.abs(leans) < LEAN_MOST
    if not weights[steep].sum():
        return 0.0
    order = np.argsort(leans[steep], kind="stable")
    share = np.cumsum(weights[steep][order]) / weights[steep].sum()
    return float(leans[steep][order][np.searchsorted(share, 0.5)])


def leans(edges: Edges) -> NDArray[np.float64]:
    """Return for each outline how far its steep edges lean to the right, radians; 0 for one without any."""
    found = np.zeros(len(edges.bounds))
    step = edges.end - edges.start
    lean = np.arctan2(step[:, 0] * np.sign(step[:, 1]), np.abs(step[:, 1]))
    steep = np.abs(lean) < LEAN_MOST
    owner, lean, weight = edges.owner[steep], lean[steep], np.hypot(step[:, 0], step[:, 1])[steep]
    order = np.lexsort((lean, owner))
    owner, lean, weight = owner[order], lean[order], weight[order]
    for start, end in pairwise([*np.flatnonzero(np.diff(owner, prepend=-1)).tolist(), len(owner)]):
        share = np.cumsum(weight[start:end])
        found[owner[start]] = lean[start + np.searchsorted(share, share[-1] / 2)]
    return found


def row_pitch(
    drawn: Sequence[Drawn], bounds: Mapping[int, Rect], scales: Mapping[str, float]
) -> float | None:
    """Return the usual distance of baselines, font units; none when no two rows follow one another."""
    steps: list[float] = []
    for page, scale in scales.items():
        baselines = defaultdict(list)
        for letter in drawn:
            if letter.source.page == page and letter.outline.contours:
                height = letter.source.box.centre.y * scale + bounds[id(letter)].centre.y
                baselines[letter.row].append(height)
        middle = sorted((row, median(heights)) for row, heights in baselines.items())
        steps += [b - a for (i, a), (j, b) in pairwise(middle) if j == i + 1]
    return median(steps) if steps else None


def page_scales(drawn: Sequence[Drawn], bounds: Mapping[int, Rect]) -> dict[str, float]:
    """Return for each page how many font units one of its px is, where that is known or can be measured."""
    told: dict[str, list[float]] = defaultdict(list)
    for letter in drawn:
        if letter.source.units_per_px:
            told[letter.source.page].append(letter.source.units_per_px)
    inked = sorted(
        (d for d in drawn if d.outline.contours and d.source.page not in told),
        key=lambda d: (d.source.page, d.row, d.place),
    )
    for a, b in pairwise(inked):
        px = b.source.box.centre.x - a.source.box.centre.x
        if (a.source.page, a.row) == (b.source.page, b.row) and px > 0:
            told[a.source.page].append((bounds[id(b)].centre.x - bounds[id(a)].centre.x) / px)
    return {page: median(scales) for page, scales in sorted(told.items()) if median(scales) > 0}


def _middle(values: Mapping[str, float], chars: str) -> float:
    """Return the middle of the values that `chars` have, 0 for none."""
    return median([values[char] for char in chars if char in values] or [0.0])


def _by_char(chars: Sequence[str], values: NDArray[np.float64]) -> dict[str, list[float]]:
    groups: dict[str, list[float]] = defaultdict(list)
    for char, value in zip(chars, values.tolist(), strict=True):
        groups[char].append(value)
    return groups


def _stem(chars: Sequence[str], edges: Edges) -> float:
    widths = stroke_widths(edges)[[char.isalnum() for char in chars]] if chars else np.zeros(0)
    return float(np.median(widths)) if len(widths) else 0.0


def _drift(feet: Mapping[str, Sequence[float]]) -> float:
    """Return how far letters stray from the height at which their kind usually stands (robust sd)."""
    off: list[float] = []
    for char in STANDING:
        stood = feet.get(char, ())
        if len(stood) > 1:
            usual = median(stood)
            off += [abs(foot - usual) for foot in stood]
    return MAD_TO_SD * median(off) if off else 0.0
