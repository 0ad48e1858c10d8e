"""Which take next, so that a row looks lettered and not typed."""

import hashlib
from collections.abc import Iterator

from lettering.hand.hand import Hand
from lettering.hand.take import Take

WINDOW = 14
"""Characters within which a take does not come back while others are left: a row for a young reader."""


def choose_takes(text: str, hand: Hand, seed_text: str) -> tuple[Take | None, ...]:
    """Return the take for each character of `text`, none for white space and for what the hand lacks.

    A take comes back within WINDOW characters only when the others of its character are used up, and then
    the one longest unused; so equal neighbours differ wherever there are two takes. Among the free ones the
    choice is a stable hash of `seed_text`, the word and how often the word came before: the same words get
    the same takes on every machine, and words after a change mostly keep theirs.
    """
    last: dict[str, int] = {}
    return tuple(
        _choose(hand.takes.get(char, ()), position, last, f"{seed_text}\n{context}")
        for position, (char, context) in enumerate(_in_context(text))
    )


def _choose(takes: tuple[Take, ...], position: int, last: dict[str, int], context: str) -> Take | None:
    if not takes:
        return None
    free = [take for take in takes if position - last.get(take.name, -WINDOW - 1) > WINDOW]
    chosen = (
        min(free, key=lambda take: _stable(f"{context}\n{take.name}"))
        if free
        else min(takes, key=lambda take: last[take.name])
    )
    last[chosen.name] = position
    return chosen


def _in_context(text: str) -> Iterator[tuple[str, str]]:
    """Yield each character with its word, how often the word came before, and its place in the word."""
    count: dict[str, int] = {}
    start = 0
    for word in text.split(" "):
        came = count[word] = count.get(word, -1) + 1
        for place, char in enumerate(word):
            yield char, f"{word}\n{came}\n{place}"
        start += len(word) + 1
        if start <= len(text):
            yield " ", ""


def _stable(text: str) -> bytes:
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).digest()
