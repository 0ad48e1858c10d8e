"""The letters of a whole line, their takes chosen and spaced within each piece, before it is broken."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.book.line import Voice
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.setting.drawn import Letter, letters
from lettering.setting.forms import EDGE_STEP, Form, forms_of
from lettering.setting.life import Swing
from lettering.setting.opportunities import Piece

Floats = NDArray[np.float64]

LOUD = {"shout": 0.05, "sound": 0.2}
"""How far a loud voice moves each outline outward, stems. House default."""
LEAST_CLEAR = 0.5
"""Least distance between the ink of two letters, stems."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Inked:
    """A letter drawn in mm about its piece's start on the baseline, y down."""

    char: str
    take: str
    path: Path
    ink: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPiece:
    """A piece with its letters in place: x = 0 where its first letter begins, y = 0 its baseline."""

    piece: Piece
    letters: tuple[Inked, ...]
    advance_mm: float
    """From its start to where the next piece would begin without a space, mm."""


def set_pieces(
    pieces: Sequence[Piece],
    strong: Sequence[bool],
    hand: Hand,
    *,
    voice: Voice,
    mm_per_unit: float,
    language: str = "en",
) -> tuple[SetPiece, ...]:
    """Return the pieces of one line in the letters of a hand that holds all of them (or their stand-ins).

    `strong` tells for each character of the line's shown words whether it is emphasised. Takes are chosen for
    the line as a whole, so that equal letters near one another differ wherever the rows end.
    """
    words = " ".join(piece.text for piece in pieces)
    swing = Swing(words, forms_of(hand).drift / hand.metrics.x_height)
    clear = LEAST_CLEAR * hand.metrics.stem + swing.unevenness * hand.metrics.x_height + EDGE_STEP
    drawn = letters(pieces, strong, hand, heavier=LOUD.get(voice, 0.0), language=language)
    spaced = [_spaced(parts, hand, clear) for parts in drawn]
    inked = iter(_inked(drawn, spaced, hand, swing, mm_per_unit))
    return tuple(
        SetPiece(
            piece=piece,
            letters=tuple(islice(inked, sum(isinstance(part, Letter) for part in parts))),
            advance_mm=advance * mm_per_unit,
        )
        for piece, parts, (_, advance) in zip(pieces, drawn, spaced, strict=True)
    )


def _spaced(parts: Sequence[Letter | float], hand: Hand, clear: float) -> tuple[list[float], float]:
    """Return the origin of each letter of a piece and its advance, font units; ink stays `clear` apart."""
    ready = forms_of(hand)
    origins: list[float] = []
    pen = 0.0
    forms = [part.form if isinstance(part, Letter) else part for part in parts]
    for at, form in enumerate(forms):
        if not isinstance(form, Form):
            origins.append(pen)
            pen += form
            continue
        x = pen
        if at and isinstance(before := forms[at - 1], Form):
            x += hand.kerning.get((before.take.char, form.take.char), 0.0)
        if isinstance(part := parts[at], Letter) and part.step is not None:
            x = origins[-1] + part.step + 2 * form.heavier_by
        near = at - (isinstance(part, Letter) and part.joined)  # the two of a pair may meet
        for other in range(max(0, at - 2), near):
            if isinstance(earlier := forms[other], Form):
                x = max(x, origins[other] + ready.least_step(earlier, form, clear))
        origins.append(x)
        pen = x + form.advance
    return origins, pen


def _inked(
    drawn: Sequence[Sequence[Letter | float]],
    spaced: Sequence[tuple[Sequence[float], float]],
    hand: Hand,
    swing: Swing,
    mm_per_unit: float,
) -> Iterator[Inked]:
    """Yield every letter of the line on the page, the baseline swinging on from piece to piece.

    The swing is that of the line as if it were one row, so that a letter looks the same however it is broken.
    """
    starts = np.cumsum([0.0, *(advance + hand.metrics.word_space for _, advance in spaced)])
    placed = [
        (part, x, start + x)
        for parts, (origins, _), start in zip(drawn, spaced, starts.tolist(), strict=False)
        for part, x in zip(parts, origins, strict=True)
        if isinstance(part, Letter)
    ]
    forms = [letter.form for letter, _, _ in placed]
    x, way = np.array([(x, way) for _, x, way in placed]).T
    x_height = hand.metrics.x_height
    place = _Places(x, swing.rise(way / x_height) * x_height, swing.slope(way / x_height), mm_per_unit)
    knots, starts_ = place.on_page([form.knots for form in forms])
    points, edges = place.on_page([form.points for form in forms])
    boxes = np.concatenate([np.minimum.reduceat(points, edges), np.maximum.reduceat(points, edges)], axis=1)
    for (letter, _, _), start, box in zip(placed, starts_.tolist(), boxes.tolist(), strict=True):
        ends = (0, *letter.form.ends)
        path = Path(tuple(Contour(knots[start + a : start + b]) for a, b in pairwise(ends)))
        yield Inked(char=letter.says, take=letter.form.take.name, path=path, ink=Rect(*box))


@dataclass(frozen=True, slots=True, eq=False)
class _Places:
    """Where letters stand: origins and rises in font units, leans in radians; all of shape (n,)."""

    x: Floats
    rise: Floats
    lean: Floats
    mm_per_unit: float

    def on_page(self, shapes: Sequence[Floats]) -> tuple[Floats, NDArray[np.intp]]:
        """Return all letters' points, (k, ..., 2) in font units, in mm with y down; and where each begins.

        All at once, for numpy is slow at small things. A lean is so slight that its cosine is 1.
        """
        sizes = [len(shape) for shape in shapes]
        every = np.concatenate(shapes)
        x, rise, lean = (
            np.repeat(values, sizes).reshape((-1,) + (1,) * (every.ndim - 2))
            for values in (self.x, self.rise, self.lean)
        )
        across, up = every[..., 0], every[..., 1]
        page = np.stack([across - lean * up + x, -(up + lean * across + rise)], axis=-1) * self.mm_per_unit
        return page, np.cumsum([0, *sizes[:-1]])
