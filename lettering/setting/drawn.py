"""What is drawn for the words of a line: each letter in one of its takes, each space in its width."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lettering.hand.alternation import Chosen, choose
from lettering.hand.hand import Hand
from lettering.hand.word import WordTake, word_takes
from lettering.setting.forms import Form, Forms, forms_of
from lettering.setting.opportunities import Piece
from lettering.setting.quotes import quoted, quotes
from lettering.setting.stand_ins import clusters, lettered

EMPHASIS = (0.13, 1.05)
"""How far emphasis moves each outline outward, stems, and how much larger it is. House default."""
NARROW = 0.5
"""Width of a narrow space (U+202F), as French sets it before ! ? ; :, in word spaces. House default."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A character to be drawn: what it is, and how it is said."""

    char: str
    """What the hand draws: the character itself or what stands in for it."""
    says: str
    """What the words have there: a straight quote where a curly one is drawn."""
    strong: bool


@dataclass(frozen=True, slots=True, eq=False)
class Letter:
    """A character in the take that draws it."""

    form: Form
    says: str
    """What the words have there, as the hand could letter it."""
    step: float | None = None
    """From the origin of the letter before, font units, in a word that is set whole; none elsewhere."""
    joined: bool = False
    """Whether it and the letter before are one drawing: their ink may meet."""


def letters(
    pieces: Sequence[Piece], strong: Sequence[bool], hand: Hand, *, heavier: float, language: str
) -> list[list[Letter | float]]:
    """Return the letters of each piece, and of a space within a piece its width, font units.

    `strong` tells for each character of the line's words whether it is emphasised; every outline moves
    outward by `heavier` stems. Takes are chosen for the line as a whole, so that equal letters near one
    another differ wherever the rows end.
    """
    drawn = [tuple(_marks(piece, strong, hand, language)) for piece in pieces]
    takes = _takes(pieces, drawn, hand)
    ready, stem = forms_of(hand), hand.metrics.stem

    def letter(mark: Mark) -> Letter:
        more, scale = EMPHASIS if mark.strong else (0.0, 1.0)
        chosen = next(takes)
        form = ready.form(chosen.take, (heavier + more) * stem, scale)
        return Letter(form, mark.says, chosen.step, chosen.step is not None)

    set_ = [[letter(part) if isinstance(part, Mark) else part for part in parts] for parts in drawn]
    return list(_whole(pieces, drawn, set_, hand))


def _whole(
    pieces: Sequence[Piece],
    drawn: Sequence[Sequence[Mark | float]],
    set_: Sequence[list[Letter | float]],
    hand: Hand,
) -> Iterator[list[Letter | float]]:
    """Yield the letters of each piece; those of a word that she lettered once are that word, with its gaps.

    A word that comes again takes the next way she lettered it, and single letters when there is no other.
    """
    came: dict[str, int] = {}
    for piece, marks, parts in zip(pieces, drawn, set_, strict=True):
        plain = [part for part in parts if isinstance(part, Letter)]
        said = "".join(mark.char for mark in marks if isinstance(mark, Mark) and not mark.strong)
        ways = word_takes(hand, piece.text) if said == piece.text else ()
        turn = came[piece.text] = came.get(piece.text, -1) + 1
        if turn >= len(ways) or len(ways[turn].takes) != len(plain):
            yield parts
            continue
        yield list(_as_lettered(plain, ways[turn], forms_of(hand)))


def _as_lettered(letters_: Sequence[Letter], way: WordTake, ready: Forms) -> Iterator[Letter]:
    steps = (None, *(b - a for a, b in pairwise(way.starts)))
    for letter, take, step in zip(letters_, way.takes, steps, strict=True):
        yield replace(letter, form=ready.form(take, letter.form.heavier_by), step=step)


def _marks(piece: Piece, strong: Sequence[bool], hand: Hand, language: str) -> Iterator[Mark | float]:
    """Yield what is drawn for a piece, and the width of a space within it, font units."""
    at = piece.start
    text = quoted(piece.text, language)
    narrow = hand.metrics.word_space * NARROW
    room = _inner_room(text, language)
    for index, cluster in enumerate(clusters(text)):
        if cluster.isspace():
            yield narrow if cluster == "\u202f" else hand.metrics.word_space
        else:
            typed = piece.text[at - piece.start : at - piece.start + len(cluster)]
            if index and index in room:
                yield narrow
            yield from _lettered(cluster, typed, strong[at], hand)
        at += len(cluster)


def _lettered(cluster: str, typed: str, strong: bool, hand: Hand) -> Iterator[Mark]:
    chars, says = lettered(cluster, hand), lettered(typed, hand)
    if chars is None or (cluster != typed and says and len(chars) != len(says)):
        chars = says
    for char, said in zip(chars or (), says or chars or (), strict=True):
        yield Mark(char, said, strong)


def _inner_room(text: str, language: str) -> frozenset[int]:
    """Return the indices of clusters before which the language's marks want a narrow space."""
    marks = quotes(language)
    if not marks.spaced:
        return frozenset()
    opens, closes = marks.outer
    pairs = enumerate(pairwise(clusters(text)), 1)
    return frozenset(
        at for at, (a, b) in pairs if (a == opens and not b.isspace()) or (b == closes and not a.isspace())
    )


def _takes(pieces: Sequence[Piece], drawn: Sequence[Sequence[Mark | float]], hand: Hand) -> Iterator[Chosen]:
    """Yield the take of each letter that is drawn, in order."""
    chars: list[str] = []
    for piece, parts in zip(pieces, drawn, strict=True):
        chars += [part.char if isinstance(part, Mark) else " " for part in parts]
        # A row that must end here parts words as a space does: takes are the same however a line is broken.
        chars += [" "] * (piece.spaced or piece.forced)
    return (chosen for chosen in choose(chars, hand) if chosen is not None)
