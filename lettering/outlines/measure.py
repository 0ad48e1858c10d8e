"""Blur and grain of a page, measured on its own letters."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from lettering.outlines.optics import SMOOTHING, Optics
from lettering.outlines.sample import Sample, Seen
from lettering.outlines.sharpening import blur_of
from lettering.outlines.trace import LEAST_NOISE

LAGS = 4
"""Grain is followed as far as this, px."""

BARE, CLEAR = 0.002, 3
"""Paper is where the model covers less than this share, so many px away."""

UNCOVERED = 0.32
"""Mean square of what an edge leaves uncovered, weighed as it feels noise: by the blur's Gaussian squared."""

ENOUGH = 500
"""Grain is not told from fewer pixels."""

EDGE = 0.02
"""Along an edge are the pixels that the model covers by more than this share, and by less than all but it."""

STRANGE = 1.5
"""What is left along edges is more than noise when it exceeds the noise of the paper by this factor."""

PATCHY = 0.07
"""Ink whose coverage strays by more inside the strokes, median of all, has gaps that are no edges."""

WIDER = (1.0, 1.4, 2.0)
"""Gaussians that are tried on patchy ink, px."""

GRAINS = (0.3, 4.0)
"""Least and most grain reckoned with: past it shape is lost with the grain, by trial on grain of 1 px."""

_Numbers = NDArray[np.float64]


def measured(letters: Sequence[Sample], shares: Callable[..., Iterable[Any]] = map) -> Optics:
    """Return how a page was seen, told by some of its letters; of no letters the usual.

    `shares` does what `map` does, perhaps in several processes.
    """
    optics = Optics()
    seen: list[Seen] = []
    # The first outlines are traced without knowing what is sought.
    for _ in range(2):
        seen = [one for one in shares(Seen.of, letters, [optics] * len(letters)) if one]
        if not seen:
            return optics
        optics = Optics(blur=blur_of(seen), smoothing=_smoothing(seen))
    return replace(optics, grain=_grain(seen), unexplained=max(_unexplained(seen), _patches(seen, optics)))


def _unexplained(seen: Sequence[Seen]) -> float:
    """Return what the outlines leave of the pixels along their edges, sd of coverage; 0 when it is noise."""
    sights = [one.sight for one in seen]
    misses = np.concatenate([s.miss[(s.coverage > EDGE) & (s.coverage < 1 - EDGE)] for s in sights])
    left = math.sqrt(float(np.mean(misses**2))) if misses.size else 0.0
    noise = float(np.median([one.letter.noise for one in seen]))
    return left if left > STRANGE * max(noise, LEAST_NOISE) else 0.0


def _patches(seen: Sequence[Seen], optics: Optics) -> float:
    """Return the white noise, sd of coverage, that would harm an edge as patchy ink does; 0 for even ink."""
    if optics.smoothing == SMOOTHING:
        return 0.0
    power = _power([(one.sight.miss, _inside(one)) for one in seen])
    return math.sqrt(UNCOVERED * max(power or 0.0, 0.0))


def _smoothing(seen: Sequence[Seen]) -> float:
    """Return the least Gaussian, px, under which the ink inside the strokes is even."""
    for smoothing in (SMOOTHING, *WIDER):
        smooth = [ndimage.gaussian_filter(one.picture, smoothing)[_inside(one)] for one in seen]
        inked = np.concatenate(smooth)
        # Half the pixels decide: hairs of a dry brush are even ink beside bare paper.
        if inked.size < ENOUGH or np.median(np.abs(inked - np.median(inked))) < PATCHY:
            return smoothing
    return WIDER[-1]


def _inside(one: Seen) -> NDArray[np.bool_]:
    """Return which pixels lie inside the strokes, farther than blur reaches, gaps in the ink filled in."""
    stroke = ndimage.binary_closing(one.sight.coverage > 0.5, iterations=2)
    return np.asarray(ndimage.binary_erosion(stroke, iterations=3))


def _grain(seen: Sequence[Seen]) -> float:
    """Return the power at low frequency of the noise along an edge, 1 for independent pixels.

    Grain that the ink hides weighs less: the edge sees of it what is not covered.
    """
    bare, inked = [], []
    for one in seen:
        stray, coverage = one.picture / one.letter.noise, one.sight.coverage
        bare.append((stray, one.own & ~_near(coverage > BARE, CLEAR)))
        inked.append((stray, one.own & (coverage > 1 - BARE)))
    on_paper, in_ink = _power(bare), _power(inked)
    on_paper = 1.0 if on_paper is None else on_paper
    hidden = 0.0 if in_ink is None else max(on_paper - in_ink, 0.0)
    return float(np.clip(on_paper - (1 - UNCOVERED) * hidden, *GRAINS))


def _near(mask: NDArray[np.bool_], distance: int) -> NDArray[np.bool_]:
    return np.asarray(ndimage.binary_dilation(mask, iterations=distance))


def _power(parts: Sequence[tuple[_Numbers, NDArray[np.bool_]]]) -> float | None:
    """Return the sum of covariances of neighbours as far as they reach; none from too few pixels."""
    reach = range(-LAGS, LAGS + 1)
    lags = [(down, right) for down in range(LAGS + 1) for right in reach if (down, right) >= (0, 0)]
    sums, counts = np.zeros((2, len(lags)))
    for picture, mask in parts:
        stray = np.where(mask, picture - picture[mask].mean(), 0.0) if mask.any() else np.zeros(mask.shape)
        for k, lag in enumerate(lags):
            # What is rolled round the edge meets the paper that was laid round the picture, and is nothing.
            sums[k] += (stray * np.roll(stray, lag, (0, 1))).sum()
            counts[k] += (mask & np.roll(mask, lag, (0, 1))).sum()
    covariances = sums / np.maximum(counts, 1)
    return float(2 * covariances.sum() - covariances[0]) if counts[0] >= ENOUGH else None
