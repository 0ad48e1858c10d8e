"""The letters of a hand made ready for setting: what every line would otherwise work out again."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.setting.life import own_drift
from lettering.setting.stems import stem_life
from lettering.setting.weight import pressed

FLATNESS_UNITS = 0.3
"""Farthest a flattened outline may lie from its curve: 0.003 mm at an x-height of 5 mm."""
STEP_UNITS = 12.0
"""Points on an outline are at most so far apart; ink between them bulges by less than FLATNESS_UNITS."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Form:
    """One take at one weight, in font units."""

    take: Take
    knots: Floats
    """Shape (k, 3, 2): the knots of all contours, one after another."""
    ends: tuple[int, ...]
    """Where each contour ends in `knots`."""
    points: Points
    """Shape (p, 2): points along the ink's edge."""
    heavier_by: float
    """How far its outlines are moved outward."""
    advance: float
    """Its own room and what its greater weight adds."""

    @classmethod
    def of(cls, take: Take, heavier_by: float, scale: float) -> "Form":
        """Return a take whose outlines are scaled about the baseline, then moved outward by font units."""
        contours = [pressed(Contour(contour.knots * scale), heavier_by) for contour in take.outline.contours]
        contours = [Contour(contour.knots + (heavier_by, 0.0)) for contour in contours]
        return cls(
            take=take,
            heavier_by=heavier_by,
            knots=np.concatenate([contour.knots for contour in contours]),
            ends=tuple(np.cumsum([len(contour) for contour in contours]).tolist()),
            points=np.concatenate([_along(contour) for contour in contours]),
            advance=take.advance * scale + 2 * heavier_by,
        )


def _along(contour: Contour) -> Points:
    """Return points of an outline that are nowhere farther apart than STEP_UNITS."""
    corners = contour.flattened(FLATNESS_UNITS)
    steps = np.roll(corners, -1, axis=0) - corners
    counts = np.maximum(1, np.ceil(np.hypot(steps[:, 0], steps[:, 1]) / STEP_UNITS)).astype(int)
    which = np.repeat(np.arange(len(corners)), counts)
    share = (np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[which]
    points: Points = corners[which] + steps[which] * share[:, None]
    return points


class Forms:
    """The forms of a hand, each made when first asked for, and how close any two may stand."""

    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self.drift = own_drift(hand)
        self.life = stem_life(hand)
        self._forms: dict[tuple[str, float, float], Form] = {}
        self._rooms: dict[tuple[int, int, float], float] = {}
        self._edges: dict[tuple[int, float], tuple[Floats, float]] = {}

    def form(self, take: Take, heavier_by: float = 0.0, scale: float = 1.0) -> Form:
        """Return a take at a weight, font units, and a size beside the rest."""
        key = (take.name, heavier_by, scale)
        if key not in self._forms:
            self._forms[key] = Form.of(take, heavier_by, scale)
        return self._forms[key]

    def least_step(self, left: Form, right: Form, clear: float) -> float:
        """Return the least distance between two letters' origins that keeps their ink `clear` apart, units.

        Found by sweeping the ink of the right letter against that of the left one, grown by `clear`: no point
        of the one may lie left of the other's grown edge at its height.
        """
        key = (id(left), id(right), clear)
        if key not in self._rooms:
            edge, low = self._right_edge(left, clear)
            rows = (right.points[:, 1] - low) / EDGE_STEP
            reach = np.interp(rows, np.arange(len(edge)), edge, left=-np.inf, right=-np.inf)
            self._rooms[key] = float((reach - right.points[:, 0]).max())
        return self._rooms[key]

    def _right_edge(self, form: Form, clear: float) -> tuple[Floats, float]:
        """Return the right edge of a letter grown by `clear`, sampled upward from a lowest y."""
        key = (id(form), clear)
        if key not in self._edges:
            x, y = form.points.T
            low = float(y.min()) - clear
            heights = np.arange(low, float(y.max()) + clear + EDGE_STEP, EDGE_STEP)
            across = clear**2 - (heights[:, None] - y[None, :]) ** 2
            reach = np.where(across >= 0, x + np.sqrt(np.maximum(across, 0)), -np.inf)
            edge = reach.max(axis=1)
            self._edges[key] = (np.where(np.isfinite(edge), edge, -1e9), low)
        return self._edges[key]


EDGE_STEP = 4.0
"""Distance between samples of a letter's edge, font units."""

_ready: list[Forms] = []


def forms_of(hand: Hand) -> Forms:
    """Return the forms of a hand; the last few hands are kept, for a book sets hundreds of lines in one."""
    for forms in _ready:
        if forms.hand is hand:
            return forms
    _ready.append(Forms(hand))
    del _ready[:-16]
    return _ready[-1]
