"""The tails that bubbles would have at very many places at once."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from lettering.book.page import Frame
from lettering.bubbles.axis import FACE_X_HEIGHTS, tail_axis
from lettering.geometry.contour import Points
from lettering.geometry.rect import Rect
from lettering.placing.placement import Speaker

OFF_MM = 65.0
"""How far from the middle of a bubble its tail aims when its speaker is beyond an edge that is farther."""

LEAST_SHARE = 0.4
"""How much of the way to a mouth whose face is but guessed a tail goes at least."""

ROOT_HALF = 0.85
"""Half the room a tail's root takes, in x-heights: half its width and a little of its flare."""


@dataclass(frozen=True, slots=True)
class Tails:
    """One tail for each place of a body; arrays of shape (n, 2), mm."""

    root: Points
    elbow: Points
    tip: Points
    target: Points
    part: NDArray[np.intp]
    """Which body of several that meet bears it, (n,); 0 where there is but one."""

    @classmethod
    def empty(cls, count: int) -> "Tails":
        """Return so many tails that are yet to be put in."""
        root, elbow, tip, target = (np.empty((count, 2)) for _ in range(4))
        return cls(root, elbow, tip, target, np.empty(count, dtype=np.intp))

    def put(self, here: NDArray[np.intp], tails: "Tails") -> None:
        """Put `tails` in at the indices `here`."""
        for field in fields(self):
            getattr(self, field.name)[here] = getattr(tails, field.name)

    def only(self, kept: NDArray[np.intp]) -> "Tails":
        """Return the tails at the indices `kept`."""
        return Tails(*(getattr(self, field.name)[kept] for field in fields(self)))

    def borne_by(self, part: int) -> "Tails":
        """Return the tails as those of one part."""
        return replace(self, part=np.full(len(self.root), part))

    @property
    def way(self) -> NDArray[np.float64]:
        """From body to mouth, mm, shape (n,)."""
        return _length(self.target - self.root)

    @property
    def length(self) -> NDArray[np.float64]:
        """From root to tip, mm, shape (n,)."""
        return _length(self.tip - self.root)

    @property
    def turn(self) -> NDArray[np.float64]:
        """How far the tail bends, radians, shape (n,)."""
        first, last = self.elbow - self.root, self.tip - self.elbow
        cross = first[:, 0] * last[:, 1] - first[:, 1] * last[:, 0]
        turn: NDArray[np.float64] = np.abs(np.arctan2(cross, (first * last).sum(axis=1)))
        return turn

    def hull(self, x_height_mm: float) -> NDArray[np.float64]:
        """Return corners, shape (n, 5, 2), of a convex area that holds each tail."""
        along = self.target - self.root
        along = along / np.maximum(np.hypot(*along.T), 1e-9)[:, None]
        across = np.stack([-along[:, 1], along[:, 0]], axis=1) * x_height_mm * ROOT_HALF
        elbow = across * 0.7
        return np.stack(
            [self.root + across, self.root - across, self.elbow + elbow, self.elbow - elbow, self.tip], axis=1
        )


def tails(body: Points, centres: Points, speaker: Speaker, frame: Frame, x_height_mm: float) -> Tails:
    """Return the tail toward `speaker` of the polygon `body` (m, 2) at each of `centres` (n, 2), mm."""
    target = targets(centres, speaker, frame)
    axis = tail_axis(body, target - centres, x_height_mm=x_height_mm)
    root, elbow, tip = axis.root + centres, axis.elbow + centres, axis.tip + centres
    if (head := speaker.face or speaker.head) is not None:
        barred = head.inset(-FACE_X_HEIGHTS * x_height_mm)
        bend = _short_of(root, elbow, barred)
        near = np.where(bend == elbow, _short_of(elbow, tip, barred), bend)
        # What is but likely a face may be entered a little by a tail that would hardly point otherwise.
        tip = near if speaker.face else _as_far(near, tip, root, LEAST_SHARE * _length(target - root))
        elbow = np.where(bend == elbow, elbow, (root + tip) / 2)
    return Tails(root, elbow, tip, target, np.zeros(len(root), dtype=np.intp))


def targets(centres: Points, speaker: Speaker, frame: Frame) -> Points:
    """Return what the tails aim at from each of `centres`: the mouth, or the edge that hides the speaker.

    A far edge is aimed at, not reached for: the tail is no longer than it takes to point.
    """
    if speaker.target is not None:
        return np.broadcast_to((speaker.target.x, speaker.target.y), centres.shape)
    aims = centres.copy()
    axis, edge = _EDGES[speaker.off or "top"]
    way = getattr(frame.trim, edge) - centres[:, axis]
    aims[:, axis] += np.clip(way, -OFF_MM, OFF_MM)
    return aims


_EDGES = {"left": (0, "x0"), "right": (0, "x1"), "top": (1, "y0"), "bottom": (1, "y1")}


def _length(vectors: Points) -> NDArray[np.float64]:
    length: NDArray[np.float64] = np.hypot(vectors[:, 0], vectors[:, 1])
    return length


def _as_far(near: Points, far: Points, root: Points, least: NDArray[np.float64]) -> Points:
    """Return the points from `near` on to `far` that are `least` from `root`, or as far as they go."""
    a, b = _length(near - root), _length(far - root)
    share = np.clip((least - a) / np.maximum(b - a, 1e-9), 0.0, 1.0)
    return near + (far - near) * share[:, None]


def _short_of(start: Points, end: Points, rect: Rect) -> Points:
    """Return `end` drawn back to where the way from `start` enters `rect`."""
    way = end - start
    with np.errstate(divide="ignore", invalid="ignore"):
        near = ((rect.x0, rect.y0) - start) / way
        far = ((rect.x1, rect.y1) - start) / way
    enter = np.fmax.reduce(np.fmin(near, far), axis=1)
    leave = np.fmin.reduce(np.fmax(near, far), axis=1)
    meets = (enter <= leave) & (leave >= 0)
    share = np.where(meets, np.clip(enter, 0.0, 1.0), 1.0)
    return start + way * share[:, None]
