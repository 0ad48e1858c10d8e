"""All rows' ink dealt out to the reading: by what letters usually look like, then by what hers do."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.ink.pieces import Pieces
from lettering.capture.letters.groups import Groups, groups_of, portraits
from lettering.capture.letters.likeness import Likeness
from lettering.capture.letters.matching import Match, RowCosts, match_row
from lettering.capture.letters.pricing import Text, price_row
from lettering.capture.letters.rows import Row, stood_on
from lettering.capture.letters.shapes import TALL, Builds, Proportions, Shape, expected_shape, strangeness
from lettering.capture.letters.sizes import FLAT_TOPS, Edges, heights, level_height, row_baseline

SURE = 0.9
"""Only letters at least this sure teach what the hand looks like."""
ODD = 8.0
"""Ink that fits its letter worse than this (nats) teaches nothing."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Dealt:
    """One row of ink dealt out to its text."""

    row: Row
    text: Text
    groups: Groups
    costs: RowCosts
    matches: tuple[Match, ...]

    def box(self, match: Match) -> Box:
        """Return the box round the ink of a match."""
        return Box.around(self.row.pieces[i].box for i in match.pieces)

    def sure(self) -> Iterator[tuple[str, Match]]:
        """Yield the characters that are beyond doubt, each with its match."""
        for match in self.matches:
            if len(match.chars) == 1 and match.pieces and match.probability > SURE and match.cost < ODD:
                yield self.text.chars[match.chars[0]], match


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hand:
    """What is known of the hand on this page."""

    unit: float
    """x-height, px."""
    proportions: Proportions
    known: Likeness | None
    """None when no letter was sure."""
    own: Mapping[str, Shape] = field(default_factory=dict)
    """The usual shape of each letter that was sure."""


def deal(
    rows: Sequence[Row], texts: Sequence[Text], pieces: Pieces, unit: float
) -> tuple[tuple[Dealt, ...], Hand]:
    """Return each row dealt out to its text, and the hand as it was learnt on the way."""
    hand = Hand(unit=unit, proportions=Proportions(width=_breadth(rows, texts, unit)), known=None)
    first = _pass(rows, texts, pieces, hand)
    rows, hand = _measured(first, hand)
    second = _pass(rows, texts, pieces, hand)
    drawn = [portraits(dealt.row, dealt.groups, pieces, hand.unit) for dealt in second]
    hand = replace(hand, known=_learnt(second, drawn), own=_own_shapes(second))
    return _pass(rows, texts, pieces, hand, drawn), hand


def dealt_again(
    dealt: Sequence[Dealt], joined: Mapping[int, Row], pieces: Pieces, hand: Hand
) -> tuple[tuple[Dealt, ...], Hand]:
    """Return the rows and the hand, some rows, by their numbers, dealt anew since ink in them was joined."""
    rows = list(dealt)
    for number, row in joined.items():
        drawn = [portraits(row, groups_of(row, hand.unit), pieces, hand.unit)]
        (rows[number],) = _pass([row], [dealt[number].text], pieces, hand, drawn)
    return tuple(rows), _taught(rows, pieces, hand)


def _taught(rows: Sequence[Dealt], pieces: Pieces, hand: Hand) -> Hand:
    drawn = [portraits(dealt.row, dealt.groups, pieces, hand.unit) for dealt in rows]
    return replace(hand, known=_learnt(rows, drawn), own=_own_shapes(rows))


def _breadth(rows: Sequence[Row], texts: Sequence[Text], unit: float) -> float:
    """Return how wide the hand is: all ink's extent along the rows over what most people would take."""
    inked = 0
    for row in rows:
        columns = np.zeros(max(piece.box.right for piece in row.pieces), dtype=np.bool_)
        for piece in row.pieces:
            columns[piece.box.left : piece.box.right] = True
        inked += int(columns.sum())
    usual = sum(expected_shape(char).width for text in texts for char in text.chars)
    return float(np.clip(inked / unit / usual, 0.4, 1.6))


def _pass(
    rows: Sequence[Row],
    texts: Sequence[Text],
    pieces: Pieces,
    hand: Hand,
    drawn: Sequence[NDArray[np.float32]] | None = None,
) -> tuple[Dealt, ...]:
    dealt = []
    for number, (row, text) in enumerate(zip(rows, texts, strict=True)):
        groups = groups_of(row, hand.unit)
        fit = strangeness(groups.builds, Builds.expected(text.chars, hand.proportions))
        if drawn is not None and hand.known is not None:
            fit = with_likeness(fit, drawn[number], groups.numbers, text.chars, hand.known)
        costs = price_row(
            row,
            groups,
            text,
            fit=fit,
            unit=hand.unit,
            stroke=pieces.stroke_px,
            hand=hand.proportions,
            own=hand.own,
        )
        dealt.append(Dealt(row=row, text=text, groups=groups, costs=costs, matches=match_row(costs)))
    return tuple(dealt)


def with_likeness(
    fit: NDArray[np.float64],
    drawn: NDArray[np.float32],
    numbers: Sequence[frozenset[int]],
    chars: Sequence[str],
    known: Likeness,
) -> NDArray[np.float64]:
    """Return how ill ink fits characters, by build alone as in `fit` and by the hand's own letters."""
    own = known.strangeness(drawn, numbers, chars)
    # Some hands draw capitals and small letters alike; where it helps, one case stands in for the other.
    other_case = 1 + known.strangeness(drawn, numbers, [char.swapcase() for char in chars])
    unseen = np.fmin(fit, 0.5 * fit + other_case)
    return np.where(np.isnan(own), unseen, 0.5 * fit + own)


def _measured(first: Sequence[Dealt], hand: Hand) -> tuple[tuple[Row, ...], Hand]:
    """Return the rows on baselines through letters known by name, and the sizes those letters have."""
    edges = [_edges(dealt) for dealt in first]
    lines = [row_baseline(e, hand.unit, d.row.baseline) for e, d in zip(edges, first, strict=True)]
    tops = heights(edges, lines)
    measured = level_height(tops, FLAT_TOPS) or hand.unit
    unit = measured if 0.6 < measured / hand.unit < 1.6 else hand.unit
    tall = [
        height / unit / expected_shape(char).top
        for char, found in tops.items()
        for height in found
        if expected_shape(char).top > TALL
    ]
    rows = tuple(stood_on(dealt.row, line) for dealt, line in zip(first, lines, strict=True))
    proportions = Proportions(
        width=hand.proportions.width * hand.unit / unit, tall=float(np.median(tall)) if tall else 1.0
    )
    return rows, Hand(unit=unit, proportions=proportions, known=None)


def _edges(dealt: Dealt) -> Edges:
    boxes = [(char, dealt.box(match)) for char, match in dealt.sure()]
    return [(char, (b.left + b.right) / 2, float(b.top), float(b.bottom)) for char, b in boxes]


def _own_shapes(rows: Sequence[Dealt]) -> Mapping[str, Shape]:
    """Return the usual shape of each letter that is sure."""
    found: dict[str, list[NDArray[np.float64]]] = {}
    for dealt in rows:
        index = {group: i for i, group in enumerate(dealt.groups.numbers)}
        for char, match in dealt.sure():
            at = index[frozenset(dealt.row.pieces[i].number for i in match.pieces)]
            found.setdefault(char, []).append(dealt.groups.builds.table[at])
    return {char: Shape(*np.median(takes, axis=0)) for char, takes in found.items()}


def _learnt(rows: Sequence[Dealt], drawn: Sequence[NDArray[np.float32]]) -> Likeness | None:
    chars: list[str] = []
    numbers: list[frozenset[int]] = []
    pictures: list[NDArray[np.float32]] = []
    widths: list[float] = []
    for dealt, small in zip(rows, drawn, strict=True):
        index = {group: i for i, group in enumerate(dealt.groups.numbers)}
        for char, match in dealt.sure():
            group = frozenset(dealt.row.pieces[i].number for i in match.pieces)
            chars.append(char)
            numbers.append(group)
            pictures.append(small[index[group]])
            widths.append(float(dealt.groups.builds.width[index[group]]))
    return Likeness.of(chars, numbers, np.stack(pictures), widths) if chars else None
