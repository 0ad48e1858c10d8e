"""What it costs the reader when a row ends in a gap between words.

Phrase-aligned rows help phrasing and return sweeps at ages 5 to 9 (LeVasseur et al. 2006; Raban 1982; O'Shea
and Sindelar 1983). The order of the costs follows them; the weights are house defaults. Kinds of words are
told by the lists in function_words.json: no grammar is parsed, so an unlisted word counts as a plain one.
"""

import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise

SENTENCE, CLAUSE, CONJUNCTION, PHRASE, SUBJECT, OBJECT, ADJECTIVE, BOUND = 0, 1, 2, 3, 4, 6, 12, 20
"""Cost of a gap after a sentence; after a comma; before a conjunction; before a prepositional phrase; between
subject and verb; verb and object; adjective and noun; a word and the one it cannot stand without."""

FALSE_SENTENCE = 8.0
"""Added when a row could be taken for a finished sentence and is not."""
SHORT_LAST = 6.0
"""Added for a last row of one short word."""
SAME_FIRST = 4.0
"""Added for two rows, one under the other, that begin with the same word: the eye slips between them."""

TOLD = 2
"""Words that must follow a subject, at least, before a row can seem to be a whole sentence."""
SHORT_WORD = 4
"""Letters of a short word, at most."""

_BINDS = ("article", "possessive", "number", "preposition", "auxiliary", "title")
_CLOSERS = r"\"'’”»“‘)\]"
_ENDS = re.compile(rf"[.!?…‽][{_CLOSERS}]*$|.[”“»\"][.,;:!?…]*$|^»[.,;:!?…]*$|[.!?…,][’‘]$")
_PAUSES = re.compile(rf"[,;:–—-][{_CLOSERS}]*$")


@dataclass(frozen=True, slots=True)
class Lexicon:
    """The kinds of words of one language."""

    kinds: Mapping[str, frozenset[str]]
    """Kind to its words, lower case, with straight apostrophes."""

    def has(self, word: str, *kinds: str) -> bool:
        """Tell whether `word`, as `bare` gives it, is of one of `kinds`."""
        return any(word in self.kinds.get(kind, ()) for kind in kinds)


def lexicon(language: str) -> Lexicon:
    """Return the kinds of words of a language (BCP 47); none are known of one that is not listed."""
    return _lexicons().get(language.lower().split("-")[0], Lexicon({}))


@cache
def _lexicons() -> Mapping[str, Lexicon]:
    table = json.loads(files(__package__).joinpath("function_words.json").read_text("utf-8"))
    return {
        tag: Lexicon({kind: frozenset(words.split()) for kind, words in kinds.items()})
        for tag, kinds in table.items()
    }


def bare(word: str) -> str:
    """Return a word as the lists have it: lower case, no marks round it but a straight apostrophe within."""
    return re.sub(r"^[\W_]+|[^\w]+$", "", word.lower().replace("’", "'"))


def gap_costs(pieces: Sequence[str], language: str) -> tuple[float, ...]:
    """Return the cost of ending a row after each piece of a line, the last aside."""
    known = lexicon(language)
    words = [piece.split() for piece in pieces]
    return tuple(
        _gap(
            known,
            words[i][-2:] if len(words[i]) > 1 else (words[i - 1][-1:] if i else []) + words[i],
            after[0],
        )
        for i, after in enumerate(words[1:])
    )


def _gap(known: Lexicon, before: Sequence[str], after: str) -> float:
    """Return the cost of a gap after the word `before[-1]`; `before[-2]`, if any, stands before that."""
    last, follower = bare(before[-1]), bare(after)
    if known.has(last, "title") and not re.search(r"[!?…]", before[-1]):
        return BOUND
    if ends_sentence(before[-1]):
        return SENTENCE
    if _PAUSES.search(before[-1]):
        return CLAUSE
    return _within_clause(known, bare(before[-2]) if len(before) > 1 else "", last, follower)


def _within_clause(known: Lexicon, earlier: str, last: str, follower: str) -> float:
    """Return the cost of a gap that no mark announces."""
    if known.has(follower, "conjunction") and not known.has(last, "article", "possessive", "conjunction"):
        return CONJUNCTION
    if known.has(last, *_BINDS) or (known.has(last, "pronoun") and _is_subject(known, earlier, follower)):
        return BOUND
    if known.has(last, "adjective", "conjunction"):
        return ADJECTIVE
    if known.has(follower, "preposition"):
        return OBJECT if known.has(last, "verb") else PHRASE
    if not known.has(last, "verb") and known.has(follower, "auxiliary", "verb", "pronoun"):
        return SUBJECT
    return OBJECT


def _is_subject(known: Lexicon, earlier: str, follower: str) -> bool:
    """Tell whether a pronoun between two words is the subject of what follows."""
    if known.has(follower, "auxiliary", "verb"):
        return True
    return not known.has(earlier, "verb", "preposition") and not known.has(follower, "preposition", "article")


def ends_sentence(word: str) -> bool:
    """Tell whether a word closes a sentence or a quotation."""
    return _ENDS.search(word) is not None


def seems_finished(pieces: Sequence[str], language: str) -> tuple[bool, ...]:
    """Tell for each piece whether a sentence could seem to end with it, though it goes on without a mark.

    So it can after a plain word, when nothing in the word that follows announces that there is more.
    """
    known = lexicon(language)
    return tuple(
        not _PAUSES.search(piece)
        and not ends_sentence(piece)
        and not known.has(bare(piece.split()[-1]), *_BINDS, "pronoun", "conjunction", "adjective", "verb")
        and not known.has(bare(after.split()[0]), "conjunction", "preposition")
        for piece, after in pairwise(pieces)
    ) + (False,)


def subjects(pieces: Sequence[str], language: str) -> tuple[float, ...]:
    """Return for each piece the number, from 0, of the next word that names a subject; infinity for none.

    Only pronouns can be told to do so without parsing. Words are counted through the whole line.
    """
    known = lexicon(language)
    words = [bare(word) for piece in pieces for word in piece.split()]
    found, coming = [], math.inf
    at = len(words)
    for piece in reversed(pieces):
        for _ in piece.split():
            at -= 1
            coming = at if known.has(words[at], "pronoun") else coming
        found.append(coming)
    return tuple(reversed(found))


def is_short(piece: str) -> bool:
    """Tell whether a piece is one short word."""
    return len(piece.split()) == 1 and len(bare(piece)) <= SHORT_WORD
