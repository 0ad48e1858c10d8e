"""Whether lettering and bubbles keep to the room they have: safe area, gutter, picture, each other."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region

SLACK_MM = 0.05
"""Rules are measured to this: half a printer's dot."""

SLACK_MM2 = 0.05
"""Areas smaller than this are not seen."""

TANGENT_MM = 2.0
"""Nearer than this an outline seems to touch what it passes."""


def check_room(line: DrawnLine) -> Iterator[Finding]:
    """Yield where one line leaves the room it has."""
    yield from _safe(line)
    yield from _gutter(line)
    yield from _picture(line)


def _safe(line: DrawnLine) -> Iterator[Finding]:
    safe, box = line.spread.frame.safe, Rect.around((line.body.bounds, line.ink))
    over = max(safe.x0 - box.x0, safe.y0 - box.y0, box.x1 - safe.x1, box.y1 - safe.y1)
    if over > SLACK_MM:
        margin = safe.x0 - line.spread.frame.trim.x0
        message = f"{line.what} comes {over:.1f} mm too near to the trim."
        yield finding("safe", line.where, message, margin - over, margin)


def _gutter(line: DrawnLine) -> Iterator[Finding]:
    frame = line.spread.frame
    if frame.gutter is None or frame.fold_x is None:
        return
    box = Rect.around((line.body.bounds, line.ink))
    inside = min(box.x1 - frame.gutter.x0, frame.gutter.x1 - box.x0)
    if inside > SLACK_MM:
        wanted = frame.gutter.width / 2
        message = f"{line.what} reaches {inside:.1f} mm into the gutter."
        yield finding("gutter", line.where, message, wanted - inside, wanted)
    for tail in line.tails:
        if not tail.is_empty and tail.bounds.x0 < frame.fold_x < tail.bounds.x1:
            over = min(frame.fold_x - tail.bounds.x0, tail.bounds.x1 - frame.fold_x)
            yield finding("tail-fold", line.where, f"the tail crosses the fold by {over:.1f} mm.", over, 0.0)


def _picture(line: DrawnLine) -> Iterator[Finding]:
    for figure in line.spread.spread.figures:
        if (area := line.body.intersection(Region.rectangle(figure.box)).area) > SLACK_MM2:
            message = f"{line.what} covers {area:.1f} mm² of {figure.who}."
            yield finding("figure", line.where, message, area, 0.0)
    for rect in line.spread.spread.keep_clear:
        whole = Region.union((line.body, *line.tails))
        if (area := whole.intersection(Region.rectangle(rect)).area) > SLACK_MM2:
            message = f"{line.what} covers {area:.1f} mm² to be kept clear at {rect.x0:g}, {rect.y0:g} mm."
            yield finding("keep-clear", line.where, message, area, 0.0)


def check_apart(lines: Sequence[DrawnLine]) -> Iterator[Finding]:
    """Yield bubbles of one spread that cover each other."""
    for a, b in combinations(lines, 2):
        if a.meets(b):
            yield from _words_covered(a, b)
        elif (area := a.body.intersection(b.body).area) > SLACK_MM2 or a.body.overlaps(b.body):
            message = f"the bubbles of lines {a.number} and {b.number} share {area:.1f} mm²."
            yield finding("overlap", b.where, message, area, 0.0)


def _words_covered(a: DrawnLine, b: DrawnLine) -> Iterator[Finding]:
    """Yield a bubble that lies on the one before so deep that it covers its words."""
    words = Region.union(Region.rectangle(glyph.ink) for glyph in a.finished.stack.glyphs)
    if (area := words.intersection(b.body).area) > SLACK_MM2:
        message = f"the bubble lies on the words of line {a.number}."
        yield finding("overlap", b.where, message, area, 0.0)


def check_tangents(lines: Sequence[DrawnLine]) -> Iterator[Finding]:
    """Yield outlines that nearly touch a figure, a place to keep clear or one another."""
    for line in lines:
        spread = line.spread.spread
        things = [(f"{figure.who}'s box", figure.box) for figure in spread.figures]
        things += [(f"the place to keep clear at {r.x0:g}, {r.y0:g}", r) for r in spread.keep_clear]
        for what, rect in things:
            yield from _tangent(line, what, line.body.distance(Region.rectangle(rect)))
    for a, b in combinations(lines, 2):
        if not a.meets(b):
            yield from _tangent(b, f"the bubble of line {a.number}", a.body.distance(b.body))


def _tangent(line: DrawnLine, what: str, clear: float) -> Iterator[Finding]:
    if 0 < clear < TANGENT_MM - SLACK_MM:
        message = f"{line.what} passes {what} at {clear:.1f} mm, which looks like a touch."
        yield finding("tangent", line.where, message, clear, TANGENT_MM)
