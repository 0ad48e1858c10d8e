"""What drawn letters look like: boxes, profiles, pictures, strokes and leans, measured all at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.rect import Rect
from lettering.hand.edges import Edges
from lettering.hand.likeness import distances, pictures
from lettering.hand.measure import leans, stroke_widths
from lettering.hand.profile import Profile, profiles
from lettering.hand.take import Drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The measures of drawn letters by identity (`id`); lengths in font units."""

    bounds: Mapping[int, Rect]
    profiles: Mapping[int, Profile]
    pictures: Mapping[int, NDArray[np.float64]]
    stems: Mapping[int, float]
    """Thickness of the stroke."""
    leans: Mapping[int, float]
    """How far steep edges lean to the right, radians."""
    _apart: dict[tuple[int, ...], NDArray[np.float64]] = field(default_factory=dict)
    """What was measured of groups, for it is asked several times."""

    @classmethod
    def at(cls, letters: Sequence[Drawn]) -> "Look":
        """Measure letters."""
        keys = [id(letter) for letter in letters]
        edges = Edges.of([letter.outline for letter in letters])
        return cls(
            bounds=dict(zip(keys, edges.rects(), strict=True)),
            profiles=dict(zip(keys, profiles(edges), strict=True)),
            pictures=dict(zip(keys, pictures(edges), strict=True)),
            stems=dict(zip(keys, stroke_widths(edges).tolist(), strict=True)),
            leans=dict(zip(keys, leans(edges).tolist(), strict=True)),
        )

    def touching(self, first: Drawn, second: Drawn) -> bool:
        """Tell whether the ink of two neighbours meets at some height."""
        gap = self.bounds[id(second)].x0 - self.bounds[id(first)].x1
        white = self.profiles[id(first)].right + self.profiles[id(second)].left
        return bool((white + gap).min() <= 0)

    def apart(self, group: Sequence[Drawn]) -> NDArray[np.float64]:
        """Return how far the drawings of a group are apart, shape (n, n)."""
        keys = tuple(map(id, group))
        if keys not in self._apart:
            self._apart[keys] = distances(np.stack([self.pictures[key] for key in keys]))
        return self._apart[keys]
