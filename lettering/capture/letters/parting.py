"""Matches made into single letters: letters that run together are cut apart where that is safe."""

from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.letters.cuts import Cutter, trimmed
from lettering.capture.letters.dealing import Dealt
from lettering.capture.letters.found import Doubt, Found
from lettering.capture.letters.matching import Match, likely_runs, match_row

LIKELY = 8.0
"""Ways of dealing a row that are dearer than the best by more than this (nats) are not looked into."""
JOIN = 2.0
"""Cost of each join between letters that should stand apart, when the cut is known (nats)."""


def dealt_by_cuts(rows: Sequence[Dealt], cutter: Cutter) -> tuple[Dealt, ...]:
    """Return the rows dealt again: what letters that run together cost is told by their likeliest cuts."""
    return tuple(_by_cuts(dealt, cutter) for dealt in rows)


def _by_cuts(dealt: Dealt, cutter: Cutter) -> Dealt:
    joined = {step: np.full_like(cost, np.inf) for step, cost in dealt.costs.joined.items()}
    for pieces, chars, i, k in likely_runs(dealt.costs, LIKELY):
        cut = cutter.cut(dealt.row, dealt.row.pieces[i : i + pieces], dealt.text.chars[k : k + chars])
        joined[pieces, chars][i, k] = cut.cost + JOIN * (chars - 1)
    costs = replace(dealt.costs, joined=joined)
    return replace(dealt, costs=costs, matches=match_row(costs))


def part(rows: Sequence[Dealt], cutter: Cutter) -> tuple[list[Found], list[Doubt]]:
    """Return the letters found, in reading order, and those that cannot be had."""
    found: list[Found] = []
    missed: list[Doubt] = []
    for number, dealt in enumerate(rows):
        for match in dealt.matches:
            letters = list(_letters(number, dealt, match, cutter))
            found += letters
            missed += _missed(number, dealt, match, {letter.place for letter in letters}, cutter)
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
    cut = cutter.cut(dealt.row, run, [dealt.text.chars[k] for k in match.chars])
    theirs = [part for k, part in zip(match.chars, cut.parts, strict=False) if k in together]
    own = np.logical_or.reduce(theirs) if theirs else cutter.pieces.own(run, box)
    first = _found(dealt, row, together[0], own, box, numbers, 0.0)
    return replace(first, char="".join(dealt.text.chars[k] for k in together))


def _letters(row: int, dealt: Dealt, match: Match, cutter: Cutter) -> Iterator[Found]:
    """Yield the letters of one match; none when it has no ink or cannot be cut safely."""
    if not match.pieces:
        return
    run = [dealt.row.pieces[i] for i in match.pieces]
    numbers = frozenset(piece.number for piece in run)
    box = dealt.box(match)
    if len(match.chars) == 1:
        own = cutter.pieces.own(run, box)
        yield _found(dealt, row, match.chars[0], own, box, numbers, match.probability)
        return
    cut = cutter.cut(dealt.row, run, [dealt.text.chars[k] for k in match.chars])
    for k, ink, safe, trust in zip(match.chars, cut.parts, cut.safe, cut.trust, strict=False):
        if safe:
            sure = max(match.probability, trust)
            yield _found(dealt, row, k, ink, box, numbers, sure)


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
