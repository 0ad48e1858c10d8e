"""The four edges of a page on a desk.

Edges are straight lines along which the light changes. Each point of a small copy of the picture votes for
the line that its own gradient says it lies on (Hough's transform with known direction); strong lines are put
together to four-sided figures, and the figure whose whole outline is edge wins.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, map_coordinates, maximum_filter

SMALL_PX = 480
"""Longest side of the small copy in which edges are looked for."""
LINES = 14
"""Strongest lines that may be edges of the paper."""
LEAST_AREA = 0.12
"""Smaller figures are no lettered page but something drawn on it; share of the picture."""
LEAST_SUPPORT = 0.6
"""Share of each side along which the light must really change."""
LEAST_CURVED = 0.35
"""The same for an edge that curves, where the figure's four sides all part paper from something else."""
LOOKED_AT = 40
"""Best figures that are looked at closely."""
LEAST_STEP = 0.03
"""Change of light (root of linear, 0..1) across an edge that counts."""
DIFFERENT = 0.02
"""Paper is lighter, or darker, than the desk by so much (root of linear light) on three sides at least."""
PAPER_SHARE = 0.8
"""Quantile of light that is blank paper's: between letters there is more paper than ink."""
LONGEST = 4.0
"""A page is at most so many times as long as wide: what is longer is a row of lettering, or a rule."""
OUTSIDE = 0.15
"""How far a corner may lie out of the picture, share of its longer side."""

Point = NDArray[np.float64]
"""Shape (2,): x, y in px."""
Quad = NDArray[np.float64]
"""Shape (4, 2): corners x, y in px, clockwise as seen from the upper left."""


def paper_corners(light: NDArray[np.float32]) -> Quad | None:
    """Return the corners of the page in a picture of linear `light` (h, w); none when none is seen whole."""
    seen = Seen.of(light)
    rough = _best_quad(figures(seen, LINES), seen)
    return None if rough is None else _refined(light, (rough + 0.5) * seen.step, 2.0 * seen.step)


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """The small copy of a picture in which edges are looked for."""

    step: int
    """Px of the picture to one of the copy's."""
    tone: NDArray[np.float32]
    """Shape (h, w): root of linear light, smoothed."""
    down: NDArray[np.float32]
    across: NDArray[np.float32]
    """Its gradient, shape (h, w)."""

    @classmethod
    def of(cls, light: NDArray[np.float32]) -> "Seen":
        """Return the small copy of a picture of linear light (h, w)."""
        step = max(1, max(light.shape) // SMALL_PX)
        height, width = (side // step * step for side in light.shape)
        small = light[:height, :width].reshape(height // step, step, width // step, step).mean(axis=(1, 3))
        tone = gaussian_filter(np.sqrt(small), 1.2)
        return cls(step, tone, *np.gradient(tone))


def figures(seen: Seen, count: int, least: float = LEAST_AREA) -> list[tuple[float, Quad]]:
    """Return the figures that the `count` strongest lines bound and whose sides are edges, the best first.

    They take at least the share `least` of the picture. Each comes with its score, and its corners in px of
    the small copy.
    """
    lines = _lines(seen.down, seen.across, count)
    scored = [(_score(quad, seen.down, seen.across), quad) for quad in _quads(lines, seen.down.shape, least)]
    return sorted((pair for pair in scored if pair[0] > 0), key=lambda pair: -pair[0])


def _lines(down: NDArray[np.float32], across: NDArray[np.float32], count: int) -> list[tuple[float, float]]:
    """Return the strongest lines as (angle of the normal, distance from the origin)."""
    strength = np.hypot(down, across)
    strong = strength > max(LEAST_STEP / 4, float(np.quantile(strength, 0.8)))
    y, x = np.nonzero(strong)
    turn = np.arctan2(down[strong], across[strong])
    angles, reach = 360, int(np.hypot(*strength.shape)) + 2
    votes = np.zeros((angles, 2 * reach))
    weight = np.minimum(strength[strong], LEAST_STEP)
    for off in np.radians(np.arange(-4, 5)):
        angle = np.mod(turn + off, 2 * np.pi)
        far = np.rint(x * np.cos(angle) + y * np.sin(angle)).astype(int) + reach
        np.add.at(votes, ((np.degrees(angle).astype(int)) % angles, far), weight)
    votes = gaussian_filter(votes, 1.0, mode=("wrap", "constant"))
    peaks = np.argwhere((votes == maximum_filter(votes, (15, 13), mode="wrap")) & (votes > 0))
    best = sorted(peaks.tolist(), key=lambda peak: -votes[peak[0], peak[1]])[:count]
    return [(np.radians(angle + 0.5), float(far - reach)) for angle, far in best]


def _best_quad(scored: Sequence[tuple[float, Quad]], seen: Seen) -> Quad | None:
    """Return the best figure on all sides of which paper ends; where there is none, on three sides."""
    ends = [paper_ends(seen.tone, quad) for _, quad in scored[:LOOKED_AT]]
    for least, support in ((4, LEAST_CURVED), (3, LEAST_SUPPORT)):
        for (_, quad), sides in zip(scored, ends, strict=False):
            if sides >= least and least_support(quad, seen) >= support:
                return quad
    return None


def least_support(quad: Quad, seen: Seen) -> float:
    """Return the share of a figure's side along which the light changes, of the side with the least."""
    return min(_supports(quad, seen.down, seen.across))


def _quads(lines: Sequence[tuple[float, float]], shape: tuple[int, ...], least: float) -> Iterator[Quad]:
    """Yield the figures that four lines bound, of a page's size and shape, inside the picture or nearly."""
    steep = [line for line in lines if abs(np.cos(line[0])) > 0.5]
    level = [line for line in lines if abs(np.sin(line[0])) > 0.5]
    slack = OUTSIDE * max(shape)
    for a, b in combinations(steep, 2):
        for c, d in combinations(level, 2):
            if len({a, b, c, d}) < 4:
                continue
            points = [_crossing(one, other) for one in (a, b) for other in (c, d)]
            if any(point is None for point in points):
                continue
            quad = clockwise(np.array(points, dtype=float))
            inside = (quad > -slack).all() and (quad < np.array(shape[::-1]) + slack).all()
            if inside and _page_like(quad, shape, least):
                yield quad


def _crossing(a: tuple[float, float], b: tuple[float, float]) -> Point | None:
    normals = np.array([[np.cos(a[0]), np.sin(a[0])], [np.cos(b[0]), np.sin(b[0])]])
    if abs(np.linalg.det(normals)) < 0.5:
        return None
    return np.asarray(np.linalg.solve(normals, [a[1], b[1]]))


def clockwise(points: Quad) -> Quad:
    """Return corners clockwise (y down), from the upper left."""
    away = points - points.mean(axis=0)
    order = np.argsort(np.arctan2(away[:, 1], away[:, 0]))
    turned = points[order]
    return np.roll(turned, -int(turned.sum(axis=1).argmin()), axis=0)


def _page_like(quad: Quad, shape: tuple[int, ...], least: float) -> bool:
    sides = np.roll(quad, -1, axis=0) - quad
    turns = sides[:, 0] * np.roll(sides[:, 1], -1) - sides[:, 1] * np.roll(sides[:, 0], -1)
    lengths = np.hypot(*sides.T)
    sines = turns / np.maximum(lengths * np.roll(lengths, -1), 1e-9)
    large = area(quad) > least * shape[0] * shape[1]
    return bool(large and (sines > 0.7).all() and lengths.max() < LONGEST * lengths.min())


def area(quad: Quad) -> float:
    """Return the area inside corners, px² (shoelace formula)."""
    x, y = quad.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def _score(quad: Quad, down: NDArray[np.float32], across: NDArray[np.float32]) -> float:
    """Return how well the sides of a figure are edges: the least side decides; 0 when one is none."""
    supports = _supports(quad, down, across)
    if min(supports) < LEAST_CURVED:
        return 0.0
    return float(np.mean(supports) * min(supports)) + 0.3 * area(quad) / down.size


def _supports(quad: Quad, down: NDArray[np.float32], across: NDArray[np.float32]) -> list[float]:
    return [_support(quad[k], quad[(k + 1) % 4], down, across) for k in range(4)]


def _support(
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    down: NDArray[np.float32],
    across: NDArray[np.float32],
) -> float:
    """Return the share of a side along which light changes one way across it, the picture's part only."""
    along = end - start
    length = float(np.hypot(*along))
    normal = np.array([along[1], -along[0]]) / length
    places = start + np.linspace(0.03, 0.97, 48)[:, None] * along
    inside = ((places >= 1) & (places < np.array(down.shape[::-1]) - 2)).all(axis=1)
    if inside.mean() < 0.5:
        return 0.0
    steps = []
    for off in (-1.5, -0.5, 0.5, 1.5):
        y, x = (places[inside] + off * normal).T[::-1]
        at = (
            np.clip(np.rint(y).astype(int), 0, down.shape[0] - 1),
            np.clip(np.rint(x).astype(int), 0, down.shape[1] - 1),
        )
        steps.append(across[at] * normal[0] + down[at] * normal[1])
    change = np.array(steps)
    least = LEAST_STEP / 4
    return float(max((change.max(axis=0) > least).mean(), (change.min(axis=0) < -least).mean()))


def paper_ends(tone: NDArray[np.float32], quad: Quad) -> int:
    """Return on how many sides of a figure something else than its inside begins, if three at least, else 0.

    Round a drawn frame, or a paragraph, the blank paper is as light as within. A side whose outside is not in
    the picture is believed.
    """
    steps = []  # from desk to paper
    for k in range(4):
        start, along = quad[k], quad[(k + 1) % 4] - quad[k]
        normal = np.array([along[1], -along[0]]) / np.hypot(*along)
        places = start + np.linspace(0.1, 0.9, 40)[:, None] * along
        levels = []
        for side in (-1, 1):
            x, y = (places[None] + side * np.arange(6, 12)[:, None, None] * normal).transpose(2, 0, 1)
            seen = (x >= 0) & (y >= 0) & (x < tone.shape[1]) & (y < tone.shape[0])
            at = y[seen].astype(int), x[seen].astype(int)
            levels.append(float(np.quantile(tone[at], PAPER_SHARE)) if seen.any() else np.nan)
        steps.append(levels[0] - levels[1])
    sides = max(int(np.sum(np.array(steps) > DIFFERENT)), int(np.sum(np.array(steps) < -DIFFERENT)))
    return sides + int(np.isnan(steps).sum()) if sides >= 3 else 0


def _refined(light: NDArray[np.float32], quad: Quad, reach: float) -> Quad:
    """Return the corners to a fraction of a pixel: each side is a line fitted to where the light changes."""
    sides = [_side(light, quad[k], quad[(k + 1) % 4], reach) for k in range(4)]
    corners = [_meeting(sides[k - 1], sides[k]) for k in range(4)]
    return np.array(corners)


def _side(light: NDArray[np.float32], start: Point, end: Point, reach: float) -> tuple[Point, Point]:
    """Return a point on a side and its direction, by least squares with outliers set aside."""
    along = (end - start) / np.hypot(*(end - start))
    normal = np.array([along[1], -along[0]])
    count = 160
    places = start + np.linspace(0.04, 0.96, count)[:, None] * (end - start)
    shifts = np.arange(-2 * reach, 2 * reach + 0.5, 0.5)
    points = places[:, None, :] + shifts[None, :, None] * normal
    seen = map_coordinates(light, points.transpose(2, 0, 1)[::-1] - 0.5, order=1, mode="nearest")
    change = np.abs(np.gradient(gaussian_filter(seen, (0, 2.0)), axis=1))
    peak = change.argmax(axis=1)
    near = np.abs(np.arange(len(shifts)) - peak[:, None]) <= 6
    weight = np.where(near, change, 0)
    found = (weight * shifts).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-9)
    trust = change.max(axis=1)
    place = np.linspace(0, 1, count)
    keep = trust > 0.3 * np.median(trust)
    for _ in range(6):
        fit = np.polyfit(place[keep], found[keep], 1)
        off = np.abs(found - np.polyval(fit, place))
        keep = off <= max(2.5 * 1.4826 * float(np.median(off[keep])), 0.3)
    ends = np.polyval(fit, [0.0, 1.0])
    first, last = places[0] + ends[0] * normal, places[-1] + ends[1] * normal
    return first, last - first


def _meeting(
    one: tuple[NDArray[np.float64], NDArray[np.float64]],
    other: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> NDArray[np.float64]:
    ways = np.linalg.solve(np.stack([one[1], -other[1]], axis=1), other[0] - one[0])
    return np.asarray(one[0] + ways[0] * one[1])
