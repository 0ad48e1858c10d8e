"""One row of lettering: its pieces side by side, centred as the eye sees it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect
from lettering.setting.letters import Inked, SetPiece
from lettering.setting.stack import Row, SetGlyph

LIGHT = frozenset(".,'\"’‘“”‚„…-–—‹›«»·:;")
"""Marks that weigh little at the end of a row."""
LIGHT_SHARE = 0.4
"""How much of their room counts when a row is centred: they hang. House default."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseRow:
    """A row before it has a place in its stack: x = 0 is its optical middle, y = 0 its baseline, mm."""

    text: str
    letters: tuple[tuple[Inked, float], ...]
    """Each letter, and how far it moves along x from its piece's start."""
    ink: Rect

    def at(self, baseline_mm: float) -> Row:
        """Return the row with its baseline at a height of the stack, mm, y down."""
        return Row(text=self.text, glyphs=tuple(_moved(self.letters, baseline_mm)), baseline_mm=baseline_mm)


def set_row(pieces: Sequence[SetPiece], word_space_mm: float) -> LooseRow:
    """Return pieces set side by side, parted by `word_space_mm` where a space parts them."""
    starts, x = [], 0.0
    for piece in pieces:
        starts.append(x)
        x += piece.advance_mm + (word_space_mm if piece.piece.spaced else 0.0)
    letters = [
        (letter, start) for piece, start in zip(pieces, starts, strict=True) for letter in piece.letters
    ]
    middle = _optical_middle(letters)
    placed = tuple((letter, start - middle) for letter, start in letters)
    text = "".join(piece.piece.text + " " * piece.piece.spaced for piece in pieces).rstrip(" ")
    ink = Rect(
        min(letter.ink.x0 + x for letter, x in placed),
        min(letter.ink.y0 for letter, _ in placed),
        max(letter.ink.x1 + x for letter, x in placed),
        max(letter.ink.y1 for letter, _ in placed),
    )
    return LooseRow(text=text, letters=placed, ink=ink)


def _optical_middle(letters: Sequence[tuple[Inked, float]]) -> float:
    """Return the middle of the ink, marks at the ends counted by their weight."""
    return (_edge(letters, left=True) + _edge(letters[::-1], left=False)) / 2


def _edge(inward: Sequence[tuple[Inked, float]], *, left: bool) -> float:
    """Return where the row seems to begin (or end), coming inward from its very first (or last) letter."""
    sides = [x + (letter.ink.x0 if left else letter.ink.x1) for letter, x in inward]
    heavy = next((i for i, (letter, _) in enumerate(inward) if letter.char not in LIGHT), 0)
    return sides[heavy] + LIGHT_SHARE * (sides[0] - sides[heavy])


def _moved(letters: Sequence[tuple[Inked, float]], y: float) -> Iterator[SetGlyph]:
    """Yield letters moved by their own x and by `y`."""
    for letter, x in letters:
        away = Vector(x, y)
        yield SetGlyph(
            char=letter.char, take=letter.take, drawn=letter.path, ink=letter.ink.moved(away), away=away
        )
