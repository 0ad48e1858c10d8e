"""Matches made into single letters: touching letters are cut apart where that is safe."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.cutting import Judge, cut_apart
from lettering.capture.dealing import Dealt, Hand, with_likeness
from lettering.capture.found import Found
from lettering.capture.groups import portrait
from lettering.capture.letter import SetAside
from lettering.capture.matching import Match
from lettering.capture.pieces import Pieces
from lettering.capture.shapes import Builds, expected_shape, strangeness

SAFE_CUT = 2.6
"""A part may fit its letter no worse than this (nats), or the cut went through the letter."""
WIDTH_STRAY = 0.06
"""How far a letter's width strays from take to take, x-heights: a misplaced cut shows there first."""


def part(rows: Sequence[Dealt], pieces: Pieces, hand: Hand) -> tuple[list[Found], list[SetAside]]:
    """Return the letters found, in reading order, and those that cannot be had."""
    found: list[Found] = []
    aside: list[SetAside] = []
    for number, dealt in enumerate(rows):
        for match in dealt.matches:
            letters = _letters(number, dealt, match, pieces, hand)
            found += letters
            if not letters:
                aside += _missed(number, dealt, match)
    return found, aside


def _missed(row: int, dealt: Dealt, match: Match) -> list[SetAside]:
    box = dealt.box(match).rect if match.pieces else None
    reason = "touches its neighbour" if match.pieces else "no ink found"
    return [
        SetAside(char=dealt.text.chars[k], row=row, place=dealt.text.places[k], box=box, reason=reason)
        for k in match.chars
    ]


def _letters(row: int, dealt: Dealt, match: Match, pieces: Pieces, hand: Hand) -> list[Found]:
    """Return the letters of one match; none when it has no ink or cannot be cut safely."""
    if not match.pieces:
        return []
    run = [dealt.row.pieces[i] for i in match.pieces]
    numbers = frozenset(piece.number for piece in run)
    box = dealt.box(match)
    own = pieces.own(run, box)
    parts: tuple[NDArray[np.bool_], ...] = (own,)
    if len(match.chars) > 1:
        widths = [_usual_width(dealt.text.chars[k], numbers, hand) for k in match.chars]
        cut = cut_apart(own, widths, pieces.stroke_px, _judge(dealt, match, box, numbers, hand))
        if cut is None or cut[1] > SAFE_CUT:
            return []
        parts = cut[0]
    return [
        _found(dealt, row, k, ink, box, numbers, match) for k, ink in zip(match.chars, parts, strict=True)
    ]


def _usual_width(char: str, numbers: frozenset[int], hand: Hand) -> float:
    """Return how wide a letter is in this hand, or else in most people's, px."""
    own = hand.known.other_widths(char, numbers) if hand.known is not None else np.empty(0)
    usual = np.median(own) if len(own) else expected_shape(char).width * hand.proportions.width
    return float(usual) * hand.unit


def _found(
    dealt: Dealt,
    row: int,
    k: int,
    ink: NDArray[np.bool_],
    box: Box,
    numbers: frozenset[int],
    match: Match,
) -> Found:
    tight, own = _trimmed(ink, box)
    return Found(
        char=dealt.text.chars[k],
        row=row,
        place=dealt.text.places[k],
        box=tight,
        own=own,
        numbers=numbers,
        probability=match.probability,
    )


def _judge(dealt: Dealt, match: Match, box: Box, numbers: frozenset[int], hand: Hand) -> Judge:
    """Return what tells how ill a part of touching ink fits its character."""

    def judge(number: int, ink: NDArray[np.bool_]) -> float:
        char = dealt.text.chars[match.chars[number]]
        tight, own = _trimmed(ink, box)
        foot = dealt.row.baseline.at((tight.left + tight.right) / 2)
        usual = Builds.expected([char], hand.proportions)
        build = Builds(
            bottom=np.array([(foot - tight.bottom) / hand.unit]),
            top=np.array([(foot - tight.top) / hand.unit]),
            width=np.array([tight.width / hand.unit]),
            pieces=usual.pieces,
            holes=usual.holes,
        )
        fit = strangeness(build, usual)
        if hand.known is not None:
            drawn = portrait(own, tight, dealt.row.baseline, hand.unit)[None, :]
            widths = hand.known.other_widths(char, numbers)
            if len(widths):
                looks = float(with_likeness(fit, drawn, [numbers], [char], hand.known)[0, 0])
                off = float(np.abs(widths - tight.width / hand.unit).min())
                return looks + (off / WIDTH_STRAY) ** 2 / 2
        # Nothing on the page shows what this letter looks like whole: the cut must be all the better.
        return 1 + 2 * float(fit[0, 0])

    return judge


def _trimmed(own: NDArray[np.bool_], box: Box) -> tuple[Box, NDArray[np.bool_]]:
    """Return the box and the ink without blank margins."""
    rows, columns = np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))
    top, bottom, left, right = int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1
    tight = Box(box.top + top, box.left + left, box.top + bottom, box.left + right)
    return tight, own[top:bottom, left:right]
