"""The hard rules: how far each candidate breaks each of them, and which two candidates exclude each other."""

import numpy as np
from numpy.typing import NDArray

from lettering.book.page import Frame
from lettering.geometry.rect import Rect
from lettering.geometry.support import Reach, clearance, reach_of
from lettering.placing.between import Between
from lettering.placing.candidates import Candidates
from lettering.placing.placement import SpreadToPlace

LINE_MM = 0.4
"""Room for the drawn line round an outline and for the outline's flattening: rules keep this much more."""

FACE_X_HEIGHTS = 0.45
"""Least distance of a tail from its speaker's face, in x-heights: a little less than where tips stop."""

Depths = NDArray[np.float64]
"""How far a rule is broken, mm: 0 where it is kept."""

RULES = ("tail", "keep-clear", "figure", "order", "gutter", "safe", "overlap")
"""The rules, in the order in which they are given up when a spread cannot keep them all."""


def alone(spread: SpreadToPlace, found: Candidates) -> dict[str, Depths]:
    """Return for each rule that concerns a single bubble how far each candidate breaks it, (n,), mm."""
    return bodies(spread, found) | {"tail": tails(spread, found)}


def bodies(spread: SpreadToPlace, found: Candidates) -> dict[str, Depths]:
    """Return for each rule that concerns a single body how far each candidate breaks it, (n,), mm."""
    return {
        "safe": _outside(found.box, spread.frame.safe),
        "gutter": _in_gutter(found.box, spread.frame),
        "figure": _into(found.body, [reach_of(rect) for _, rect in spread.figures]),
        "keep-clear": _into(found.body, [reach_of(rect) for rect in spread.keep_clear]),
    }


def _outside(box: NDArray[np.float64], safe: Rect) -> Depths:
    over = np.stack([safe.x0 - box[:, 0], safe.y0 - box[:, 1], box[:, 2] - safe.x1, box[:, 3] - safe.y1])
    return _beyond(over.max(axis=0), 1e-6)


def _in_gutter(box: NDArray[np.float64], frame: Frame) -> Depths:
    if frame.gutter is None:
        return np.zeros(len(box))
    inside = np.minimum(box[:, 2] - frame.gutter.x0, frame.gutter.x1 - box[:, 0])
    return _beyond(inside, 1e-6)


def _into(shapes: Reach, obstacles: list[Reach]) -> Depths:
    depths = [np.maximum(LINE_MM - clearance(shapes, other), 0.0) for other in obstacles]
    return np.max(depths, axis=0) if depths else np.zeros(len(shapes))


def tails(spread: SpreadToPlace, found: Candidates) -> Depths:
    """Return how deep the tails reach into other characters' boxes, places to keep clear or the own face."""
    speaking = {speaker.who for speaker in found.line.speakers}
    others = [reach_of(rect) for who, rect in spread.figures if who not in speaking]
    others += [reach_of(rect) for rect in spread.keep_clear]
    depths = [_into(hull, others) for hull in found.tail_hulls]
    room = FACE_X_HEIGHTS * spread.x_height_mm - LINE_MM
    for speaker, hull in zip(found.line.speakers, found.tail_hulls, strict=True):
        if speaker.face is not None:
            depths.append(_into(hull, [reach_of(speaker.face.inset(-room))]))
    return np.max(depths, axis=0) if depths else np.zeros(len(found))


def _beyond(depth: Depths, slack: float) -> Depths:
    return np.where(depth > slack, depth, 0.0)


BETWEEN_MM = 1.5
"""Least clear distance between two bodies."""


def together(
    clear: Between, first: Candidates, second: Candidates, frame: Frame
) -> dict[str, NDArray[np.bool_]]:
    """Return for each rule that concerns two bubbles where it is broken, (n, m); `first` is spoken before."""
    near = np.concatenate([clear.first_tails, clear.second_tails, clear.tails]) < LINE_MM
    return {
        "overlap": clear.bodies < BETWEEN_MM,
        "tail": np.asarray(near.any(axis=0)),
        "order": ~in_order(first, second, frame),
    }


ORDER_SLACK_MM = 0.3
"""Reading order is kept by this much more than the rule asks, so that drawing cannot spoil it."""


def in_order(first: Candidates, second: Candidates, frame: Frame) -> NDArray[np.bool_]:
    """Return where `first` is sure to be read before `second`, (n, m).

    On one page the second lies lower by half the smaller height, or to the right and not higher by more
    than that; a left page is read before a right page (house default, for left-to-right books).
    """
    a, b = first.middle[:, None], second.middle[None]
    half = np.minimum(first.height[:, None], second.height[None]) / 2
    right, down = b[..., 0] - a[..., 0], b[..., 1] - a[..., 1]
    follows = (down >= half + ORDER_SLACK_MM) | ((right > ORDER_SLACK_MM) & (down >= ORDER_SLACK_MM - half))
    if frame.fold_x is None:
        return follows
    page_a, page_b = a[..., 0] > frame.fold_x, b[..., 0] > frame.fold_x
    return np.where(page_a == page_b, follows, page_b)
