"""Bubbles over random stacks: time, pieces, clearance and tails, measured from outside with shapely.

Run from the project's root: python -m benchmarks.bubbles [stacks]

Every stack gets a bubble in every voice, and a tail toward a random mouth. Beside a figure stands its goal,
where there is one. The most clearance is bounded for calm bodies; a cloud's scallops and a burst's spikes
stand out from such a body, and a caption's frame is a box: for these it tells how far they reach.
"""

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from time import process_time

import numpy as np
import shapely
from shapely.affinity import scale

from lettering.book.line import Voice
from lettering.bubbles.air import MOST_AIR
from lettering.bubbles.body import body
from lettering.bubbles.bubble import Tail
from lettering.bubbles.join import bubble
from lettering.bubbles.tail import tail
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

STACKS = 1000
X_HEIGHT, AIR, LINE = 4.0, 4.0, 0.6
VOICES: tuple[Voice, ...] = ("plain", "whisper", "thought", "shout", "caption")
CALM_VOICES = ("plain", "whisper")
MOST_OFF, SHARES = 10.0, (0.5, 0.7)
"""Greatest angle from a tail's end to the way to the mouth, degrees, and how much of the way it may go."""
BODY_MS = 1.0
"""Goal for a plain body: with four of them and 4 ms of setting a bubble of 12 words takes 8 ms."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aimed:
    """How a tail lies."""

    off: float
    """Degrees between its end and the way to the mouth."""
    share: float
    """How much of the way from its root to the mouth it goes."""

    @property
    def kept(self) -> bool:
        """Whether it meets the rule."""
        return self.off <= MOST_OFF and SHARES[0] <= self.share <= SHARES[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What one bubble came to."""

    body_ms: float
    whole_ms: float
    pieces: int
    least: float
    """Least clearance, in airs."""
    most: float
    """Most clearance from the hull of the ink and its mirror image upside down, in airs."""
    simple: bool
    aimed: Aimed | None
    """None without a tail that points."""


def random_stack(random: np.random.Generator) -> list[Rect]:
    """Return letter-like boxes in one to seven centred rows of rounded widths, mm."""
    count, middle = int(random.integers(1, 8)), random.uniform(6, 70)
    boxes = []
    for i in range(count):
        off = abs(i - (count - 1) / 2) / max(count, 1)
        half = max(3.0, middle * (1 - 0.5 * off**1.2) * random.uniform(0.6, 1)) / 2
        for left in np.arange(-half, half - 1, 3.0):
            up, down = random.choice([[1.0, 0.0], [1.7, 0.0], [1.0, 0.5]])
            baseline = 2 * X_HEIGHT * i
            right = min(left + 2.6, half)
            boxes.append(Rect(left, baseline - up * X_HEIGHT, right, baseline + down * X_HEIGHT))
    return boxes


def evened(ink: shapely.Geometry) -> shapely.Geometry:
    """Return the hull of the ink and its mirror image upside down."""
    return shapely.union(ink, scale(ink, yfact=-1, origin="center")).convex_hull


def mouth_round(outline: Contour, random: np.random.Generator) -> Point:
    """Return a random point 8 to 70 mm beyond the circle round a body."""
    box, angle = outline.bounds, random.uniform(0, 2 * math.pi)
    radius = math.hypot(box.width, box.height) / 2 + random.uniform(8, 70)
    return Point(box.centre.x + radius * math.cos(angle), box.centre.y + radius * math.sin(angle))


def aimed(drawn: Tail, mouth: Point) -> Aimed:
    """Return how a tail lies, its end judged by the middle line over its last fifth."""
    reach = 0.2 * (drawn.tip - drawn.root).length
    points = drawn.outline.flattened(0.005)
    away = np.hypot(points[:, 0] - drawn.tip.x, points[:, 1] - drawn.tip.y)
    at, far = int(away.argmin()), away >= reach
    before, after = points[:at][far[:at]][-1], points[at:][far[at:]][0]
    x, y = np.array([drawn.tip.x, drawn.tip.y]) - (before + after) / 2
    wanted = math.atan2(mouth.y - drawn.tip.y, mouth.x - drawn.tip.x)
    off = abs(math.degrees(math.remainder(math.atan2(y, x) - wanted, 2 * math.pi)))
    return Aimed(off=off, share=1 - (mouth - drawn.tip).length / (mouth - drawn.root).length)


def measured(ink: list[Rect], voice: Voice, seed: str, random: np.random.Generator) -> Measured:
    """Return the measures of one bubble."""
    started = process_time()
    outline = body(ink, air_mm=AIR, voice=voice, seed=seed)
    body_s = process_time() - started
    mouth = mouth_round(outline, random)
    started = process_time()
    tails = [tail(outline, target=mouth, x_height_mm=X_HEIGHT, line_mm=LINE, voice=voice)]
    joined = bubble(outline, tails if voice != "caption" else [], line_mm=LINE, voice=voice, seed=seed)
    rest_s = process_time() - started
    drawn = shapely.union_all([shapely.box(r.x0, r.y0, r.x1, r.y1) for r in ink])
    ring = outline.flattened(0.001)
    return Measured(
        body_ms=body_s * 1000,
        whole_ms=(body_s + rest_s) * 1000,
        pieces=len(outline),
        least=float(shapely.LinearRing(ring).distance(drawn)) / AIR,
        most=float(shapely.distance(shapely.points(ring[::4]), evened(drawn)).max()) / AIR,
        simple=all(shapely.Polygon(c.flattened(0.002)).is_valid for c in joined.outline.contours),
        aimed=aimed(tails[0], mouth) if voice not in ("thought", "caption") else None,
    )


def row(name: str, values: Sequence[float], goal: str = "", kept: bool | None = None) -> None:
    """Print least, median, 95th percentile and most, and whether the goal is kept."""
    low, middle, high, most = min(values), np.median(values), np.percentile(values, 95), max(values)
    verdict = "" if kept is None else ", kept" if kept else ", MISSED"
    print(f"  {name:22s}{low:9.3f}{middle:9.3f}{high:9.3f}{most:9.3f}   {goal}{verdict}")


def report(voice: Voice, every: Sequence[Measured]) -> None:
    """Print what all bubbles of a voice came to."""
    simple = sum(m.simple for m in every) / len(every)
    print(f"\n{voice}")
    print(f"  outlines simple       {simple:9.1%}   goal 100 %, {'kept' if simple == 1 else 'MISSED'}")
    times, calm = [m.body_ms for m in every], voice in CALM_VOICES
    if calm:
        row("body, ms", times, f"goal median {BODY_MS:.0f}", bool(np.median(times) <= BODY_MS))
    else:
        row("body, ms", times)
    row("with tail, joined, ms", [m.whole_ms for m in every])
    row("pieces a body", [m.pieces for m in every])
    least, most = [m.least for m in every], [m.most for m in every]
    row("least clearance, airs", least, "goal >= 1", min(least) >= 1)
    if calm:
        row("most clearance, airs", most, f"goal <= {MOST_AIR}", max(most) <= MOST_AIR)
    else:
        row("stands out to, airs", most)
    tails = [m.aimed for m in every if m.aimed]
    if tails:
        row("aim, degrees off", [t.off for t in tails], f"goal <= {MOST_OFF:.0f}")
        row("share of the way", [t.share for t in tails], f"goal {SHARES[0]} to {SHARES[1]}")
        rule = sum(t.kept for t in tails) / len(tails)
        print(f"  tails that meet both  {rule:9.1%}   goal 100 %, {'kept' if rule == 1 else 'MISSED'}")


def main(count: int) -> None:
    """Measure `count` random stacks in each voice and print a table."""
    random = np.random.default_rng(7)
    body(random_stack(random), air_mm=AIR)
    print(f"{count} stacks, each in every voice; columns: least, median, 95 %, most")
    stacks = [random_stack(random) for _ in range(count)]
    for voice in VOICES:
        report(voice, [measured(ink, voice, str(i), random) for i, ink in enumerate(stacks)])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else STACKS)
