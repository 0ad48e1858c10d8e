"""Rows dealt again with their severed strokes joined, by what the page has taught of its hand."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.ink.pieces import Pieces
from lettering.capture.ink.severed import Join, joined, least_numbers
from lettering.capture.letters.cuts import Cutter
from lettering.capture.letters.dealing import Dealt, Hand, dealt_again
from lettering.capture.letters.parting import dealt_by_cuts
from lettering.capture.letters.rows import Row, in_order
from lettering.capture.letters.whole import Wholeness


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Dealing:
    """A page's ink dealt out to its reading, and the letters by which it was cut."""

    rows: tuple[Dealt, ...]
    cutter: Cutter
    wholeness: Wholeness
    """What tells whole letters from others."""
    spare: int
    """Rows of ink that the reading does not speak of."""

    @property
    def pieces(self) -> Pieces:
        """The ink."""
        return self.cutter.pieces

    @property
    def hand(self) -> Hand:
        """What is known of the hand."""
        return self.cutter.hand


def joins_by_row(dealing: Dealing, joins: Sequence[Join]) -> Mapping[int, Sequence[Join]]:
    """Return the joins of strokes that lie in one row, by the row's number."""
    numbers = least_numbers(dealing.pieces, joins)
    homes: dict[int, int | None] = {piece.number: None for piece in dealing.pieces.all}
    homes |= {piece.number: row for row, dealt in enumerate(dealing.rows) for piece in dealt.row.pieces}
    rows = defaultdict(set)
    for number in {number for join in joins for number in join} & homes.keys():
        rows[numbers[number]].add(homes[number])
    found = defaultdict(list)
    for join in joins:
        match list(rows[numbers[join[0]]]):
            case [int(row)]:
                found[row].append(join)
    return found


def rejoined(dealing: Dealing, joins: Mapping[int, Sequence[Join]]) -> Dealing:
    """Return the page with some rows, named by their numbers, dealt again with their strokes joined."""
    every = [join for some in joins.values() for join in some]
    pieces = joined(dealing.pieces, every)
    numbers = least_numbers(dealing.pieces, every)
    known = dealing.hand.known
    hand = replace(dealing.hand, known=known and known.renumbered(numbers))
    changed = {number: _joined_row(dealing.rows[number].row, pieces, numbers) for number in joins}
    dealt, hand = dealt_again(dealing.rows, changed, pieces, hand)
    cutter = Cutter.of(dealt, pieces, hand)
    wholeness = Wholeness(cutter.models, hand.unit, dealing.wholeness)
    cut = dict(zip(changed, dealt_by_cuts([dealt[k] for k in changed], cutter, wholeness), strict=True))
    rows = tuple(cut.get(number, row) for number, row in enumerate(dealt))
    return replace(dealing, rows=rows, cutter=cutter, wholeness=wholeness)


def _joined_row(row: Row, pieces: Pieces, numbers: NDArray[np.int32]) -> Row:
    own = set(numbers[[piece.number for piece in row.pieces]].tolist())
    return replace(row, pieces=in_order([piece for piece in pieces.all if piece.number in own]))
