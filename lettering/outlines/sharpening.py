"""The sharpening of a page, told by a few of its letters.

A letter's outline says what its picture would be under any blur and any unsharp mask, laid on linear light
or on the values as they are saved. The mask under which the letters come out most like their pictures is
the page's own. It is the slanted edge of ISO 12233, with letters for edges.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from lettering.outlines.mask import Mask
from lettering.outlines.optics import Optics
from lettering.outlines.sample import Model, Sample, Seen

GUESS = (0.9, 0.5, 1.3)
"""Blur (px), share and width (px) that the search starts from."""

LEAST, MOST = (0.35, 0.0, 0.6), (2.2, 1.6, 3.0)
"""Bounds of the three: phones and scanners sharpen by half to one, over 1 to 2 px."""

NARROWEST = 0.65
"""A mask whose Gaussian is narrower, px, is none: crisp edges, such as a screen saves, feign it."""

STEP = 0.02
"""Change of each by which slopes are taken, in proportion."""

STILL = 1e-3
"""No better is looked for when blur, mask or misfit change by less, in proportion."""

GAIN = 0.004
"""A mask must take away this share of the misfit that mere blur leaves, or there is none.

By simulation: pages that nobody sharpened gain half of it at most, a mask of 0.3 over 1 px twice.
"""

_Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Found:
    """A blur and a mask, and how well they explain the letters."""

    blur: float
    mask: Mask
    misfit: float
    """Sum of the squares of what is left, in units of the noise."""


def mask_of(letters: Sequence[Sample]) -> Mask | None:
    """Return the mask that explains the letters' pictures; none when blur alone does as well."""
    seen = _seen(letters, Optics(), None)
    found = [_masked(letters, seen, encoded) for encoded in (False, True)] if seen else []
    mask, gain = max(found, key=lambda one: one[1], default=(None, 0.0))
    return mask if mask and gain > GAIN and mask.width > NARROWEST else None


def blur_of(seen: Sequence[Seen]) -> float:
    """Return the blur, px, under which outlines look most like their pictures."""
    return _blurred(seen, encoded=False).blur


def _masked(letters: Sequence[Sample], seen: Sequence[Seen], encoded: bool) -> tuple[Mask, float]:
    """Return the mask that explains letters best on values of one kind, and what it gains on mere blur.

    What noise does to values of that kind is the same with a mask and without.
    """
    plain, found = _blurred(seen, encoded), _sharpened(seen, encoded)
    if found.misfit < (1 - GAIN) * plain.misfit:
        # The first outlines were those of letters still sharpened.
        found = _sharpened(_seen(letters, Optics(blur=found.blur), found.mask), encoded)
    return found.mask, 1 - found.misfit / plain.misfit


def _seen(letters: Sequence[Sample], optics: Optics, mask: Mask | None) -> list[Seen]:
    return [one for letter in letters if (one := Seen.of(letter, optics, mask))]


def _blurred(seen: Sequence[Seen], encoded: bool) -> _Found:
    """Return the blur that explains letters best without a mask."""
    return _explained(seen, lambda x: Mask(share=0.0, width=1.0, encoded=encoded), 1, encoded)


def _sharpened(seen: Sequence[Seen], encoded: bool) -> _Found:
    """Return the blur and the mask that explain letters best."""
    return _explained(seen, lambda x: Mask(share=float(x[1]), width=float(x[2]), encoded=encoded), 3, encoded)


def _explained(seen: Sequence[Seen], mask: Callable[[_Numbers], Mask], count: int, encoded: bool) -> _Found:
    """Return the blur and the `mask` of it and so many numbers in all that leave the least misfit."""

    @lru_cache(maxsize=2)
    def models(blur: float) -> list[Model]:
        return [one.model(blur, encoded) for one in seen]

    def left(x: _Numbers) -> _Numbers:
        # Most steps change the mask alone; the blur was seen before.
        pairs = zip(seen, models(float(x[0])), strict=True)
        return np.concatenate([one.miss(model, mask(x)) for one, model in pairs])

    best = least_squares(
        left,
        GUESS[:count],
        bounds=(LEAST[:count], MOST[:count]),
        diff_step=[STEP] * count,
        xtol=STILL,
        ftol=STILL,
    )
    return _Found(float(best.x[0]), mask(best.x), 2 * float(best.cost))
