"""What to letter next: words and short sentences of a book that hold what the hand still lacks."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from lettering.hand.hand import Hand
from lettering.hand.missing import ENOUGH, wanted

LONG = 0.92
"""Room that a letter takes on paper when the hand is not known, x-heights."""
SPARE = 0.9
"""Share of a row that is filled: hands differ from day to day."""
PAIR = 0.25
"""What a pair that was never lettered counts beside a letter that is wanted."""
USUAL = (
    "The moon came up over us", "half a quiet yellow jar.", "Mole dug six more holes",
    "“Who hid my best cello?”", "Vicky Fox zoomed past …",
    "‘Quick, Ben, grab a plum!’", "Is it 10:45? No: 7 or 8.", "Pip & Co. (Ltd) sold 29;",
    "36 zebras – Xenia’s lot.", "Every Otter, Rat, Snail", "Dear Urchin, Yes: a Kite",
    "HURRY! MY WIG JUST FELL",
)  # fmt: skip
"""What is asked for when no book is: every letter of the English alphabet, figures and marks."""
_SENTENCE = re.compile(r"(?<=[.!?…])[”’\"')]*\s+")


def usual_rows(*, width: float, rows: int) -> tuple[str, ...]:
    """Return what is asked for when no book is, in rows of at most `width` x-heights."""
    fits = width * SPARE
    parts = ((text,) if _length(text, None) <= fits else tuple(_parts(text, None, fits)) for text in USUAL)
    return tuple(part for row in parts for part in row)[:rows]


def rows_to_letter(texts: Sequence[str], hand: Hand | None, *, width: float, rows: int) -> tuple[str, ...]:
    """Return at most `rows` rows of the texts' own words, each at most `width` x-heights long.

    Whole sentences are taken where they fit, else runs of words, the most wanted first; short ones share a
    row. Empty when nothing is wanted; else rows that are left show pairs of letters not seen yet.
    """
    needs = _needs(texts, hand)
    pairs = dict(unlettered_pairs(texts, hand))
    fitting = list(dict.fromkeys(part for text in texts for part in _parts(text, hand, width * SPARE)))
    asked: list[str] = []
    while fitting:
        best = max(fitting, key=lambda part: (_worth(part, needs, pairs), part))
        packed = _with(best, asked, hand, width * SPARE)
        # A sheet that is asked for anyway is filled: more pairs are seen, and each letter once more.
        helps = any(char in needs for char in best) or (asked and _worth(best, needs, pairs) > 0)
        if not helps or len(packed) > rows:
            break
        asked = packed
        fitting.remove(best)
        needs -= Counter(best)
        for pair in pairwise(best):
            pairs.pop("".join(pair), None)
    return tuple(asked)


def _with(part: str, rows: Sequence[str], hand: Hand | None, width: float) -> list[str]:
    """Return the rows with a part in the first that has room for it, else in a row of its own."""
    for at, row in enumerate(rows):
        if _length(f"{row} {part}", hand) <= width:
            return [*rows[:at], f"{row} {part}", *rows[at + 1 :]]
    return [*rows, part]


def unlettered_pairs(texts: Iterable[str], hand: Hand | None) -> tuple[tuple[str, int], ...]:
    """Return pairs of letters that the texts have and no word of the hand shows, the most frequent first."""
    shown = {a + b for text in (hand.words if hand else ()) for a, b in pairwise(text)}
    used = Counter(a + b for text in texts for a, b in pairwise(text) if (a + b).isalpha())
    fresh = [(pair, count) for pair, count in used.items() if pair not in shown]
    return tuple(sorted(fresh, key=lambda item: (-item[1], item)))


def _needs(texts: Sequence[str], hand: Hand | None) -> Counter[str]:
    """Return how many more takes of each character are wanted."""
    if hand is not None:
        return Counter({want.char: want.wants - want.has for want in wanted(texts, hand)})
    used = Counter(char for text in texts for char in text if not char.isspace())
    return Counter({char: min(count, ENOUGH) for char, count in used.items()})


def _worth(part: str, needs: Mapping[str, int], pairs: Mapping[str, int]) -> float:
    """Return how much of what is wanted a part holds for its length."""
    held = sum(min(count, needs.get(char, 0)) for char, count in Counter(part).items())
    fresh = len({a + b for a, b in pairwise(part)} & pairs.keys())
    return (held + PAIR * fresh) / (len(part) + 4)


def _parts(text: str, hand: Hand | None, width: float) -> Iterator[str]:
    """Yield the sentences of a text that fit, and of longer ones runs of words that do."""
    for sentence in filter(None, _SENTENCE.split(" ".join(text.split()))):
        run: list[str] = []
        for word in sentence.split(" "):
            if run and _length(" ".join([*run, word]), hand) > width:
                yield " ".join(run)
                run = []
            run.append(word)
        if _length(" ".join(run), hand) <= width:
            yield " ".join(run)


def _length(text: str, hand: Hand | None) -> float:
    """Return how long a text becomes, x-heights, by the hand's own letters as far as it has them."""
    if hand is None:
        return len(text) * LONG
    known = {char: takes[0].advance for char, takes in hand.takes.items()} | {" ": hand.metrics.word_space}
    return sum(known.get(char, LONG * hand.metrics.x_height) for char in text) / hand.metrics.x_height
