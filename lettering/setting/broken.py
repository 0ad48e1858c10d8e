"""A line broken for sense, shape and the reader's age: the costs that breaking weighs."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lettering.errors import LetteringError
from lettering.setting import sense, shape
from lettering.setting.breaking import Breaking, Floats, JoinCost, Rows, best_breakings
from lettering.setting.opportunities import Piece
from lettering.setting.reading_age import ReadingBand

MOST_WORDS = 120
"""Longest line that is set: four times what a bubble for grown readers should hold."""
EXTRA_WORD, EXTRA_CHARACTER, EXTRA_ROW = 4.0, 0.5, 4.0
"""Cost of each word or character that a row, and each row that a bubble, holds beyond the reader's limit.
House defaults: two words too many are worth a break between verb and object."""


def breakings(
    pieces: Sequence[Piece], widths: Floats, *, space: float, pitch: float, language: str, band: ReadingBand
) -> tuple[Breaking, ...]:
    """Return the cheapest breaking for every sensible number of rows, best first.

    `widths`, shape (n,), are the pieces' own, `space` parts words and `pitch` rows, all in one unit. Raises
    LetteringError for a line of more words than can be a bubble.
    """
    words = sum(len(piece.text.split()) for piece in pieces)
    if words > MOST_WORDS:
        raise LetteringError(
            f"'{pieces[0].text} {pieces[1].text}…' has {words} words; a line holds at most {MOST_WORDS}",
            hint="Share the words out over several lines.",
        )
    total = float(widths.sum()) + space * sum(piece.spaced for piece in pieces)
    weighed = weigh(pieces, widths, space=space, language=language, band=band)
    found = best_breakings(weighed.rows, weighed.row_cost, weighed.join_cost, _counts(pieces, words, band))
    whole = [Breaking(b.rows, b.cost + stack_cost(len(b.rows), total, pitch, band)) for b in found]
    return tuple(sorted(whole, key=lambda breaking: breaking.cost))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weighed:
    """Every row a line may have and what it costs, before a number of rows is chosen."""

    rows: Rows
    row_cost: Floats
    """Shape (r,): what each row costs by itself."""
    join_cost: JoinCost
    """What it costs that one row stands over another."""


def weigh(
    pieces: Sequence[Piece], widths: Floats, *, space: float, language: str, band: ReadingBand
) -> Weighed:
    """Return the rows of a line and their costs; see `breakings` for the arguments."""
    rows = _rows(tuple(pieces), 2 * band.words_row, 2 * band.chars_row)
    return Weighed(
        rows=rows,
        row_cost=row_costs(pieces, rows, language, band),
        join_cost=_Joins(pieces, rows, row_widths(pieces, widths, space, rows)),
    )


def _counts(pieces: Sequence[Piece], words: int, band: ReadingBand) -> range:
    """Return the numbers of rows worth trying: from one long row to rows of a word or two."""
    forced = sum(piece.forced for piece in pieces)
    most = forced + max(band.rows_bubble + 1, -(-2 * words // band.words_row))
    return range(1 + forced, min(len(pieces), most) + 1)


def stack_cost(rows: int, total: float, pitch: float, band: ReadingBand) -> float:
    """Return what a number of rows costs, whatever is in them; `total` is the width of all words."""
    return shape.aspect_cost(total, pitch, rows) + EXTRA_ROW * max(0, rows - band.rows_bubble)


@lru_cache(maxsize=64)
def _rows(pieces: tuple[Piece, ...], most_words: int, most_chars: int) -> Rows:
    """Return the rows within twice the reader's limits; a single piece is always a row."""
    spans = []
    for first in range(len(pieces)):
        words = chars = 0
        for last in range(first, len(pieces)):
            words += len(pieces[last].text.split())
            chars += len(pieces[last].text) + pieces[last].spaced
            if last > first and (words > most_words or chars - pieces[last].spaced > most_chars):
                break
            spans.append((first, last))
            if pieces[last].forced:
                break
    return Rows.of(np.array(spans, dtype=np.intp), len(pieces))


def row_widths(pieces: Sequence[Piece], widths: Floats, space: float, rows: Rows) -> Floats:
    """Return the width of every row, shape (r,)."""
    spaces = np.array([space if piece.spaced else 0.0 for piece in pieces])
    whole: Floats = _summed(widths + spaces, rows) - spaces[rows.last]
    return whole


def row_costs(pieces: Sequence[Piece], rows: Rows, language: str, band: ReadingBand) -> Floats:
    """Return what every row costs by itself, shape (r,): where it ends and what it asks of the reader."""
    texts = [piece.text for piece in pieces]
    gaps = np.array([*sense.gap_costs(texts, language), 0.0])
    gaps[[piece.forced for piece in pieces]] = 0.0
    words = _summed(np.array([len(text.split()) for text in texts], dtype=float), rows)
    chars = _summed(np.array([len(p.text) + p.spaced for p in pieces], dtype=float), rows)
    chars -= np.array([piece.spaced for piece in pieces], dtype=float)[rows.last]
    asked = EXTRA_WORD * np.maximum(0, words - band.words_row)
    asked += EXTRA_CHARACTER * np.maximum(0, chars - band.chars_row)
    return gaps[rows.last] + asked + _false_sentences(pieces, rows, language) + _short_last(texts, rows)


def _false_sentences(pieces: Sequence[Piece], rows: Rows, language: str) -> Floats:
    """Return the cost of each row that a reader could take for a finished sentence, shape (r,)."""
    texts = [piece.text for piece in pieces]
    ends = [piece.forced or sense.ends_sentence(piece.text) for piece in pieces]
    opens = np.array([True, *ends[:-1]])
    rests = np.array(sense.seems_finished(texts, language)) & ~np.array(ends)
    words = np.cumsum([len(text.split()) for text in texts])
    told = words[rows.last] - np.array(sense.subjects(texts, language))[rows.first] > sense.TOLD
    return np.where(opens[rows.first] & rests[rows.last] & told, sense.FALSE_SENTENCE, 0.0)


def _short_last(texts: Sequence[str], rows: Rows) -> Floats:
    alone = (rows.first == rows.last) & (rows.last == len(texts) - 1) & (rows.first > 0)
    return np.where(alone & sense.is_short(texts[-1]), sense.SHORT_LAST, 0.0)


class _Joins:
    """What it costs that one row stands over another: the lens, and rows that begin alike."""

    def __init__(self, pieces: Sequence[Piece], rows: Rows, widths: Floats) -> None:
        logs = np.log(widths)
        firsts = np.array([sense.bare(piece.text.split()[0]) for piece in pieces])[rows.first]
        self._growth = logs[rows.lower] - logs[rows.upper]
        self._alike = np.where(firsts[rows.lower] == firsts[rows.upper], sense.SAME_FIRST, 0.0)

    def __call__(self, row: int, rows: int) -> Floats:
        return shape.step_cost(self._growth, row, rows) + self._alike


def _summed(values: Floats, rows: Rows) -> Floats:
    """Return the sum of `values` over the pieces of each row."""
    sums = np.concatenate([[0.0], np.cumsum(values)])
    within: Floats = sums[rows.last + 1] - sums[rows.first]
    return within
