"""Time, pieces and clearance of bubbles over random stacks, measured from outside with shapely.

Run: python benchmarks/bubbles.py [stacks]
"""

import math
import sys
from dataclasses import dataclass
from time import perf_counter

import numpy as np
import shapely

from lettering.book.line import Voice
from lettering.bubbles.body import body
from lettering.bubbles.bubble import Tail
from lettering.bubbles.join import bubble
from lettering.bubbles.tail import tail
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

X_HEIGHT, AIR, LINE = 4.0, 4.0, 0.6
VOICES: tuple[Voice, ...] = ("plain", "whisper", "thought", "shout", "caption")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What one bubble came to."""

    body_ms: float
    whole_ms: float
    pieces: int
    least: float
    """Least clearance, in airs."""
    most: float
    """Most clearance from the ink's hull, in airs."""
    simple: bool
    aim: float | None
    """Degrees between the tail's end and the way to the mouth; none without a tail that points."""


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


def end_direction(outline: Contour, tip: Point, reach: float) -> float:
    """Return where the end of a tail points, radians: its middle line over the last `reach` mm."""
    points = outline.flattened(0.005)
    away = np.hypot(points[:, 0] - tip.x, points[:, 1] - tip.y)
    at = int(away.argmin())
    before = next(p for p, d in zip(points[at::-1], away[at::-1], strict=True) if d >= reach)
    after = next(p for p, d in zip(points[at:], away[at:], strict=True) if d >= reach)
    x, y = np.array([tip.x, tip.y]) - (before + after) / 2
    return math.atan2(y, x)


def mouth_round(outline: Contour, random: np.random.Generator) -> Point:
    """Return a random point 8 to 70 mm beyond the circle round a body."""
    box, angle = outline.bounds, random.uniform(0, 2 * math.pi)
    radius = math.hypot(box.width, box.height) / 2 + random.uniform(8, 70)
    return Point(box.centre.x + radius * math.cos(angle), box.centre.y + radius * math.sin(angle))


def off_aim(drawn: Tail, mouth: Point) -> float:
    """Return the degrees between a tail's end and the way from its tip to the mouth."""
    pointing = end_direction(drawn.outline, drawn.tip, 0.2 * (drawn.tip - drawn.root).length)
    wanted = math.atan2(mouth.y - drawn.tip.y, mouth.x - drawn.tip.x)
    return abs(math.degrees(math.remainder(pointing - wanted, 2 * math.pi)))


def measured(voice: Voice, seed: int, random: np.random.Generator) -> Measured:
    """Return the measures of one bubble round a random stack."""
    ink = random_stack(random)
    started = perf_counter()
    outline = body(ink, air_mm=AIR, voice=voice, seed=str(seed))
    body_s = perf_counter() - started
    mouth = mouth_round(outline, random)
    started = perf_counter()
    tails = [tail(outline, target=mouth, x_height_mm=X_HEIGHT, line_mm=LINE, voice=voice)]
    joined = bubble(outline, tails if voice != "caption" else [], line_mm=LINE, voice=voice)
    rest_s = perf_counter() - started
    drawn = shapely.union_all([shapely.box(r.x0, r.y0, r.x1, r.y1) for r in ink])
    far = shapely.distance(shapely.points(outline.flattened()), drawn.convex_hull).max()
    return Measured(
        body_ms=body_s * 1000,
        whole_ms=(body_s + rest_s) * 1000,
        pieces=len(outline),
        least=shapely.Polygon(outline.flattened(0.001)).exterior.distance(drawn) / AIR,
        most=float(far) / AIR,
        simple=all(shapely.Polygon(c.flattened(0.002)).is_valid for c in joined.outline.contours),
        aim=off_aim(tails[0], mouth) if voice not in ("thought", "caption") else None,
    )


def spread(values: list[float]) -> str:
    """Return least, median, 95th percentile and most."""
    low, high = min(values), max(values)
    return f"{low:8.3f} {np.median(values):8.3f} {np.percentile(values, 95):8.3f} {high:8.3f}"


def main(count: int) -> None:
    """Measure `count` random stacks for each voice and print a table."""
    random = np.random.default_rng(7)
    print(f"{count} stacks a voice; columns: least, median, 95 %, most")
    for voice in VOICES:
        all_ = [measured(voice, seed, random) for seed in range(count)]
        print(f"\n{voice}: {sum(m.simple for m in all_)} of {count} outlines simple")
        print(f"  body, ms             {spread([m.body_ms for m in all_])}")
        print(f"  body, tail, join, ms {spread([m.whole_ms for m in all_])}")
        print(f"  pieces a body        {spread([m.pieces for m in all_])}")
        print(f"  least clearance/air  {spread([m.least for m in all_])}")
        print(f"  most clearance/air   {spread([m.most for m in all_])}")
        if aims := [m.aim for m in all_ if m.aim is not None]:
            kept = sum(aim <= 10 for aim in aims) / len(aims)
            print(f"  aim, degrees         {spread(aims)}, {kept:.1%} within 10")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
