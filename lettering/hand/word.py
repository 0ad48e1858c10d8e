"""Whole words as she lettered them, and pairs that she always draws together."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lettering.hand.grid import on_grid
from lettering.hand.hand import Hand, Word
from lettering.hand.rows import runs
from lettering.hand.take import Drawn, Take

LEAST_SEEN = 2
"""A pair is drawn together always when it was drawn so often, and never apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WordTake:
    """A word, or a pair of letters, as she lettered it once: letters with their own gaps and heights."""

    text: str
    takes: tuple[Take, ...]
    """One for each character or cluster, their outlines as high on the baseline as they stood."""
    starts: tuple[float, ...]
    """Where each take's own x = 0 stands, font units from that of the first; kerning is in them."""

    @property
    def advance(self) -> float:
        """Font units from the start of the first letter to where what follows starts."""
        return self.starts[-1] + self.takes[-1].advance


def word_take(hand: Hand, text: str, turn: int = 0) -> WordTake | None:
    """Return `text` as it was lettered on a page, marks and capitals included; none when it never was.

    A word lettered several times takes turns: pass how often it was set before as `turn`.
    """
    lettered = word_takes(hand, text)
    return lettered[turn % len(lettered)] if lettered else None


def word_takes(hand: Hand, text: str) -> tuple[WordTake, ...]:
    """Return every way in which `text` was lettered as one word, in the order of the pages."""
    words = hand.words.get(text, ())
    return tuple(take for word in words if (take := _resolved(text, word, hand)))


def pair_takes(hand: Hand, text: str) -> tuple[WordTake, ...]:
    """Return the drawings of a pair that she always draws together; none for any other text."""
    if len(text) != 2 or text not in hand.words:
        return ()
    joined = (word for word in hand.words[text] if word.joined)
    return tuple(take for word in joined if (take := _resolved(text, word, hand)))


def _resolved(text: str, word: Word, hand: Hand) -> WordTake | None:
    """Return the word with its takes; none when one of them is no longer in the hand."""
    named = {take.name: take for char in dict.fromkeys(text) for take in hand.takes.get(char, ())}
    takes = tuple(named[name] for name in word.takes if name in named)
    complete = len(takes) == len(word.takes) == len(text)
    return WordTake(text=text, takes=takes, starts=word.starts) if complete else None


def whole_words(
    drawn: Sequence[Drawn],
    named: Mapping[int, tuple[str, float]],
    touching: Callable[[Drawn, Drawn], bool],
) -> dict[str, tuple[Word, ...]]:
    """Return the words of two letters or more, with and without the marks at their ends, and the pairs.

    `named` holds for each letter by identity its take's name and where it starts in its row, `touching` tells
    of two neighbours whether their ink meets. Words with a letter that has no take are left out.
    """
    words: dict[str, list[Word]] = defaultdict(list)
    together: dict[str, list[tuple[bool, Word]]] = defaultdict(list)
    for run in runs(drawn):
        for part in _parts(run):
            if any(id(letter) not in named for letter in part):
                continue
            words["".join(letter.char for letter in part)].append(_word(part, named))
        for pair in pairwise(run):
            if any(id(letter) not in named for letter in pair):
                continue
            text = pair[0].char + pair[1].char
            together[text].append((touching(*pair), _word(pair, named)))
    for text, seen in together.items():
        if len(seen) >= LEAST_SEEN and all(met for met, _ in seen):
            words[text] = [replace(word, joined=True) for _, word in seen]
    return {text: tuple(words[text]) for text in sorted(words)}


def _parts(run: Sequence[Drawn]) -> Iterator[Sequence[Drawn]]:
    """Yield a run as it stands, and without the marks at its ends, when two letters or more are left.

    A cluster of several code points is left to letters: a word is known by its characters one by one.
    """
    if len(run) < 2 or any(len(letter.char) > 1 for letter in run):
        return
    yield run
    alnum = [i for i, letter in enumerate(run) if letter.char.isalnum()]
    core = run[alnum[0] : alnum[-1] + 1] if alnum else run
    if 2 <= len(core) < len(run):
        yield core


def _word(letters: Sequence[Drawn], named: Mapping[int, tuple[str, float]]) -> Word:
    names, starts = zip(*(named[id(letter)] for letter in letters), strict=True)
    first = letters[0]
    return Word(
        takes=names,
        starts=tuple(on_grid(start - starts[0]) for start in starts),
        page=first.source.page,
        row=first.row,
        place=first.place,
    )
