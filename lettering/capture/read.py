"""A lettered page read: every letter of the reading found in the ink."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from lettering.capture.ink.ink import Ink, find_ink
from lettering.capture.ink.pieces import Pieces, find_pieces
from lettering.capture.ink.ruled import unruled
from lettering.capture.ink.severed import unsevered
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

    def read(pieces: Pieces) -> LetteredPage:
        return _read_pieces(pieces, ink, bare, reading, remarks, x_height_mm, confidence)

    return _surest(read, pieces, ink)


def _surest(read: Callable[[Pieces], LetteredPage], pieces: Pieces, ink: Ink) -> LetteredPage:
    """Return the page as read from its pieces, or with severed strokes joined where that reads more of it."""
    try:
        page = read(pieces)
    except ReadingError:
        if joined := _read_joined(read, pieces, ink):
            return joined
        raise
    joined = _read_joined(read, pieces, ink) if page.set_aside else None
    return joined if joined and len(joined.letters) > len(page.letters) else page


def _read_joined(read: Callable[[Pieces], LetteredPage], pieces: Pieces, ink: Ink) -> LetteredPage | None:
    whole = unsevered(pieces, ink)
    try:
        return None if whole is pieces else read(whole)
    except ReadingError:
        return None


def _read_pieces(
    pieces: Pieces,
    ink: Ink,
    page: PageImage,
    reading: Reading,
    remarks: tuple[str, ...],
    x_height_mm: float | None,
    confidence: float,
) -> LetteredPage:
    """Find each letter of `reading` among pieces of ink; `page` is the picture with its ruled lines."""
    demand_pieces(pieces, reading, page.name)
    every_row, unit = find_rows(pieces, reading, page.name)
    texts = [Text.of(row) for row in reading.rows]
    rows = spoken_of(every_row, texts, unit, pieces.stroke_px, page.name)
    rows = settled(rows, texts, unit, pieces.stroke_px)
    dealt, hand = deal(rows, texts, pieces, unit)
    cutter = Cutter.of(dealt, pieces, hand)
    wholeness = Wholeness(cutter.models, hand.unit)
    dealt = dealt_by_cuts(dealt, cutter, wholeness)
    demand_apart(dealt, hand.unit, page.name)
    parted, missed = part(dealt, cutter, wholeness)
    remarks += case_remarks(parted, dealt, page.name)
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
    px_per_mm, unsure = scale_of(page, x_height, x_height_mm)
    return LetteredPage(
        name=page.name,
        letters=tuple(_ink_letter(f, c, ink, lines[f.row]) for f, c in taken),
        set_aside=tuple(_set_aside(doubt, ink, pieces, lines) for doubt in doubts),
        x_height_px=x_height,
        cap_height_px=cap_height,
        px_per_mm=px_per_mm,
        row_pitch_px=_pitch(lines),
        remarks=remarks + left_out(len(every_row) - len(rows)) + unsure,
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
