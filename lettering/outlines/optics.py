"""How a page was seen: its blur and the grain of its paper."""

import math
from dataclasses import dataclass

BLUR = 0.7
"""Usual blur of a scan, px, when the page does not tell."""


SMOOTHING = 0.7
"""Gaussian, px, under which edges are looked for in even ink: about the blur of the scan itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Optics:
    """What stands between the ink and its picture."""

    blur: float = BLUR
    """Gaussian blur of a point, px, the pixel's own square left aside."""
    grain: float = 1.0
    """Power of the paper's noise at low frequency, as a multiple of what independent pixels would have."""

    smoothing: float = SMOOTHING
    """Gaussian, px, under which edges are first looked for: wider where tooth breaks up the ink."""
    unexplained: float = 0.0
    """What no outline explains of the pixels along an edge, sd of coverage; 0 where it is but noise.

    Crisp pages from a screen, and whatever else is not a Gaussian blur, are not to be followed closer.
    """

    @property
    def spread(self) -> float:
        """Standard deviation of an edge as the picture shows it, px: blur and the pixel's square."""
        return math.hypot(self.blur, 1 / math.sqrt(12))


USUAL = Optics()
"""A scan that adds nothing: what is reckoned with when the page is not known."""
