"""The letters of a whole line, their takes chosen and spaced within each piece, before it is broken."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.book.line import Voice
from lettering.geometry.rect import Rect
from lettering.hand.alternation import choose_takes
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.setting.forms import EDGE_STEP, Form, forms_of
from lettering.setting.life import Swing
from lettering.setting.opportunities import Piece
from lettering.setting.stand_ins import clusters, lettered

Floats = NDArray[np.float64]

EMPHASIS = (0.13, 1.05)
"""How far emphasis moves each outline outward, stems, and how much larger it is. House default."""
SHOUT = 0.05
"""How far a shout moves each outline outward, stems. House default."""
NARROW = 0.5
"""Width of a narrow space (U+202F), as French sets it before ! ? ; :, in word spaces. House default."""
LEAST_CLEAR = 0.5
"""Least distance between the ink of two letters, stems."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A character to be drawn: what it is, and how it is said."""

    char: str
    """What the hand draws: the character itself or what stands in for it."""
    strong: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Inked:
    """A letter drawn in mm about its piece's start on the baseline, y down."""

    char: str
    take: str
    contours: tuple[Floats, ...]
    """The knots of each of its contours, shape (k, 3, 2)."""
    ink: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPiece:
    """A piece with its letters in place: x = 0 where its first letter begins, y = 0 its baseline."""

    piece: Piece
    letters: tuple[Inked, ...]
    advance_mm: float
    """From its start to where the next piece would begin without a space, mm."""


def set_pieces(
    pieces: Sequence[Piece], strong: Sequence[bool], hand: Hand, *, voice: Voice, mm_per_unit: float
) -> tuple[SetPiece, ...]:
    """Return the pieces of one line in the letters of a hand that holds all of them (or their stand-ins).

    `strong` tells for each character of the line's shown words whether it is emphasised. Takes are chosen for
    the line as a whole, so that equal letters near one another differ wherever the rows end.
    """
    words = " ".join(piece.text for piece in pieces)
    swing = Swing(words, hand.metrics.baseline_drift / hand.metrics.x_height)
    clear = LEAST_CLEAR * hand.metrics.stem + swing.unevenness * hand.metrics.x_height + EDGE_STEP
    formed = _formed(pieces, strong, hand, SHOUT if voice == "shout" else 0.0, words)
    spaced = [_spaced(forms, hand, clear) for forms in formed]
    letters = iter(_inked(formed, spaced, hand, swing, mm_per_unit))
    return tuple(
        SetPiece(
            piece=piece,
            letters=tuple(islice(letters, sum(isinstance(form, Form) for form in forms))),
            advance_mm=advance * mm_per_unit,
        )
        for piece, forms, (_, advance) in zip(pieces, formed, spaced, strict=True)
    )


def _formed(
    pieces: Sequence[Piece], strong: Sequence[bool], hand: Hand, heavier: float, words: str
) -> list[list[Form | float]]:
    """Return the form of each letter of each piece, and of a space within a piece its width, font units."""
    drawn = [tuple(_drawn(piece, strong, hand)) for piece in pieces]
    takes = _takes(pieces, drawn, hand, words)
    ready, stem = forms_of(hand), hand.metrics.stem

    def form(letter: Drawn) -> Form:
        more, scale = EMPHASIS if letter.strong else (0.0, 1.0)
        return ready.form(next(takes), (heavier + more) * stem, scale)

    return [[form(part) if isinstance(part, Drawn) else part for part in parts] for parts in drawn]


def _drawn(piece: Piece, strong: Sequence[bool], hand: Hand) -> Iterator[Drawn | float]:
    """Yield what is drawn for a piece, and the width of a space within it, font units."""
    at = piece.start
    for cluster in clusters(piece.text):
        if cluster.isspace():
            yield hand.metrics.word_space * (NARROW if cluster == "\u202f" else 1.0)
        else:
            for char in lettered(cluster, hand) or ():
                yield Drawn(char, strong[at])
        at += len(cluster)


def _takes(
    pieces: Sequence[Piece], drawn: Sequence[Sequence[Drawn | float]], hand: Hand, words: str
) -> Iterator[Take]:
    """Yield the take of each letter that is drawn, in order."""
    chars = [
        [part.char if isinstance(part, Drawn) else "\u00a0" for part in parts] + [" "] * piece.spaced
        for piece, parts in zip(pieces, drawn, strict=True)
    ]
    chosen = iter(choose_takes("".join(map("".join, chars)), hand, words))
    for char in (char for part in chars for char in part):
        take, *marks = islice(chosen, len(char))
        if not char.isspace():
            # A letter that needs several code points is not chosen one by one; its first take draws it.
            yield hand.takes[char][0] if marks or take is None else take


def _spaced(forms: Sequence[Form | float], hand: Hand, clear: float) -> tuple[list[float], float]:
    """Return the origin of each letter of a piece and its advance, font units; ink stays `clear` apart."""
    ready = forms_of(hand)
    origins: list[float] = []
    pen = 0.0
    for at, form in enumerate(forms):
        if not isinstance(form, Form):
            origins.append(pen)
            pen += form
            continue
        x = pen
        if at and isinstance(before := forms[at - 1], Form):
            x += hand.kerning.get((before.take.char, form.take.char), 0.0)
        for earlier, origin in zip(forms[max(0, at - 2) : at], origins[-2:], strict=True):
            if isinstance(earlier, Form):
                x = max(x, origin + ready.least_step(earlier, form, clear))
        origins.append(x)
        pen = x + form.advance
    return origins, pen


def _inked(
    formed: Sequence[Sequence[Form | float]],
    spaced: Sequence[tuple[Sequence[float], float]],
    hand: Hand,
    swing: Swing,
    mm_per_unit: float,
) -> Iterator[Inked]:
    """Yield every letter of the line on the page, the baseline swinging on from piece to piece.

    The swing is that of the line as if it were one row, so that a letter looks the same however it is broken.
    """
    starts = np.cumsum([0.0, *(advance + hand.metrics.word_space for _, advance in spaced)])
    letters = [
        (form, x, start + x)
        for forms, (origins, _), start in zip(formed, spaced, starts.tolist(), strict=False)
        for form, x in zip(forms, origins, strict=True)
        if isinstance(form, Form)
    ]
    forms = [form for form, _, _ in letters]
    x, way = np.array([(x, way) for _, x, way in letters]).T
    x_height = hand.metrics.x_height
    place = _Places(x, swing.rise(way / x_height) * x_height, swing.slope(way / x_height), mm_per_unit)
    knots = place.on_page([form.knots for form in forms])
    points = place.on_page([form.points for form in forms])
    for form, drawn, edge in zip(forms, knots, points, strict=True):
        (x0, y0), (x1, y1) = edge.min(axis=0).tolist(), edge.max(axis=0).tolist()
        contours = tuple(drawn[a:b] for a, b in pairwise((0, *form.ends)))
        yield Inked(char=form.take.char, take=form.take.name, contours=contours, ink=Rect(x0, y0, x1, y1))


@dataclass(frozen=True, slots=True, eq=False)
class _Places:
    """Where letters stand: origins and rises in font units, leans in radians; all of shape (n,)."""

    x: Floats
    rise: Floats
    lean: Floats
    mm_per_unit: float

    def on_page(self, shapes: Sequence[Floats]) -> list[Floats]:
        """Return each letter's points, an array (..., 2) of font units, in mm with y down.

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
        return np.split(page, np.cumsum(sizes)[:-1])
