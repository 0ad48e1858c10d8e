"""Pairs and whole words of a hand as glyphs of its typeface, letters at their own distances."""

from collections.abc import Iterator, Sequence

from ufoLib2 import Font

from lettering.export.turns import Names, Turns
from lettering.geometry.affine import Affine
from lettering.hand.alternation import kind, turning
from lettering.hand.font import draw
from lettering.hand.font_facts import FIRST, SECOND, SPACE
from lettering.hand.grid import on_grid
from lettering.hand.hand import Hand
from lettering.hand.names import glyph_name, take_name
from lettering.hand.word import WordTake, pair_takes, word_takes

WORD = ".word"
"""How names of whole words end: what stands before it is read as letters (Adobe Glyph List Specification)."""
LONGEST_NAME = 63
"""Longest name of a glyph (OpenType feature file specification)."""
INSIDE = "’'-"
"""Marks that may stand within a word."""


def with_joined(font: Font, hand: Hand) -> Turns:
    """Add glyphs for pairs and whole words to the font of a hand; return what turns into what."""
    of = {char: tuple(t.name for t in takes[: turning(takes)]) for char, takes in hand.takes.items()}
    turns = list(of.values())
    kinds = {name: (kind(char), kind(char)) for char, names in of.items() for name in names}
    kinds[SPACE] = (kind(" "), kind(" "))
    pairs: dict[Names, str] = {}
    words: dict[Names, str] = {}
    for text in hand.words:
        if ways := pair_takes(hand, text):
            names = tuple(take_name(text, number + 1) for number in range(turning(ways)))
            _add(font, names, ways)
            pairs[_letters(text)] = names[0]
            turns.append(names)
            kinds |= dict.fromkeys(names, (kind(text[0]), kind(text[1])))
    for text, ways in _whole(hand):
        name = glyph_name(text) + WORD
        _add(font, (name,), ways)
        words[_letters(text)] = name
        kinds[name] = (kind(text[0]), kind(text[-1]))
    return Turns(
        turning=[names for names in turns if len(names) > 1],
        kinds=kinds,
        pairs=pairs,
        words=words,
        letters=sorted(take_name(char, 1) for char in hand.takes if _in_word(char)),
    )


def _whole(hand: Hand) -> Iterator[tuple[str, tuple[WordTake, ...]]]:
    """Yield the words without the marks at their ends, in the first way each was lettered."""
    for text in hand.words:
        if len(text) > 1 and text[-1].isalnum() and all(map(_in_word, text)):
            ways = word_takes(hand, text)[:1]
            if ways and len(glyph_name(text) + WORD) <= LONGEST_NAME:
                yield text, ways


def _in_word(char: str) -> bool:
    return char.isalnum() or char in INSIDE


def _letters(text: str) -> Names:
    return tuple(map(glyph_name, text))


def _add(font: Font, names: Names, ways: Sequence[WordTake]) -> None:
    """Add a glyph for each way; it kerns as its first letter does before it and as its last one after it."""
    for name, way in zip(names, ways, strict=False):
        glyph = font.newGlyph(name)
        glyph.width = on_grid(way.advance)
        for take, start in zip(way.takes, way.starts, strict=True):
            draw(take.outline.transformed(Affine(e=start)), glyph.getPen())
        for group, take in ((SECOND, way.takes[0]), (FIRST, way.takes[-1])):
            if (known := group + glyph_name(take.char)) in font.groups:
                font.groups[known] = [*font.groups[known], name]
