"""Matches made into single letters: letters that run together are cut apart where that is safe."""

from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.letters.cuts import Cutter, trimmed
from lettering.capture.letters.dealing import SURE, Dealt
from lettering.capture.letters.found import Doubt, Found
from lettering.capture.letters.matching import Match, likely_runs, match_row
from lettering.capture.letters.shapes import expected_shape
from lettering.capture.letters.whole import Wholeness

LIKELY = 8.0
"""Ways of dealing a row that are dearer than the best by more than this (nats) are not looked into."""
JOIN = 2.0
"""Cost of each join between letters that should stand apart, when the cut is known (nats)."""
STRAYS = 8.0
"""What a letter costs more (nats) that strays from its takes, where a neighbour's ink may be in it."""


def dealt_by_cuts(rows: Sequence[Dealt], cutter: Cutter, wholeness: Wholeness) -> tuple[Dealt, ...]:
    """Return the rows dealt again: what letters that run together cost is told by their likeliest cuts.

    Beside ink that is in doubt, letters that stray from their takes are taken to hold some of it.
    """
    return tuple(_by_cuts(_strays_priced(dealt, cutter, wholeness), cutter) for dealt in rows)


def _strays_priced(dealt: Dealt, cutter: Cutter, wholeness: Wholeness) -> Dealt:
    single = {count: cost.copy() for count, cost in dealt.costs.single.items()}
    for match in _beside_doubt(dealt):
        run = [dealt.row.pieces[i] for i in match.pieces]
        box, numbers = dealt.box(match), frozenset(piece.number for piece in run)
        char = dealt.text.chars[match.chars[0]]
        if wholeness.of_letter(dealt.row, char, cutter.pieces.own(run, box), box, numbers) is False:
            single[len(run)][match.pieces[0], match.chars[0]] += STRAYS
    return replace(dealt, costs=replace(dealt.costs, single=single))


def _beside_doubt(dealt: Dealt) -> Iterator[Match]:
    """Yield the letters in one match that are unsure, or stand beside a letter that is or that lacks ink."""
    pieces = [expected_shape(char).pieces for char in dealt.text.chars]
    doubt = [
        match.probability < SURE
        or len(match.pieces) < sum(pieces[k] for k in match.chars) - len(match.chars) + 1
        for match in dealt.matches
    ]
    for number, match in enumerate(dealt.matches):
        if len(match.chars) == 1 and match.pieces and any(doubt[max(number - 1, 0) : number + 2]):
            yield match


def _by_cuts(dealt: Dealt, cutter: Cutter) -> Dealt:
    joined = {step: np.full_like(cost, np.inf) for step, cost in dealt.costs.joined.items()}
    for pieces, chars, i, k in likely_runs(dealt.costs, LIKELY):
        cut = cutter.cut(dealt.row, dealt.row.pieces[i : i + pieces], dealt.text.chars[k : k + chars])
        joined[pieces, chars][i, k] = cut.cost + JOIN * (chars - 1)
    costs = replace(dealt.costs, joined=joined)
    return replace(dealt, costs=costs, matches=match_row(costs))


def part(rows: Sequence[Dealt], cutter: Cutter, wholeness: Wholeness) -> tuple[list[Found], list[Doubt]]:
    """Return the letters found, in reading order, and those that cannot be had.

    What stands beside a letter that cannot be had may hold some of its ink, unless it is a take's twin.
    """
    found: list[Found] = []
    missed: list[Doubt] = []
    for number, dealt in enumerate(rows):
        letters = {
            k: letter
            for match in dealt.matches
            for k, letter in _letters(number, dealt, match, cutter, wholeness)
        }
        whole = {
            k: letter
            for k, letter in letters.items()
            if all(j in letters for j in (k - 1, k + 1) if 0 <= j < len(dealt.text.chars))
            or wholeness.of_letter(dealt.row, letter.char, letter.own, letter.box, letter.numbers)
        }
        found += whole.values()
        had = {letter.place for letter in whole.values()}
        for match in dealt.matches:
            missed += _missed(number, dealt, match, had, cutter)
    return found, missed


def _missed(row: int, dealt: Dealt, match: Match, had: Container[int], cutter: Cutter) -> Iterator[Doubt]:
    """Yield the letters of one match that are not at the places `had`; those side by side share their ink."""
    chars, places = dealt.text.chars, dealt.text.places
    if not match.pieces:
        for k in match.chars:
            yield Doubt(char=chars[k], row=row, place=places[k], box=None, reason="no ink found")
        return
    box = dealt.box(match)
    for lost, together in groupby(match.chars, key=lambda k: places[k] not in had):
        if lost:
            first, *others = together
            ink = _run(row, dealt, match, [first, *others], cutter)
            for k in (first, *others):
                yield Doubt(
                    char=chars[k],
                    row=row,
                    place=places[k],
                    box=box,
                    reason="touches its neighbour",
                    found=ink if k == first else None,
                )


def _run(row: int, dealt: Dealt, match: Match, together: Sequence[int], cutter: Cutter) -> Found:
    """Return the ink of letters that run together, under all their names."""
    run = [dealt.row.pieces[i] for i in match.pieces]
    numbers, box = frozenset(piece.number for piece in run), dealt.box(match)
    parts: tuple[NDArray[np.bool_], ...] = ()
    if len(match.chars) > 1:
        parts = cutter.cut(dealt.row, run, [dealt.text.chars[k] for k in match.chars]).parts
    theirs = [part for k, part in zip(match.chars, parts, strict=False) if k in together]
    own = np.logical_or.reduce(theirs) if theirs else cutter.pieces.own(run, box)
    first = _found(dealt, row, together[0], own, box, numbers, 0.0)
    return replace(first, char="".join(dealt.text.chars[k] for k in together))


def _letters(
    row: int, dealt: Dealt, match: Match, cutter: Cutter, wholeness: Wholeness
) -> Iterator[tuple[int, Found]]:
    """Yield the letters of one match by their index; none when it has no ink or cannot be cut safely."""
    if not match.pieces:
        return
    run = [dealt.row.pieces[i] for i in match.pieces]
    numbers = frozenset(piece.number for piece in run)
    box = dealt.box(match)
    if len(match.chars) == 1:
        own = cutter.pieces.own(run, box)
        yield match.chars[0], _found(dealt, row, match.chars[0], own, box, numbers, match.probability)
        return
    cut = cutter.cut(dealt.row, run, [dealt.text.chars[k] for k in match.chars])
    whole = wholeness.of_cut(dealt.row, cut, numbers)
    for k, ink, seen, sound in zip(match.chars, cut.parts, cut.seen, whole, strict=False):
        if sound:
            # What is a take's twin from edge to edge is that letter, however else the row could be dealt.
            sure = max(match.probability, SURE) if seen else match.probability
            yield k, _found(dealt, row, k, ink, box, numbers, sure)


def _found(
    dealt: Dealt,
    row: int,
    k: int,
    ink: NDArray[np.bool_],
    box: Box,
    numbers: frozenset[int],
    probability: float,
) -> Found:
    tight, own = trimmed(ink, box)
    return Found(
        char=dealt.text.chars[k],
        row=row,
        place=dealt.text.places[k],
        box=tight,
        own=own,
        numbers=numbers,
        probability=probability,
    )
