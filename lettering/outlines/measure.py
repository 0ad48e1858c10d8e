"""Blur, sharpening and grain of a page, measured on its own letters.

A letter's outline says what its picture would be under any blur. The blur, and the unsharp mask, under
which the letters come out most like their pictures are the page's own. It is the slanted edge of
ISO 12233, with letters for edges.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from lettering.outlines.light import Kernel
from lettering.outlines.optics import Optics
from lettering.outlines.refine import Sight
from lettering.outlines.trace import LEAST_NOISE, PAPER, sight_of

FEW = 6
"""Letters that tell how a page was seen: more tell little more."""

BLURS = np.array([0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.35, 1.5, 1.65, 1.8, 2.0, 2.2])
"""Blurs that are tried, px."""

SHARPEST = 1.5
"""Most sharpening believed: phones and scanners add half to one."""

NARROWEST = 0.9
"""Least width of a mask, px: a narrower one is not told from less blur."""

GAIN = 0.004
"""A mask must take away this share of the misfit that mere blur leaves, or there is none.

By simulation: unsharpened pages gain a twentieth of it, a mask of 0.2 twice.
"""

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

GRAINS = (0.3, 4.0)
"""Least and most grain reckoned with: past it shape is lost with the grain, by trial on grain of 1 px."""

T = TypeVar("T")
_Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One letter of the page."""

    coverage: NDArray[np.float32]
    """Shape (h, w), as `trace.trace` takes it; exactly 0 where other ink was cut away."""
    noise: float
    """Standard deviation of coverage on blank paper."""


def few_of(letters: Sequence[T]) -> list[T]:
    """Return enough letters to measure a page on, spread over it."""
    places = np.linspace(0, len(letters) - 1, min(FEW, len(letters)))
    return [letters[round(place)] for place in places]


def measured(letters: Sequence[Sample]) -> Optics:
    """Return how a page was seen, told by some of its letters; of no letters the usual."""
    optics = Optics()
    # The first outlines are traced without knowing what is sought.
    for _ in range(2):
        seen = [
            (letter, sight)
            for letter in letters
            if (sight := sight_of(letter.coverage, noise=letter.noise, optics=optics))
        ]
        if not seen:
            return optics
        optics = _likeliest(seen)
    return replace(optics, grain=_grain(seen), unexplained=_unexplained(seen))


def _unexplained(seen: Sequence[tuple[Sample, Sight]]) -> float:
    """Return what the outlines leave of the pixels along their edges, sd of coverage; 0 when it is noise."""
    misses = np.concatenate([s.miss[(s.coverage > EDGE) & (s.coverage < 1 - EDGE)] for _, s in seen])
    left = math.sqrt(float(np.mean(misses**2))) if misses.size else 0.0
    noise = float(np.median([letter.noise for letter, _ in seen]))
    return left if left > STRANGE * max(noise, LEAST_NOISE) else 0.0


def _likeliest(seen: Sequence[tuple[Sample, Sight]]) -> Optics:
    """Return the blur and the mask under which the outlines look most like their pictures."""
    products: _Numbers = sum((_products(*one) for one in seen), np.zeros((len(BLURS) + 2, len(BLURS) + 2)))
    blur, misfit = _mere_blur(products)
    optics, least = Optics(blur=blur), (1 - GAIN) * misfit
    for near, far in combinations(range(len(BLURS)), 2):
        width = float(np.sqrt(BLURS[far] ** 2 - BLURS[near] ** 2))
        left, (more, less) = _misfit(products, [near, far])
        # A picture of full contrast is (1 + share) of the near blur less share of the far one.
        share = float(-less / (more + less)) if more + less > 0 else 0.0
        if left < least and 0 < share <= SHARPEST and width >= NARROWEST:
            least, optics = left, Optics(blur=float(BLURS[near]), sharpening=share, width=width)
    return optics


def _mere_blur(products: _Numbers) -> tuple[float, float]:
    """Return the one blur that explains the pictures best, between those tried, and the misfit it leaves."""
    misfits = np.array([_misfit(products, [i])[0] for i in range(len(BLURS))])
    i = int(np.clip(np.argmin(misfits), 1, len(BLURS) - 2))
    curve = np.polynomial.Polynomial.fit(BLURS[i - 1 : i + 2], misfits[i - 1 : i + 2], 2)
    blur = float(np.clip(curve.deriv().roots()[0], BLURS[0], BLURS[-1]))
    return blur, float(curve(blur))


def _products(letter: Sample, sight: Sight) -> _Numbers:
    """Return the products with each other of: the outline under every blur, even paper, the picture."""
    picture = np.pad(np.asarray(letter.coverage, dtype=np.float64), PAPER)
    walk, shape = sight.kernel.walk, sight.kernel.shape
    columns = [Kernel.of(walk, shape, float(blur)).coverage() for blur in BLURS]
    known = picture != 0
    table = np.stack([column[known] for column in [*columns, np.ones(shape), picture]])
    return np.asarray(table @ table.T / letter.noise**2)


def _misfit(products: _Numbers, blurs: list[int]) -> tuple[float, _Numbers]:
    """Return the squares left when the picture is mixed from outlines of these blurs, and their shares."""
    used = [*blurs, len(products) - 2]
    matrix, right = products[np.ix_(used, used)], products[used, -1]
    shares = np.linalg.solve(matrix + 1e-9 * np.trace(matrix) * np.eye(len(used)), right)
    return float(products[-1, -1] - 2 * shares @ right + shares @ matrix @ shares), shares[:-1]


def _grain(seen: Sequence[tuple[Sample, Sight]]) -> float:
    """Return the power at low frequency of the noise along an edge, 1 for independent pixels.

    Grain that the ink hides weighs less: the edge sees of it what is not covered.
    """
    bare, inked = [], []
    for letter, sight in seen:
        picture = np.pad(np.asarray(letter.coverage, dtype=np.float64), PAPER)
        own = picture != 0
        bare.append((picture / letter.noise, own & ~_near(sight.coverage > BARE, CLEAR)))
        inked.append((picture / letter.noise, own & (sight.coverage > 1 - BARE)))
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
