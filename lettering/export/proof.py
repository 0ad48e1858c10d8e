"""Proofs: the book on leaves of paper, with guides, line numbers and findings, and room for a pencil."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from lettering.drawing import WHITE, Colour, Drawing
from lettering.export.leaf import Leaf, Rule, Shown, Words, width_mm, wrapped
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

INK = Colour(30, 30, 30)
QUIET = Colour(125, 125, 125)
GUIDE = Colour(0, 114, 178)
"""Blue of the palette of Okabe and Ito (2008), told apart with every kind of colour vision."""
MARK = Colour(213, 94, 0)
"""Vermilion of the same palette."""

PAPERS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
"""Sheets on their side, mm: ISO 216 and ANSI/ASME Y14.1."""

MARGIN = 18.0
"""Room for notes at each side, mm."""
HEADING = Point(MARGIN, 17.0)
HEAD = 24.0
"""Where the picture begins, mm from the top."""
TEXT, PITCH = 2.9, 4.2
"""Size and distance of rows of type, mm."""
NUMBER = 4.2
"""Height of a mark on the picture, mm."""
LABEL = 8.0
"""Height of the name under a thumbnail, mm."""
LEAST_ROWS = 4
"""Rows of type that must fit under a spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """One line as it is listed and marked."""

    number: int
    who: str
    """Who speaks, or what the line is."""
    words: str
    at: Point
    """Corner of its bubble, where its number stands, mm on the spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One finding as it is listed and marked."""

    number: int
    text: str
    at: Point | None
    """Where it is marked, mm on the spread; none for the whole spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofSpread:
    """All that a leaf shows of a spread."""

    label: str
    drawing: Drawing
    """With its art."""
    small: Drawing
    """The same with coarser art, for the page of all spreads."""
    figures: tuple[tuple[str, Rect], ...]
    """Names and boxes of those whose places are to be seen, mm: where there is no art to see them in."""
    safe: Rect
    gutter: Rect | None
    fold_x: float | None
    lines: tuple[Spoken, ...]
    """In speaking order."""
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A book to be proofed."""

    title: str
    facts: tuple[tuple[str, str], ...]
    """What stands on the cover: name and value."""
    remarks: tuple[Remark, ...]
    """Findings that concern no spread alone."""
    spreads: tuple[ProofSpread, ...]


def proof(book: Proof, paper: str = "A4") -> tuple[Leaf, ...]:
    """Return the leaves: cover, all spreads at a glance, each spread, a reading copy of the text.

    `paper` is a name of PAPERS, or 'size' for spreads at their own size with margins round them.
    """
    sheet = PAPERS.get(paper, PAPERS["A4"])
    parts = (
        [_cover(book, sheet)],
        _glance(book, sheet),
        *(_spread(one, PAPERS.get(paper)) for one in book.spreads),
        _reading(book, sheet),
    )
    bare = list(chain.from_iterable(parts))
    return tuple(_footed(leaf, book.title, number, len(bare)) for number, leaf in enumerate(bare, 1))


def _footed(leaf: Leaf, title: str, number: int, count: int) -> Leaf:
    y = leaf.height_mm - 8
    foot = (
        Words(text=title, at=Point(MARGIN, y), size_mm=2.4, colour=QUIET),
        Words(
            text=f"{number} of {count}",
            at=Point(leaf.width_mm - MARGIN, y),
            size_mm=2.4,
            colour=QUIET,
            side="right",
        ),
    )
    return Leaf(width_mm=leaf.width_mm, height_mm=leaf.height_mm, items=(*leaf.items, *foot))


def _leaf(sheet: tuple[float, float], items: Sequence[Words | Rule | Shown]) -> Leaf:
    return Leaf(width_mm=sheet[0], height_mm=sheet[1], items=tuple(items))


def _heading(text: str, *, at: Point = HEADING, size: float = 5.0) -> Words:
    return Words(text=text, at=at, size_mm=size, bold=True, colour=INK)


def _cover(book: Proof, sheet: tuple[float, float]) -> Leaf:
    items: list[Words | Rule | Shown] = [
        Words(text="Proof", at=Point(MARGIN, 34), size_mm=4.0, colour=QUIET),
        _heading(book.title, at=Point(MARGIN, 46), size=9.0),
        Rule(points=(Point(MARGIN, 53), Point(sheet[0] - MARGIN, 53)), colour=INK, width_mm=0.2),
    ]
    y = 64.0
    for name, value in book.facts:
        items.append(Words(text=name, at=Point(MARGIN, y), size_mm=3.4, colour=QUIET))
        for row in wrapped(value, 3.4, sheet[0] - 2 * MARGIN - 50):
            items.append(Words(text=row, at=Point(MARGIN + 50, y), size_mm=3.4, colour=INK))
            y += 6.0
    y += 6.0
    items += _listed(book.remarks, MARGIN, y, sheet[0] - 2 * MARGIN)
    return _leaf(sheet, items)


def _glance(book: Proof, sheet: tuple[float, float]) -> Iterator[Leaf]:
    """Yield all spreads as thumbnails, up to twenty on a leaf."""
    gap = 6.0
    columns = next(n for n in (1, 2, 3, 4) if len(book.spreads) <= n * n or n == 4)
    wide = (sheet[0] - 2 * MARGIN - (columns - 1) * gap) / columns
    rows = min(-(-len(book.spreads) // columns), columns)
    pitch = (sheet[1] - HEAD - 14) / max(rows, 1)
    media = [one.drawing.media for one in book.spreads]
    scale = min(wide / max(m.width for m in media), (pitch - LABEL) / max(m.height for m in media))
    pitch = max(m.height for m in media) * scale + LABEL
    rows = max(int((sheet[1] - HEAD - 14) / pitch + 0.001), 1)
    for start in range(0, len(book.spreads), rows * columns):
        items: list[Words | Rule | Shown] = [_heading("All spreads")]
        for k, one in enumerate(book.spreads[start : start + rows * columns]):
            bleed = one.drawing.bleed_mm * scale
            x = MARGIN + k % columns * (wide + gap) + bleed
            y = HEAD + k // columns * pitch + bleed
            trim = one.drawing.trim
            edge = Rect.sized(x, y, trim.width * scale, trim.height * scale)
            items += [
                Shown(drawing=one.small, at=Point(x, y), scale=scale),
                Rule.box(edge, QUIET),
                Words(text=one.label, at=Point(x, edge.y1 + 4.2), size_mm=2.6, colour=INK),
            ]
        yield _leaf(sheet, items)


def _spread(one: ProofSpread, sheet: tuple[float, float] | None) -> Iterator[Leaf]:
    """Yield the leaf of one spread, and more when its lists are long."""
    media = one.drawing.media
    own = (media.width + 2 * MARGIN, media.height + HEAD + 70.0)
    width, height = sheet or own
    room = height - HEAD - LEAST_ROWS * PITCH - 22
    scale = min((width - 2 * MARGIN) / media.width, room / media.height) if sheet else 1.0
    origin = Point((width - media.width * scale) / 2 - media.x0 * scale, HEAD - media.y0 * scale)
    items = [_heading(one.label.capitalize()), *_scale_note(scale, width), *_picture(one, origin, scale)]
    top = HEAD + media.height * scale + 9
    half = (width - 2 * MARGIN - 8) / 2
    columns = (_rows(_told(one.lines), half), _rows(_remarked(one.remarks), half))
    first = True
    while first or any(columns):
        most = max(int((height - 14 - top) // PITCH), 1)
        for column, x in zip(columns, (MARGIN, MARGIN + half + 8), strict=True):
            items += _typed(column[:most], x, top)
        columns = (columns[0][most:], columns[1][most:])
        yield _leaf((width, height), items)
        items, top, first = [_heading(f"{one.label.capitalize()}, continued")], HEAD, False


def _scale_note(scale: float, width: float) -> Iterator[Words]:
    text = "at size" if scale == 1 else f"at {100 * scale:.0f} %"
    yield Words(text=text, at=Point(width - MARGIN, 17), size_mm=2.6, colour=QUIET, side="right")


def _picture(one: ProofSpread, origin: Point, scale: float) -> Iterator[Words | Rule | Shown]:
    """Yield the spread with its guides and marks."""

    def placed(point: Point) -> Point:
        return Point(origin.x + point.x * scale, origin.y + point.y * scale)

    def box(rect: Rect) -> Rect:
        a, b = placed(Point(rect.x0, rect.y0)), placed(Point(rect.x1, rect.y1))
        return Rect(a.x, a.y, b.x, b.y)

    trim = one.drawing.trim
    yield Shown(drawing=one.drawing, at=origin, scale=scale)
    if one.gutter:
        yield Rule.box(box(one.gutter), GUIDE, width_mm=0.0, fill=GUIDE, opacity=0.08)
    yield Rule.box(box(one.drawing.media), QUIET)
    yield Rule.box(box(trim), GUIDE, width_mm=0.25)
    yield Rule.box(box(one.safe), GUIDE, width_mm=0.18, dash_mm=(1.2, 1.0))
    if one.fold_x is not None:
        ends = (placed(Point(one.fold_x, trim.y0)), placed(Point(one.fold_x, trim.y1)))
        yield Rule(points=ends, colour=GUIDE, width_mm=0.15, dash_mm=(3.0, 1.0, 0.5, 1.0))
    for name, place in one.figures:
        edge = box(place)
        yield Rule.box(edge, QUIET, dash_mm=(0.6, 0.8))
        yield Words(text=name, at=Point(edge.x0 + 1, edge.y1 - 1), size_mm=2.2, colour=QUIET)
    # Marks stand outside the corners of their bubbles, to hide no words: numbers left, remarks right.
    for line in one.lines:
        at = placed(line.at)
        yield from _number(str(line.number), Point(at.x - NUMBER / 2, at.y - NUMBER / 2), INK)
    beside: dict[Point, int] = {}
    for remark in one.remarks:
        if remark.at is not None:
            at = placed(remark.at)
            aside = NUMBER * (beside.get(at, 0) + 0.5)
            yield from _number(str(remark.number), Point(at.x + aside, at.y - NUMBER / 2), MARK)
            beside[at] = beside.get(at, 0) + 1


def _number(text: str, at: Point, colour: Colour) -> Iterator[Words | Rule]:
    """Yield a number in a small solid box about `at`."""
    wide = max(width_mm(text, 2.6, True) + 1.6, NUMBER * 0.9)
    edge = Rect.sized(at.x - wide / 2, at.y - NUMBER / 2, wide, NUMBER)
    yield Rule.box(edge, WHITE, width_mm=0.3, fill=colour)
    yield Words(text=text, at=Point(at.x, at.y + 0.95), size_mm=2.6, colour=WHITE, bold=True, side="middle")


Entry = tuple[str, Colour, str]
"""Number, its colour, and what is said."""


def _told(lines: Sequence[Spoken]) -> list[Entry]:
    return [(str(line.number), INK, f"{line.who}: {line.words}") for line in lines]


def _remarked(remarks: Sequence[Remark]) -> list[Entry]:
    return [(str(remark.number), MARK, remark.text) for remark in remarks]


def _rows(entries: Sequence[Entry], wide: float) -> list[Entry]:
    """Return the entries as rows of type: a number stands on the first row of each."""
    rows: list[Entry] = []
    for number, colour, text in entries:
        for k, row in enumerate(wrapped(text, TEXT, wide - 7)):
            rows.append((number if k == 0 else "", colour, row))
    return rows


def _typed(rows: Sequence[Entry], x: float, top: float) -> Iterator[Words]:
    for k, (number, colour, text) in enumerate(rows):
        y = top + k * PITCH
        yield Words(text=number, at=Point(x, y), size_mm=TEXT, colour=colour, bold=True)
        yield Words(text=text, at=Point(x + 7, y), size_mm=TEXT, colour=INK)


def _listed(remarks: Sequence[Remark], x: float, top: float, wide: float) -> list[Words]:
    return list(_typed(_rows(_remarked(remarks), wide), x, top))


def _reading(book: Proof, sheet: tuple[float, float]) -> Iterator[Leaf]:
    """Yield the text alone, spread by spread, as an editor reads it: in two columns."""
    wide = (sheet[0] - 2 * MARGIN - 12) / 2
    rows: list[Entry] = []
    for one in book.spreads:
        rows += [("", INK, ""), (one.label.capitalize(), GUIDE, "")]
        rows += _rows(_told(one.lines), wide)
    most = int((sheet[1] - HEAD - 18) // PITCH)
    for start in range(0, len(rows), 2 * most):
        items: list[Words | Rule | Shown] = [_heading("The text")]
        for k in range(2):
            part = rows[start + k * most : start + (k + 1) * most]
            items += _typed(part, MARGIN + k * (wide + 12), HEAD + 4)
        yield _leaf(sheet, items)
