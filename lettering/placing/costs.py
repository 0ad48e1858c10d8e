"""What candidates cost beyond the hard rules: alone, and two together."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.support import clearance, reach, reach_of
from lettering.placing.between import Between, Clear
from lettering.placing.busyness import busyness
from lettering.placing.candidates import Candidates
from lettering.placing.placement import LineToPlace, Speaker, SpreadToPlace
from lettering.placing.tails import Tails
from lettering.placing.weights import Weights

Costs = NDArray[np.float64]

COMFORT_MM = 20.0
"""A mouth this far from its bubble is near."""
FAR_MM, FARTHER_MM = 45.0, 25.0
"""Beyond a mouth this far away each mm costs more: twice as much when it is farther still by the second."""
SEEN_X_HEIGHTS = 1.8
"""A tail shorter than this is hardly seen."""
HALF_WAY = 0.5
"""A tail that goes less of the way than this hardly points (common practice: 50-70 %)."""
POINTING_X_HEIGHTS = 4.0
"""A tail this long points, however far the mouth is."""
ABOVE_MM = 15.0
"""A bubble this far above the mouth is high enough."""
AIRY_MM = 12.0
"""Two bubbles this far apart do not crowd each other."""
STANDOFF_MM = 2.0
"""Nearer than this an outline seems to touch what it passes (common practice, no source)."""
EDGE_MM = 6.0
"""A bubble this far inside the safe margin does not cling to it."""
ALMOST_MM = 4.0
"""Tops of neighbours that differ by less than this look as if they were meant to be in line."""


def bodies(spread: SpreadToPlace, found: Candidates, weights: Weights) -> Costs:
    """Return what each candidate costs by its body alone, (n,)."""
    line, box, frame = found.line, found.box, spread.frame
    cost = weights.stack * np.array([shape.cost for shape in line.shapes])[found.shape]
    if not _closes(spread, line):
        cost += weights.high * (found.middle[:, 1] - frame.safe.y0) / frame.safe.height
    cost += _clinging(spread, found, weights) + _near_things(spread, found, weights)
    cost += _ends(spread, found, weights)
    if spread.detail is not None:
        cost += weights.busy * busyness(spread.detail, frame.trim, box)
    if line.former is not None:
        away = np.hypot(*(found.centre - (line.former.centre.x, line.former.centre.y)).T)
        cost += weights.moved * np.minimum(away, 60.0) / 10
        cost += weights.restacked * (found.shape != line.former.shape)
    return cost


def _closes(spread: SpreadToPlace, line: LineToPlace) -> bool:
    """Tell whether a line is narration that ends its spread: it may stand at the foot."""
    return not line.speakers and len(spread.lines) > 1 and line is spread.lines[-1]


def _clinging(spread: SpreadToPlace, found: Candidates, weights: Weights) -> Costs:
    safe, box = spread.frame.safe, found.box
    room = np.stack([box[:, 0] - safe.x0, box[:, 1] - safe.y0, safe.x1 - box[:, 2], safe.y1 - box[:, 3]])
    clinging: Costs = np.clip(1 - room / EDGE_MM, 0.0, 1.0).sum(axis=0)
    return weights.edge * clinging


def _near_things(spread: SpreadToPlace, found: Candidates, weights: Weights) -> Costs:
    rects = [rect for _, rect in spread.figures] + list(spread.keep_clear)
    cost = np.zeros(len(found))
    for rect in rects:
        cost += weights.tangent * _fades(clearance(found.body, reach_of(rect)), STANDOFF_MM)
    return cost


def away(found: Candidates, weights: Weights) -> Costs:
    """Return roughly what each candidate pays for the way to its speakers, (n,), before it has tails."""
    cost = np.zeros(len(found))
    for speaker in found.line.speakers:
        if speaker.target is not None:
            mouth = reach(np.array([(speaker.target.x, speaker.target.y)]))
            cost += weights.reach * _far(clearance(found.body, mouth))
    return cost


def _far(way: NDArray[np.floating]) -> Costs:
    """Return how far a mouth is beyond comfort, in tens of mm; what is far counts for more."""
    far: Costs = np.maximum(way - COMFORT_MM, 0.0) + np.maximum(way - FAR_MM, 0.0) ** 2 / (2 * FARTHER_MM)
    return far / 10


def tails(spread: SpreadToPlace, found: Candidates, weights: Weights) -> Costs:
    """Return what each candidate costs by its tails, (n,)."""
    cost = np.zeros(len(found))
    for speaker, tail, hull in zip(found.line.speakers, found.tails, found.tail_hulls, strict=True):
        cost += weights.reach * _far(tail.way)
        cost += weights.stub * np.maximum(SEEN_X_HEIGHTS * spread.x_height_mm - tail.length, 0.0)
        pointing = np.minimum(HALF_WAY * tail.way, POINTING_X_HEIGHTS * spread.x_height_mm)
        cost += weights.short * np.maximum(pointing - tail.length, 0.0)
        cost += weights.bend * tail.turn
        if speaker.target is None:
            cost += weights.reach * _far(_to_edge(spread, found, speaker))
        else:
            cost += weights.misread * _misread(spread, found, tail)
            cost += weights.below * np.maximum(found.middle[:, 1] - speaker.target.y + ABOVE_MM, 0.0) / 10
        if speaker.box is not None:
            cost += weights.across * np.maximum(-clearance(hull, reach_of(speaker.box)), 0.0) / 10
        if spread.frame.fold_x is not None:
            fold = spread.frame.fold_x
            cost += weights.fold * ((tail.root[:, 0] > fold) != (tail.target[:, 0] > fold))
        for rect in spread.keep_clear:
            cost += weights.hides * (clearance(hull, reach_of(rect)) < 0)
    return cost


def _to_edge(spread: SpreadToPlace, found: Candidates, speaker: Speaker) -> Costs:
    """Return how far each body is from the edge that its speaker is beyond, (n,), mm."""
    trim, box = spread.frame.trim, found.box
    gaps: dict[str, Costs] = {
        "left": box[:, 0] - trim.x0,
        "top": box[:, 1] - trim.y0,
        "right": trim.x1 - box[:, 2],
        "bottom": trim.y1 - box[:, 3],
    }
    return gaps[speaker.off or "top"]


def _misread(spread: SpreadToPlace, found: Candidates, tail: Tails) -> Costs:
    """Return how much nearer each tip is to another character than to its own: 0 no nearer, 1 on it."""
    own = np.hypot(*(tail.target - tail.tip).T)
    speaking = {one.who for one in found.line.speakers}
    tip, worst = reach(tail.tip[:, None]), np.zeros(len(own))
    for who, rect in spread.figures:
        if who not in speaking:
            other = np.maximum(clearance(tip, reach_of(rect)), 0.0)
            worst = np.maximum(worst, 1 - other / np.maximum(own, 1e-9))
    return worst


def _ends(spread: SpreadToPlace, found: Candidates, weights: Weights) -> Costs:
    """Return the price of a first bubble that does not open the spread, and a last that does not close it."""
    safe = spread.frame.safe
    x, y = (found.middle[:, 0] - safe.x0) / safe.width, (found.middle[:, 1] - safe.y0) / safe.height
    cost = np.zeros(len(found))
    if found.line is spread.lines[0]:
        cost += weights.enter * (x + y) / 2
    if found.line is spread.lines[-1] and spread.frame.fold_x is not None:
        cost += weights.leave * ((1 - x) + (1 - y)) / 2
    return cost


def together(
    spread: SpreadToPlace,
    between: Between,
    first: Candidates,
    second: Candidates,
    weights: Weights,
    *,
    next_: bool,
) -> Costs:
    """Return what two lines cost together, (n, m); `next_` when the second follows at once."""
    clear = between.bodies
    cost = weights.tangent * _fades(clear, BODY_STANDOFF_MM) + weights.crowded * _fades(clear, AIRY_MM)
    for tail in (*between.first_tails, *between.second_tails):
        cost += weights.tangent * _fades(tail, TAIL_STANDOFF_MM)
    tops = np.abs(first.box[:, None, 1] - second.box[None, :, 1])
    cost += weights.askew * ((tops > 0.3) & (tops < ALMOST_MM) & (clear < 30.0))
    cost += weights.doubtful * _doubtful(spread, first, second)
    return cost + _path(spread, first, second, clear, weights) if next_ else cost


def _doubtful(spread: SpreadToPlace, first: Candidates, second: Candidates) -> NDArray[np.bool_]:
    """Return where the second lies level with part of the first and mostly to its left, on one page."""
    a, b = first.box[:, None], second.box[None]
    left: NDArray[np.bool_] = (
        ((b[..., 0] + b[..., 2]) / 2 < a[..., 0]) & (b[..., 1] < a[..., 3]) & (b[..., 3] > a[..., 1])
    )
    if (fold := spread.frame.fold_x) is None:
        return left
    left &= (a[..., 0] > fold) == (b[..., 0] > fold)
    return left


TAIL_STANDOFF_MM = 4.0
"""A tail nearer than this to another's bubble might be taken for its tail."""
BODY_STANDOFF_MM = 3.0
"""Two outlines nearer than this seem to touch."""


def _path(
    spread: SpreadToPlace, first: Candidates, second: Candidates, clear: Clear, weights: Weights
) -> Costs:
    """Return the price of the eye's way from one bubble to the next, none from page to page."""
    step = second.middle[None] - first.middle[:, None]
    back, climb = np.maximum(-step[..., 0], 0.0), np.maximum(-step[..., 1], 0.0)
    cost: Costs = weights.step * np.maximum(clear - AIRY_MM, 0.0) / 10
    cost = cost + weights.backward * (back + climb) / 10
    if (fold := spread.frame.fold_x) is None:
        return cost
    same = (first.middle[:, None, 0] > fold) == (second.middle[None, :, 0] > fold)
    return np.where(same, cost, 0.0)


def _fades(clear: Clear, until: float) -> Costs:
    """Return 1 where there is no clear distance, fading to 0 at `until` mm."""
    fading: Costs = np.clip(1 - clear / until, 0.0, 1.0)
    return fading
