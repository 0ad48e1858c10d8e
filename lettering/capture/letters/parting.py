"""Matches made into single letters: letters that run together are cut apart where that is safe."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.letter import SetAside
from lettering.capture.letters.cuts import Cutter, trimmed
from lettering.capture.letters.dealing import Dealt
from lettering.capture.letters.found import Found
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


def part(rows: Sequence[Dealt], cutter: Cutter) -> tuple[list[Found], list[SetAside]]:
    """Return the letters found, in reading order, and those that cannot be had."""
    found: list[Found] = []
    aside: list[SetAside] = []
    for number, dealt in enumerate(rows):
        for match in dealt.matches:
            letters = list(_letters(number, dealt, match, cutter))
            found += letters
            had = {letter.place for letter in letters}
            aside += [letter for letter in _missed(number, dealt, match) if letter.place not in had]
    return found, aside


def _missed(row: int, dealt: Dealt, match: Match) -> list[SetAside]:
    box = dealt.box(match).rect if match.pieces else None
    reason = "touches its neighbour" if match.pieces else "no ink found"
    return [
        SetAside(char=dealt.text.chars[k], row=row, place=dealt.text.places[k], box=box, reason=reason)
        for k in match.chars
    ]


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
