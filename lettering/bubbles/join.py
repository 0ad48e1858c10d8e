"""Body and tails joined into the one outline that is drawn."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.book.line import Voice
from lettering.bubbles.bubble import Bubble, Tail
from lettering.bubbles.dashes import begun_at, dashes
from lettering.bubbles.inked import inked
from lettering.geometry.contour import Contour
from lettering.geometry.fit import fit_closed
from lettering.geometry.path import Path
from lettering.geometry.point import Point
from lettering.geometry.region import Region, is_simple
from lettering.geometry.walk import Walk

FINE_STEPS = 96
"""Points to each piece of the outlines that are fitted anew where tails grow into one another."""


def bubble(
    body: Contour,
    tails: Sequence[Tail],
    *,
    line_mm: float,
    voice: Voice = "plain",
    life: float = 0.0,
    seed: str = "",
) -> Bubble:
    """Return the bubble of `body` and `tails` as one closed outline; a thought's puffs stand by themselves.

    The body's own curves are kept and only the stretch under each tail is replaced. Tails whose roots
    run into each other become one shape, refitted. The line's width varies by `life`, its standard deviation
    in widths, always alike for an equal `seed`; the dashes of a whisper are even.
    """
    if voice == "thought":
        puffs = [puff for tail in tails for puff in (*tail.puffs, tail.outline)]
        edges, pen = inked((body, *puffs), line_mm=line_mm, life=life, seed=seed)
        return Bubble(
            body=body,
            tails=tuple(tails),
            outline=Path((body, *puffs)),
            line_mm=line_mm,
            inked=edges,
            pen_mm=pen,
        )
    return lined(body, tails, tailed(body, tails), line_mm=line_mm, voice=voice, life=life, seed=seed)


def lined(
    body: Contour,
    tails: Sequence[Tail],
    outline: Contour,
    *,
    line_mm: float,
    voice: Voice,
    life: float,
    seed: str,
) -> Bubble:
    """Return the bubble whose whole outline is `outline`, in the line that its voice has; see `bubble`."""
    broken: tuple[float, ...] = ()
    if voice == "whisper":
        broken = dashes(Walk.along(outline).length, line_mm)
        outline = begun_at(outline, tails[0].tip if tails else None, broken[0] / 2)
    edges, pen = inked((outline,), line_mm=line_mm, life=life, seed=seed)
    return Bubble(
        body=body,
        tails=tuple(tails),
        outline=Path((outline,)),
        line_mm=line_mm,
        inked=edges,
        pen_mm=pen,
        dash_mm=broken,
    )


def tailed(body: Contour, tails: Sequence[Tail]) -> Contour:
    """Return body and tails as one outline; the body's own curves are kept where they can be."""
    outline = _spliced(body, tails)
    if outline is None or not is_simple(outline.flattened()):
        return united([body, *(tail.outline for tail in tails)])
    return outline


def _spliced(body: Contour, tails: Sequence[Tail]) -> Contour | None:
    """Return the body with the stretch under each tail replaced by it; none when tails meet."""
    if not tails:
        return body
    walk = Walk.along(body)
    count = len(body)
    feet = [tuple(walk.nearest(foot) for foot in _feet(tail)) for tail in tails]
    order = sorted(range(len(tails)), key=lambda i: feet[i][0])
    spans = [(feet[i][0], feet[i][1] + (count if feet[i][1] < feet[i][0] else 0)) for i in order]
    spans.append((spans[0][0] + count, 0.0))
    if any(end >= start for (_, end), (start, _) in pairwise(spans)) or _tails_meet(tails):
        return None
    pieces: list[NDArray[np.float64]] = []
    for i, (_, end), (start, _) in zip(order, spans, spans[1:], strict=False):
        pieces += [tails[i].outline.pieces[:-1], walk.between(end, start)]
    return Contour(np.concatenate(pieces)[:, :3])


def _tails_meet(tails: Sequence[Tail]) -> bool:
    if len(tails) < 2:
        return False
    areas = [Region.polygon(tail.outline.flattened()) for tail in tails]
    return any(a.overlaps(b) for i, a in enumerate(areas) for b in areas[:i])


def united(outlines: Sequence[Contour]) -> Contour:
    """Return the outline of all areas together, fitted anew."""
    areas = [Region.polygon(Walk.along(outline, FINE_STEPS).points[:-1]) for outline in outlines]
    return fit_closed(Region.union(areas).exterior())


def _feet(tail: Tail) -> tuple[Point, Point]:
    """Return where a tail's outline leaves the body and where it comes back."""
    (x0, y0), (x1, y1) = tail.outline.knots[0, 0], tail.outline.knots[-1, 0]
    return Point(float(x0), float(y0)), Point(float(x1), float(y1))
