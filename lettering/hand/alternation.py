"""Which take next, so that a row looks lettered and not typed.

The rule is one that a typeface can follow by itself (see `export.turns`): takes of a character take turns.
Where the last one stands too far back to be remembered, the neighbours decide with which take to begin.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.hand.word import WordTake, pair_takes

WINDOW = 14
"""Letters within which a take does not come back while others are left: a row for a young reader."""
MOST_TURNS = 12
"""Takes of one character that take turns: more than any row has of it. Further ones stand in whole words."""
KINDS = 8
"""Neighbours are told apart by so many kinds."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The take that draws a character."""

    take: Take
    step: float | None = None
    """From the start of the letter before, font units, when she always draws the two together; else none."""


def choose(chars: Sequence[str], hand: Hand) -> tuple[Chosen | None, ...]:
    """Return the take for each character or cluster, none for white space and for what the hand lacks.

    Pairs that she always draws together are one drawing, with takes of their own. A take comes back within
    WINDOW letters only when all others of its character are used up. The same words get the same takes on
    every machine, and words after a change mostly keep theirs.
    """
    chosen: list[Chosen | None] = []
    last: dict[Sequence[str], tuple[int, int]] = {}
    for position, (unit, at) in enumerate(_units(tuple(chars), hand)):
        ways = _ways(unit, hand)
        if not ways:
            chosen.append(None)
            continue
        where, turn = last.get(unit, (-WINDOW - 1, -1))
        if position - where > WINDOW:
            turn = kind(chars[at - 1] if at else "") + kind("".join(chars[at + len(unit) :][:1])) - 1
        turn = (turn + 1) % len(ways)
        last[unit] = (position, turn)
        chosen += ways[turn]
    return tuple(chosen)


def choose_takes(chars: Sequence[str], hand: Hand) -> tuple[Take | None, ...]:
    """Return the takes that `choose` gives."""
    return tuple(found.take if found else None for found in choose(chars, hand))


def kind(neighbour: str) -> int:
    """Return to which kind a neighbour belongs, by its first code point; 0 for the end of the text."""
    return ord(" " if neighbour.isspace() else neighbour[0]) % KINDS if neighbour else 0


def turning(takes: Sequence[Take] | Sequence[WordTake]) -> int:
    """Return how many of the takes take turns."""
    return min(len(takes), MOST_TURNS)


def _units(chars: Sequence[str], hand: Hand) -> Iterator[tuple[Sequence[str], int]]:
    """Yield pairs that are one drawing, and all other characters by themselves, each with its place."""
    at = 0
    while at < len(chars):
        size = 2 if pair_takes(hand, "".join(chars[at : at + 2])) else 1
        yield chars[at : at + size], at
        at += size


def _ways(unit: Sequence[str], hand: Hand) -> list[tuple[Chosen, ...]]:
    """Return how a unit can be drawn, each a take for every character of it; none for what is lacking."""
    if len(unit) == 1:
        takes = hand.takes.get(unit[0], ())
        return [(Chosen(take),) for take in takes[: turning(takes)]]
    pairs = pair_takes(hand, "".join(unit))
    return [
        (Chosen(pair.takes[0]), Chosen(pair.takes[1], pair.starts[1])) for pair in pairs[: turning(pairs)]
    ]
