"""A lettered page read: every letter of the reading found in the ink."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.crop import Crop, crop_of
from lettering.capture.cutting import cut_apart
from lettering.capture.doubts import reconsidered
from lettering.capture.found import Found
from lettering.capture.groups import Groups, groups_of, portrait
from lettering.capture.ink import Ink, find_ink
from lettering.capture.letter import InkLetter, LetteredPage, SetAside
from lettering.capture.likeness import Likeness
from lettering.capture.matching import Match, match_row
from lettering.capture.page import PageImage, Reading
from lettering.capture.pieces import Pieces, find_pieces
from lettering.capture.pricing import Text, price_row
from lettering.capture.rows import Row, find_rows, stood_on
from lettering.capture.shapes import expected_shape
from lettering.capture.sizes import FLAT_CAPITALS, FLAT_TOPS, Edges, heights, level_height, row_baseline
from lettering.errors import ReadingError
from lettering.units import mm_to_px

CONFIDENCE = 0.8
"""Letters less sure than this are set aside: about one in five of those just under it would be wrong."""
SURE = 0.9
"""Only letters at least this sure teach the program what the hand looks like."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _ReadRow:
    """One row of ink matched to its text."""

    row: Row
    text: Text
    groups: Groups
    matches: tuple[Match, ...]


def read_page(
    page: PageImage, reading: Reading, *, x_height_mm: float | None = None, confidence: float = CONFIDENCE
) -> LetteredPage:
    """Find each letter of `reading` on `page`.

    Letters that are less sure than `confidence` (0..1) are set aside with a reason. `x_height_mm` is the true
    height of small letters on paper and overrides the picture's own resolution. Raises ReadingError when
    page and reading do not belong together, naming the row and the place.
    """
    ink = find_ink(page)
    pieces = find_pieces(ink.mask(), page)
    rows, unit = find_rows(pieces, reading, page.name)
    texts = [text_of(row) for row in reading.rows]
    first = _match(rows, texts, pieces, unit, None)
    rows, unit = _measured(first, pieces, unit)
    known = _learnt(_match(rows, texts, pieces, unit, None))
    matched = _match(rows, texts, pieces, unit, known)
    _demand_fit(matched, reading, page.name)
    letters, aside = _letters(matched, pieces, unit)
    letters = _sure_of(letters, [read.row for read in matched], unit)
    return _lettered_page(page, ink, pieces, matched, letters, aside, unit, x_height_mm, confidence)


def text_of(row: str) -> Text:
    """Return a typed row as characters with their places; a mark joins the letter before it."""
    clusters: list[tuple[str, int]] = []
    for place, char in enumerate(row):
        if unicodedata.combining(char) and clusters:
            clusters[-1] = (clusters[-1][0] + char, clusters[-1][1])
        elif char != " ":
            clusters.append((char, place))
    return Text(chars=tuple(char for char, _ in clusters), places=tuple(place for _, place in clusters))


def _match(
    rows: Sequence[Row], texts: Sequence[Text], pieces: Pieces, unit: float, known: Likeness | None
) -> list[_ReadRow]:
    read = []
    for row, text in zip(rows, texts, strict=True):
        groups = groups_of(row, pieces, unit)
        costs = price_row(row, groups, text, unit=unit, stroke=pieces.stroke_px, known=known)
        read.append(_ReadRow(row=row, text=text, groups=groups, matches=match_row(costs)))
    return read


def _sure(read: _ReadRow) -> list[Match]:
    return [m for m in read.matches if m.pieces and len(m.chars) == 1 and m.probability > SURE and m.cost < 8]


def _boxes(read: _ReadRow, match: Match) -> Box:
    return Box.around(read.row.pieces[i].box for i in match.pieces)


def _measured(read: Sequence[_ReadRow], pieces: Pieces, unit: float) -> tuple[tuple[Row, ...], float]:
    """Return the rows on baselines through letters known by name, and the x-height those letters have."""
    edges: list[Edges] = []
    for row in read:
        boxes = [(row.text.chars[m.chars[0]], _boxes(row, m)) for m in _sure(row)]
        edges.append([(c, (b.left + b.right) / 2, float(b.top), float(b.bottom)) for c, b in boxes])
    lines = [row_baseline(e, unit, r.row.baseline) for e, r in zip(edges, read, strict=True)]
    measured = level_height(heights(edges, lines), FLAT_TOPS) or unit
    rows = tuple(stood_on(r.row, line) for r, line in zip(read, lines, strict=True))
    return rows, measured if 0.6 * unit < measured < 1.6 * unit else unit


def _learnt(read: Sequence[_ReadRow]) -> Likeness | None:
    takes = []
    for row in read:
        index = {(int(f), int(c)): i for i, (f, c) in enumerate(zip(row.groups.first, row.groups.count, strict=True))}
        takes += [
            (row.text.chars[m.chars[0]], row.groups, index[m.pieces[0], len(m.pieces)])
            for m in _sure(row)
            if (m.pieces[0], len(m.pieces)) in index
        ]
    return Likeness.of(takes) if takes else None


def _demand_fit(read: Sequence[_ReadRow], reading: Reading, name: str) -> None:
    """Raise ReadingError for the first row whose ink does not go with its text."""
    for number, (row, typed) in enumerate(zip(read, reading.rows, strict=True), start=1):
        wrong = [k for m in row.matches for k in m.chars if not m.pieces or m.cost > 8 * len(m.chars)]
        if len(wrong) > 0.3 * len(row.text.chars):
            place = row.text.places[wrong[0]]
            raise ReadingError(
                f"row {number} of the reading does not fit the ink from '{typed[place : place + 12]}' on "
                f"(character {place + 1})",
                name,
                "See that the reading says what the page says, row by row.",
            )


def _letters(
    read: Sequence[_ReadRow], pieces: Pieces, unit: float
) -> tuple[list[Found], list[SetAside]]:
    found: list[Found] = []
    aside: list[SetAside] = []
    for number, row in enumerate(read):
        for match in row.matches:
            chars = [(row.text.chars[k], row.text.places[k]) for k in match.chars]
            if not match.pieces:
                aside.append(_aside(chars[0][0], number, chars[0][1], None, "no ink found"))
                continue
            box = _boxes(row, match)
            parts = _parts(row, match, box, pieces)
            if parts is None:
                aside += [_aside(c, number, place, box, "touches its neighbour") for c, place in chars]
                continue
            numbers = frozenset(row.row.pieces[i].number for i in match.pieces)
            for (char, place), own in zip(chars, parts, strict=True):
                found.append(_found(char, number, place, box, own, numbers, match))
    return found, aside


def _parts(row: _ReadRow, match: Match, box: Box, pieces: Pieces) -> tuple[NDArray[np.bool_], ...] | None:
    own = pieces.own([row.row.pieces[i] for i in match.pieces], box)
    if len(match.chars) == 1:
        return (own,)
    widths = [expected_shape(row.text.chars[k]).width for k in match.chars]
    return cut_apart(own, widths, pieces.stroke_px)


def _found(
    char: str, row: int, place: int, box: Box, own: NDArray[np.bool_], numbers: frozenset[int], match: Match
) -> Found:
    rows, columns = np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))
    top, bottom, left, right = int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1
    return Found(
        char=char, row=row, place=place, numbers=numbers,
        box=Box(box.top + top, box.left + left, box.top + bottom, box.left + right),
        own=own[top:bottom, left:right],
        probability=match.probability, cost=match.cost,
    )  # fmt: skip


def _aside(char: str, row: int, place: int, box: Box | None, reason: str) -> SetAside:
    return SetAside(char=char, row=row, place=place, box=box.rect if box else None, reason=reason)


def _sure_of(letters: Sequence[Found], rows: Sequence[Row], unit: float) -> tuple[Found, ...]:
    """Return the letters with their probabilities after a look at each beside the others."""
    if not letters:
        return ()
    portraits = np.stack(
        [
            portrait(f.own, f.box, rows[f.row].baseline.at((f.box.left + f.box.right) / 2), unit)
            for f in letters
        ]
    )
    sure = np.array([f.probability > SURE for f in letters])
    if not sure.any():
        return tuple(letters)
    known = Likeness.of_portraits(
        [f.char for f, s in zip(letters, sure, strict=True) if s],
        [f.numbers for f, s in zip(letters, sure, strict=True) if s],
        portraits[sure],
    )
    return reconsidered(letters, portraits, known)


def _lettered_page(
    page: PageImage,
    ink: Ink,
    pieces: Pieces,
    read: Sequence[_ReadRow],
    letters: Sequence[Found],
    aside: list[SetAside],
    unit: float,
    x_height_mm: float | None,
    confidence: float,
) -> LetteredPage:
    crops = [crop_of(found, ink, pieces) for found in letters]
    edges: list[list[tuple[str, float, float, float]]] = [[] for _ in read]
    for found, crop in zip(letters, crops, strict=True):
        if found.probability >= confidence:
            middle = (found.box.left + found.box.right) / 2
            edges[found.row].append((found.char, middle, crop.edge_above(), crop.edge_below()))
    lines = [row_baseline(e, unit, r.row.baseline) for e, r in zip(edges, read, strict=True)]
    tops = heights(edges, lines)
    cap_height = level_height(tops, FLAT_CAPITALS)
    x_height = level_height(tops, FLAT_TOPS) or cap_height or unit
    kept: list[InkLetter] = []
    for found, crop in zip(letters, crops, strict=True):
        picture = ink.picture(found.box.grown(8, ink.shape))
        if found.probability < confidence:
            aside.append(
                SetAside(
                    char=found.char, row=found.row, place=found.place, box=found.box.rect,
                    reason="could be another letter", picture=picture,
                )  # fmt: skip
            )
            continue
        middle = (found.box.left + found.box.right) / 2
        line = lines[found.row]
        kept.append(
            InkLetter(
                char=found.char, row=found.row, place=found.place, coverage=crop.coverage, picture=picture,
                left=crop.box.left, top=crop.box.top, baseline=line.at(middle), slope=line.slope(middle),
                noise=ink.noise_near(found.box), confidence=found.probability,
            )  # fmt: skip
        )
    px_per_mm = x_height / x_height_mm if x_height_mm else mm_to_px(1, page.ppi) if page.ppi else None
    pitches = [b.at(float(b.x.mean())) - a.at(float(b.x.mean())) for a, b in zip(lines, lines[1:], strict=False)]
    return LetteredPage(
        name=page.name,
        letters=tuple(kept),
        set_aside=tuple(sorted(aside, key=lambda a: (a.row, a.place))),
        x_height_px=x_height,
        cap_height_px=cap_height,
        px_per_mm=px_per_mm,
        row_pitch_px=float(np.median(pitches)) if pitches else None,
    )
