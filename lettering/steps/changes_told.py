"""A comparison of rounds as people read it: in rows, as JSON, and drawn on leaves of paper."""

import json
import sys
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from lettering.book.book import pages_label
from lettering.drawing import WHITE, Colour, Drawing, Group, Layer, Painted, Picture
from lettering.export.leaf import Leaf, Rule, Shown, Words, wrapped
from lettering.export.path_text import path_of
from lettering.export.proof import GUIDE, HEAD, HEADING, INK, MARGIN, MARK, PAPERS, PITCH, QUIET, TEXT
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.steps.compare import Comparison, Difference, SpreadPair
from lettering.steps.proof import ART_PX, write_leaves
from lettering.storage.atomic import write_text
from lettering.storage.images import png_bytes, read_art
from lettering.storage.rounds import RoundLine, RoundSpread


def as_json(comparison: Comparison, before: str, after: str) -> dict[str, Any]:
    """Return a comparison as JSON values."""
    return {
        "format": "lettering-comparison",
        "version": 1,
        "before": before,
        "after": after,
        "unchanged_lines": comparison.unchanged,
        "differences": [asdict(one) for one in comparison.differences],
    }


def write_json(comparison: Comparison, before: str, after: str, to: str) -> None:
    """Write a comparison as JSON to a file, or to standard output when `to` is '-'; raises OutputError."""
    text = json.dumps(as_json(comparison, before, after), ensure_ascii=False, indent=1) + "\n"
    if to == "-":
        sys.stdout.write(text)
    else:
        write_text(Path(to), text)


def as_rows(comparison: Comparison) -> Iterator[str]:
    """Yield a comparison as people read it."""
    for one in comparison.differences:
        yield _told(one)
    lines = sum(len(spread.lines) for spread in comparison.spreads)
    yield f"{comparison.unchanged} of {lines} lines are unchanged, outline for outline."


def _told(one: Difference) -> str:
    change = f"{one.before} → {one.after}" if one.before and one.after else one.before or one.after
    moved = f" by {one.moved_mm:.1f} mm" if one.moved_mm is not None else ""
    return f"{one.where}: {one.kind}{moved}{': ' if change else ''}{change}"


def write_comparison(
    comparison: Comparison, out: Path, before: str, after: str, *, base: Path | None = None
) -> tuple[Path, ...]:
    """Draw what changed of the book and the spreads that did, before and after; return the files written.

    `base` is the folder of the book file, for the art, which is shown faintly where it is still there.
    """
    title = f"{before} → {after}"
    changed = [pair for pair in comparison.spreads if _resized(pair) or not all(p.same for p in pair.lines)]
    leaves = [*_whole_book(comparison, title), *(_leaf(pair, comparison, title, base) for pair in changed)]
    leaves = leaves or [_nothing(title)]
    return write_leaves(leaves, out, title)


def _whole_book(comparison: Comparison, title: str) -> Iterator[Leaf]:
    """Yield a leaf of what changed of the book as a whole, if anything did: page, reader's age, hand."""
    sides = (one for pair in comparison.spreads for one in (pair.before, pair.after) if one)
    labels = {pages_label(one.pages) for one in sides}
    told = [_told(one) for one in comparison.differences if one.where.split(",")[0] not in labels]
    if not told:
        return
    width, height = PAPERS["A4"]
    items = [
        Words(text="The whole book", at=HEADING, size_mm=5.0, bold=True, colour=INK),
        Words(text=title, at=Point(width - MARGIN, 17), size_mm=2.6, colour=QUIET, side="right"),
    ]
    rows = [row for text in told for row in wrapped(text, 3.4, width - 2 * MARGIN)]
    most = int((height - HEAD - 20) // 6.0)
    if len(rows) > most:
        rows = [*rows[: most - 1], f"and {len(rows) - most + 1} more"]
    items += [
        Words(text=row, at=Point(MARGIN, HEAD + 6 + k * 6.0), size_mm=3.4, colour=INK)
        for k, row in enumerate(rows)
    ]
    yield Leaf(width_mm=width, height_mm=height, items=tuple(items))


def _nothing(title: str) -> Leaf:
    said = Words(text="No line has changed.", at=Point(MARGIN, HEAD + 6), size_mm=4.0, colour=INK)
    head = Words(text=title, at=HEADING, size_mm=5.0, bold=True, colour=INK)
    return Leaf(width_mm=PAPERS["A4"][0], height_mm=PAPERS["A4"][1], items=(head, said))


def _leaf(pair: SpreadPair, comparison: Comparison, title: str, base: Path | None) -> Leaf:
    width, height = PAPERS["A4"]
    spread = pair.after or pair.before
    assert spread is not None
    label = pages_label(spread.pages)
    drawing = _drawing(pair, spread, title)
    sizes = [one.size for one in (pair.before, pair.after) if one is not None]
    scale = min((width - 2 * MARGIN) / max(w for w, _ in sizes), 125 / max(h for _, h in sizes))
    x = (width - spread.size[0] * scale) / 2
    edge = Rect.sized(x, HEAD, spread.size[0] * scale, spread.size[1] * scale)
    items: list[Words | Rule | Shown] = [
        Words(text=label.capitalize(), at=HEADING, size_mm=5.0, bold=True, colour=INK),
        Words(text=title, at=Point(width - MARGIN, 17), size_mm=2.6, colour=QUIET, side="right"),
        *_faint(spread, base, Point(x, HEAD), scale, edge),
        Shown(drawing=drawing, at=Point(x, HEAD), scale=scale),
        *_trims(pair, Point(x, HEAD), scale),
        Words(text="before: blue, dashed", at=Point(MARGIN, edge.y1 + 7), size_mm=TEXT, colour=GUIDE),
        Words(text="after: vermilion, whole", at=Point(MARGIN + 45, edge.y1 + 7), size_mm=TEXT, colour=MARK),
        Words(text="unchanged: grey", at=Point(MARGIN + 92, edge.y1 + 7), size_mm=TEXT, colour=QUIET),
    ]
    told = [_told(one) for one in comparison.differences if one.where.split(",")[0] == label]
    room = int((height - 12 - edge.y1 - 14) // PITCH)
    if _resized(pair) and pair.before is not None:
        (w, h), (wide, high) = pair.before.size, spread.size
        told = [f"the trim: {w:g} x {h:g} mm → {wide:g} x {high:g} mm", *told]
    if len(told) > room:
        told = [*told[: room - 1], f"and {len(told) - room + 1} more"]
    items += [
        Words(text=text, at=Point(MARGIN, edge.y1 + 14 + k * PITCH), size_mm=TEXT, colour=INK)
        for k, text in enumerate(told)
    ]
    return Leaf(width_mm=width, height_mm=height, items=tuple(items))


def _resized(pair: SpreadPair) -> bool:
    return pair.before is not None and pair.after is not None and pair.before.size != pair.after.size


def _trims(pair: SpreadPair, at: Point, scale: float) -> Iterator[Rule]:
    """Yield where the spread is cut, and where it was if elsewhere; their top left corners meet."""
    spread = pair.after or pair.before
    assert spread is not None
    edge = Rect.sized(at.x, at.y, spread.size[0] * scale, spread.size[1] * scale)
    if not _resized(pair) or pair.before is None:
        yield Rule.box(edge, QUIET)
        return
    former = Rect.sized(at.x, at.y, pair.before.size[0] * scale, pair.before.size[1] * scale)
    yield Rule.box(former, GUIDE, width_mm=0.3, dash_mm=(2.0, 1.5))
    yield Rule.box(edge, MARK, width_mm=0.3)


VEIL = 0.7
"""How much of the art is hidden by white, so that the lines stand out."""


def _faint(
    spread: RoundSpread, base: Path | None, at: Point, scale: float, edge: Rect
) -> Iterator[Shown | Rule]:
    """Yield the art of a spread under a veil, cut at the trim, where it can still be read."""
    path = base / spread.art if base is not None and spread.art else None
    if path is None or not path.is_file():
        return
    pixels = read_art(path, ART_PX)
    # Art covers trim and bleed; its sides tell how wide the bleed is: (w + 2b) / (h + 2b) = columns / rows.
    columns, rows = pixels.shape[1], pixels.shape[0]
    bleed = 0.0
    if columns != rows:
        bleed = max((rows * spread.size[0] - columns * spread.size[1]) / (columns - rows) / 2, 0.0)
    trim = Rect.sized(0, 0, *spread.size)
    picture = Picture(rect=trim.inset(-bleed), png=png_bytes(pixels))
    layer = Layer(id="art", title="Art", groups=(Group(id="art-1", title="Art", items=(picture,)),))
    drawing = Drawing(
        title="Art", description="The art.", language="en", trim=trim, bleed_mm=0.0, layers=(layer,)
    )
    yield Shown(drawing=drawing, at=at, scale=scale)
    yield Rule.box(edge, WHITE, width_mm=0.0, fill=WHITE, opacity=VEIL)


def _drawing(pair: SpreadPair, spread: RoundSpread, title: str) -> Drawing:
    """Return the lines of a spread: what is unchanged in grey, what changed before and after."""
    still = [line for line in pair.lines if line.same]
    other = [line for line in pair.lines if not line.same]
    items = [*(one for line in still for one in _inked(line.after, QUIET, False))]
    # Words over words cannot be read: those of before are listed, and drawn only where nothing follows.
    items += [
        one
        for line in other
        for one in _inked(line.before, GUIDE, True)
        if line.after is None or one.fill is None
    ]
    items += [_halo(line.after) for line in other if line.before and line.after]
    items += [one for line in other for one in _inked(line.after, MARK, False)]
    group = Group(id="lines-1", title="Lines", items=tuple(items))
    return Drawing(
        title=title,
        description=f"What changed on {pages_label(spread.pages)}.",
        language="en",
        trim=Rect.sized(0, 0, *spread.size),
        bleed_mm=0.0,
        layers=(Layer(id="lines", title="Lines", groups=(group,)),),
    )


def _halo(line: RoundLine) -> Painted:
    """Return white round new letters, so that the former outline does not run through them."""
    return Painted(path=path_of(line.lettering), fill=WHITE, stroke=WHITE, stroke_mm=2.4)


def _inked(line: RoundLine | None, colour: Colour, dashed: bool) -> Iterator[Painted]:
    if line is None:
        return
    if line.bubble:
        yield Painted(
            path=path_of(line.bubble),
            fill=None,
            stroke=colour,
            stroke_mm=0.7,
            stroke_dash_mm=(2.5, 2.0) if dashed else (),
        )
    yield Painted(path=path_of(line.lettering), fill=colour)
