"""The hard rules: how far each candidate breaks each of them, and which two candidates exclude each other."""

from collections.abc import Iterator
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from lettering.book.page import Frame
from lettering.geometry.rect import Rect
from lettering.geometry.support import Reach, clearance, moved, reach, reach_of
from lettering.placing.between import Between
from lettering.placing.candidates import Candidates
from lettering.placing.placement import SpreadToPlace

LINE_MM = 0.4
"""Room for the drawn line round an outline and for the outline's flattening: rules keep this much more."""

FACE_X_HEIGHTS = 0.45
"""Least distance of a tail from its speaker's face, in x-heights: a little less than where tips stop."""

FOOT_X_HEIGHTS = 0.5
"""Least distance of a tail from a body that meets its own, in x-heights, so that its foot is not hidden."""

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
    depths += _among(spread, found)
    return np.max(depths, axis=0) if depths else np.zeros(len(found))


def _among(spread: SpreadToPlace, found: Candidates) -> Iterator[Depths]:
    """Yield how near, among bubbles that meet, tails come to bodies not their own, and to each other."""
    room = FOOT_X_HEIGHTS * spread.x_height_mm
    for index, shape in enumerate(found.line.shapes):
        if not (shape.parts and (found.shape == index).any()):
            continue
        here = np.flatnonzero(found.shape == index)
        parts = [moved(reach(part), found.centre[here]) for part in shape.parts]
        bearers = [tail.part[here] for tail in found.tails]
        hulls = found.tail_hulls[:, here]
        near = [
            np.where(bearer == k, np.inf, clearance(hull, part)) - room
            for k, part in enumerate(parts)
            for bearer, hull in zip(bearers, hulls, strict=True)
        ]
        near += [clearance(one, other) - LINE_MM for one, other in combinations(hulls, 2)]
        depths = np.zeros(len(found))
        depths[here] = np.maximum(-np.min(near, axis=0), 0.0) if near else 0.0
        yield depths


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
    """Return where `first` is sure to be read before `second`, (n, m), every bubble in it before every one.

    On one page the second lies lower by half the smaller height, or to the right and not higher by more
    than that; a left page is read before a right page (house default, for left-to-right books).
    """
    pairs = [_follows(a[:, None], b[None], frame) for a, b in product(first.parts, second.parts)]
    return np.asarray(np.all(pairs, axis=0))


def _follows(a: NDArray[np.float64], b: NDArray[np.float64], frame: Frame) -> NDArray[np.bool_]:
    """Return where the bubble in box `a` is sure to be read before that in `b`, (..., 4) each."""
    right, down = ((b[..., k] + b[..., k + 2] - a[..., k] - a[..., k + 2]) / 2 for k in range(2))
    half = np.minimum(a[..., 3] - a[..., 1], b[..., 3] - b[..., 1]) / 2
    follows: NDArray[np.bool_] = down >= half + ORDER_SLACK_MM
    follows |= (right > ORDER_SLACK_MM) & (down >= ORDER_SLACK_MM - half)
    if frame.fold_x is None:
        return follows
    page_a, page_b = ((box[..., 0] + box[..., 2]) / 2 > frame.fold_x for box in (a, b))
    return np.where(page_a == page_b, follows, page_b)
