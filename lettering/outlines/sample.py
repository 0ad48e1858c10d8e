"""Letters that tell how their page was seen, each beside its outline."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from lettering.outlines.light import Kernel
from lettering.outlines.mask import Mask
from lettering.outlines.optics import Optics
from lettering.outlines.refine import Sight
from lettering.outlines.trace import PAPER, sight_of

FEW = 6
"""Letters that tell how a page was seen: more tell little more."""

TONED = (-1.0, 2.0)
"""Coverage at both ends of a tone: sharpening takes letters past paper and past full ink."""

T = TypeVar("T")
_Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sample:
    """One letter of the page."""

    coverage: NDArray[np.float32]
    """Shape (h, w), as `trace.trace` takes it; exactly 0 where other ink was cut away."""
    noise: float
    """Standard deviation of coverage on blank paper."""
    tone: _Numbers | None = None
    """Shape (n,), growing: the value saved for coverage of TONED in even steps; 0 on paper, 1 in full ink.

    None when it is not known: values are then taken to be saved as coverage is.
    """

    def saved(self, coverage: _Numbers) -> _Numbers:
        """Return the values that are saved for some coverage."""
        return coverage if self.tone is None else np.interp(coverage, self._steps(self.tone), self.tone)

    def covered(self, values: _Numbers) -> _Numbers:
        """Return the coverage that some saved values stand for."""
        return values if self.tone is None else np.interp(values, self.tone, self._steps(self.tone))

    def unsharpened(self, mask: Mask) -> _Numbers:
        """Return the coverage as it was before the mask, shape (h, w)."""
        coverage = np.asarray(self.coverage, dtype=np.float64)
        return self.covered(mask.undone(self.saved(coverage))) if mask.encoded else mask.undone(coverage)

    def steepness(self, coverage: _Numbers) -> _Numbers:
        """Return by how much more than the coverage the value changes that is saved."""
        if self.tone is None:
            return np.ones(coverage.shape)
        steps = self._steps(self.tone)
        return np.interp(np.clip(coverage, 0, 1), steps, np.gradient(self.tone, steps))

    def clipped(self, coverage: _Numbers) -> NDArray[np.bool_]:
        """Return which of some coverage was cut off: the file holds nothing whiter, or nothing blacker."""
        if self.tone is None:
            return np.zeros(coverage.shape, dtype=bool)
        grows = self._steps(self.tone)[1:][np.diff(self.tone) > 0]
        return np.asarray((coverage <= grows[0]) | (coverage >= grows[-1]))

    @staticmethod
    def _steps(tone: _Numbers) -> _Numbers:
        return np.linspace(*TONED, len(tone))


def few_of(letters: Sequence[T]) -> list[T]:
    """Return enough letters to measure a page on, spread over it."""
    places = np.linspace(0, len(letters) - 1, min(FEW, len(letters)))
    return [letters[round(place)] for place in places]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """A letter beside its outline."""

    letter: Sample
    sight: Sight
    picture: _Numbers
    """Shape (h, w): coverage with paper laid round."""
    own: NDArray[np.bool_]
    """Which pixels show this letter or its paper and were not cut off, shape (h, w)."""

    @classmethod
    def of(cls, letter: Sample, optics: Optics, mask: Mask | None = None) -> "Seen | None":
        """Return the letter traced as it was before the mask; none without ink."""
        coverage = letter.unsharpened(mask) if mask else letter.coverage
        sight = sight_of(coverage, noise=letter.noise, optics=optics)
        if sight is None:
            return None
        picture = np.pad(np.asarray(letter.coverage, dtype=np.float64), PAPER)
        own = (picture != 0) & ~letter.clipped(picture)
        return cls(letter=letter, sight=sight, picture=picture, own=own)

    def model(self, blur: float, encoded: bool) -> "Model":
        """Return the outline as values of one kind would show it under that blur."""
        shape = self.sight.kernel.shape
        coverage = Kernel.of(self.sight.kernel.walk, shape, blur).coverage()
        values = self.letter.saved(coverage) if encoded else coverage
        return Model(
            parts=np.stack([values, np.hypot(*np.gradient(values))]),
            steep=self.letter.steepness(coverage) if encoded else np.ones(shape),
        )

    def miss(self, model: "Model", mask: Mask) -> _Numbers:
        """Return how far pixels stray from the outline under that mask, in units of noise, (k,).

        `model` is of the kind of values that the mask is laid on. Ink, paper and how far the outline as a
        whole lies off are fitted: one that was traced from sharpened letters lies too far in.
        """
        own, picture = self.own, self.picture[self.own]
        steep = model.steep[own]
        columns = np.stack([*mask.laid_on(model.parts), np.ones(own.shape)])[:, own]
        values = self.letter.saved(picture) if mask.encoded else picture
        mixed = np.linalg.lstsq((columns / steep).T, values / steep)[0] @ columns
        explained = self.letter.covered(mixed) if mask.encoded else mixed
        return np.asarray((picture - explained) / self.letter.noise)


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """What an outline looks like under some blur, on values of one kind."""

    parts: _Numbers
    """Shape (2, h, w): the values, and how much they would change where the outline lay a px off."""
    steep: _Numbers
    """Shape (h, w): by how much more than the coverage the values change."""
