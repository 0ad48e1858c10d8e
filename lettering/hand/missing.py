"""What a book needs of a hand and does not find."""

from collections import Counter, defaultdict, deque
from collections.abc import Iterable
from dataclasses import dataclass

from lettering.hand.alternation import WINDOW
from lettering.hand.hand import Hand

ENOUGH = 4
"""Takes of one character after which another is hardly missed, however close together they stand."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A character to letter, and how often."""

    char: str
    has: int
    """Takes that the hand holds."""
    wants: int
    """Takes with which none would come back within a window of the text, at most ENOUGH."""
    uses: int
    """How often the text has it."""


def wanted(texts: Iterable[str], hand: Hand) -> tuple[Wanted, ...]:
    """Return what the texts need more of than the hand holds: missing ones first, then by use."""
    uses: Counter[str] = Counter()
    crowd: dict[str, int] = defaultdict(int)
    for text in texts:
        uses.update(char for char in text if not char.isspace())
        for char, most in _crowds(text).items():
            crowd[char] = max(crowd[char], most)
    needs = [
        Wanted(char, len(hand.takes.get(char, ())), min(crowd[char], ENOUGH), uses[char]) for char in uses
    ]
    short = [need for need in needs if need.has < need.wants]
    return tuple(sorted(short, key=lambda need: (need.has > 0, -need.uses, need.char)))


def _crowds(text: str) -> dict[str, int]:
    """Return for each character the most of it in any WINDOW + 1 characters that follow one another."""
    most: dict[str, int] = defaultdict(int)
    near: dict[str, deque[int]] = defaultdict(deque)
    for position, char in enumerate(text):
        if char.isspace():
            continue
        places = near[char]
        places.append(position)
        while position - places[0] > WINDOW:
            places.popleft()
        most[char] = max(most[char], len(places))
    return most
