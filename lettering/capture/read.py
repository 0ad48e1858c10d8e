"""A lettered page read: every letter of the reading found in the ink."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lettering.capture.ink.ink import Ink, find_ink
from lettering.capture.ink.pieces import Pieces, find_pieces
from lettering.capture.ink.ruled import unruled
from lettering.capture.ink.severed import joins_of, unsevered
from lettering.capture.ink.sharpness import demand_grey, demand_sharp
from lettering.capture.letter import InkLetter, LetteredPage, SetAside
from lettering.capture.letters.agreement import demand_apart, demand_fit, demand_pieces
from lettering.capture.letters.baseline import Baseline
from lettering.capture.letters.cases import case_remarks
from lettering.capture.letters.crop import Crop, crop_of
from lettering.capture.letters.cuts import Cutter
from lettering.capture.letters.dealing import deal
from lettering.capture.letters.doubts import reconsidered
from lettering.capture.letters.found import Doubt, Found
from lettering.capture.letters.glare import in_glare
from lettering.capture.letters.marks import marked_as_read
from lettering.capture.letters.parting import dealt_by_cuts, part
from lettering.capture.letters.pricing import Text
from lettering.capture.letters.rejoined import Dealing, joins_by_row, rejoined
from lettering.capture.letters.rows import find_rows
from lettering.capture.letters.settled import settled
from lettering.capture.letters.sizes import (
    FLAT_CAPITALS,
    FLAT_TOPS,
    Edges,
    heights,
    level_height,
    row_baseline,
)
from lettering.capture.letters.spare_rows import left_out, spoken_of
from lettering.capture.letters.unread import unread
from lettering.capture.letters.whole import Wholeness
from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.scale import scale_of
from lettering.errors import ReadingError

CONFIDENCE = 0.8
"""Letters less sure than this are set aside rather than taken."""
MANY = 0.05
"""Where more strokes are severed than this, for each piece of ink, the hand is learnt anew from joined ones.
Of the pages tried, lettered apart in seven typefaces with a pen that is not dry, none has more than 0.048."""


def read_page(
    page: PageImage, reading: Reading, *, x_height_mm: float | None = None, confidence: float = CONFIDENCE
) -> LetteredPage:
    """Find each letter of `reading` on `page`.

    Letters that are less sure than `confidence` (0..1) are set aside with a reason. `x_height_mm` is the true
    height of small letters on paper and overrides the picture's own resolution. Raises ReadingError when
    page and reading do not belong together, naming the row and the place.
    """
    bare = page
    page = unruled(page)
    ink = find_ink(page)
    pieces = find_pieces(ink.mask(), page)
    demand_sharp(ink, pieces, page.name)
    remarks = demand_grey(bare, pieces)

    asked = _Asked(
        ink=ink, page=bare, reading=reading, remarks=remarks, x_height_mm=x_height_mm, confidence=confidence
    )
    try:
        dealing = _dealt(pieces, asked)
        read = _letters(dealing, asked)
    except ReadingError:
        if joined := _read_joined(pieces, asked):
            return joined
        raise
    return _rejoined(read, dealing, asked) if read.set_aside else read


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Asked:
    """What is asked of a page's pieces of ink."""

    ink: Ink
    page: PageImage
    """The picture with its ruled lines."""
    reading: Reading
    remarks: tuple[str, ...]
    x_height_mm: float | None
    confidence: float


def _read_joined(pieces: Pieces, asked: _Asked) -> LetteredPage | None:
    """Return a page read with all its severed strokes joined; none when there are none or nothing fits."""
    whole = unsevered(pieces, asked.ink)
    try:
        return None if whole is pieces else _letters(_dealt(whole, asked), asked)
    except ReadingError:
        return None


def _rejoined(page: LetteredPage, dealing: Dealing, asked: _Asked) -> LetteredPage:
    """Return a page, its severed strokes joined where that reads more of it."""
    joins = joins_of(dealing.pieces, asked.ink)
    if len(joins) > MANY * len(dealing.pieces.all):
        every = _read_joined(dealing.pieces, asked)
        return every if every and len(every.letters) > len(page.letters) else page
    lacking = {letter.row for letter in page.set_aside}
    tried = {row: some for row, some in joins_by_row(dealing, joins).items() if row in lacking}
    best, rows = page, _taken_by_row(page)
    while tried:
        try:
            again = _letters(rejoined(dealing, tried), asked)
        except ReadingError:
            break
        best = max(best, again, key=lambda page: len(page.letters))
        now = _taken_by_row(again)
        kept = {row: some for row, some in tried.items() if now[row] >= rows[row]}
        tried = kept if len(kept) < len(tried) else {}
    return best


def _taken_by_row(page: LetteredPage) -> Counter[int]:
    return Counter(letter.row for letter in page.letters)


def _dealt(pieces: Pieces, asked: _Asked) -> Dealing:
    """Return the ink dealt out to the reading."""
    name, texts = asked.page.name, [Text.of(row) for row in asked.reading.rows]
    demand_pieces(pieces, asked.reading, name)
    every_row, unit = find_rows(pieces, asked.reading, name)
    rows = spoken_of(every_row, texts, unit, pieces.stroke_px, name)
    rows = settled(rows, texts, unit, pieces.stroke_px)
    dealt, hand = deal(rows, texts, pieces, unit)
    cutter = Cutter.of(dealt, pieces, hand)
    wholeness = Wholeness(cutter.models, hand.unit)
    dealt = dealt_by_cuts(dealt, cutter, wholeness)
    demand_apart(dealt, hand.unit, name)
    return Dealing(rows=dealt, cutter=cutter, wholeness=wholeness, spare=len(every_row) - len(rows))


def _letters(dealing: Dealing, asked: _Asked) -> LetteredPage:
    """Return the letters of the reading, from the ink that was dealt out to it."""
    dealt, pieces, hand, page, ink = dealing.rows, dealing.pieces, dealing.hand, asked.page, asked.ink
    confidence = asked.confidence
    parted, missed = part(dealt, dealing.cutter, dealing.wholeness)
    remarks = asked.remarks + case_remarks(parted, dealt, page.name)
    found = marked_as_read(reconsidered(parted, [row.row for row in dealt], hand), dealt, pieces, hand)
    demand_fit(dealt, found, missed, confidence, page.name)
    glare = in_glare(found, page, round(pieces.stroke_px))
    crops = [crop_of(letter, ink, pieces) for letter in found]
    taken = [
        (f, c)
        for f, c, washed in zip(found, crops, glare, strict=True)
        if f.probability >= confidence and not washed
    ]
    edges = [_edges(taken, row) for row in range(len(dealt))]
    lines = [row_baseline(e, hand.unit, d.row.baseline) for e, d in zip(edges, dealt, strict=True)]
    tops = heights(edges, lines)
    cap_height = level_height(tops, FLAT_CAPITALS)
    x_height = level_height(tops, FLAT_TOPS) or cap_height or hand.unit
    doubtful = [
        _doubtful(f, "glare lies on it" if washed else "could be another letter")
        for f, washed in zip(found, glare, strict=True)
        if f.probability < confidence or washed
    ]
    doubts = sorted(
        [*missed, *doubtful, *unread(dealt, hand.unit, pieces)], key=lambda doubt: (doubt.row, doubt.place)
    )
    px_per_mm, unsure = scale_of(page, x_height, asked.x_height_mm)
    return LetteredPage(
        name=page.name,
        letters=tuple(_ink_letter(f, c, ink, lines[f.row]) for f, c in taken),
        set_aside=tuple(_set_aside(doubt, ink, pieces, lines) for doubt in doubts),
        x_height_px=x_height,
        cap_height_px=cap_height,
        px_per_mm=px_per_mm,
        row_pitch_px=_pitch(lines),
        remarks=remarks + left_out(dealing.spare) + unsure,
    )


def _edges(taken: Sequence[tuple[Found, Crop]], row: int) -> Edges:
    return [(f.char, f.middle, *c.edges()) for f, c in taken if f.row == row]


def _ink_letter(found: Found, crop: Crop, ink: Ink, line: Baseline) -> InkLetter:
    return InkLetter(
        char=found.char,
        row=found.row,
        place=found.place,
        coverage=crop.coverage,
        picture=ink.picture(crop.box),
        left=crop.box.left,
        top=crop.box.top,
        baseline=line.at(found.middle),
        slope=line.slope(found.middle),
        noise=ink.noise_near(found.box),
        confidence=found.probability,
    )


def _doubtful(found: Found, reason: str) -> Doubt:
    return Doubt(char=found.char, row=found.row, place=found.place, box=found.box, reason=reason, found=found)


def _set_aside(doubt: Doubt, ink: Ink, pieces: Pieces, lines: Sequence[Baseline]) -> SetAside:
    found = doubt.found
    letter = _ink_letter(found, crop_of(found, ink, pieces), ink, lines[found.row]) if found else None
    return SetAside(
        char=doubt.char,
        row=doubt.row,
        place=doubt.place,
        box=doubt.box.rect if doubt.box else None,
        reason=doubt.reason,
        ink=letter,
    )


def _pitch(lines: Sequence[Baseline]) -> float | None:
    """Return the usual distance between baselines, px."""
    steps = [
        below.at(float(below.x.mean())) - above.at(float(below.x.mean())) for above, below in pairwise(lines)
    ]
    return float(np.median(steps)) if steps else None
