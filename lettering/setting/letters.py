"""The letters of a whole line, their takes chosen and spaced within each piece, before it is broken."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.book.line import Voice
from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.setting.forms import EDGE_STEP, Form, Forms, forms_of
from lettering.setting.life import Swing
from lettering.setting.opportunities import Piece
from lettering.setting.stand_ins import clusters, lettered

Floats = NDArray[np.float64]

EMPHASIS = (0.11, 1.05)
"""How much emphasis moves each outline outward, stems, and how much larger it is: a firmer pen. House default."""
SHOUT = 0.05
"""How much a shout moves each outline outward, stems. House default."""
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
    path: Path
    ink: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPiece:
    """A piece with its letters in place; x = 0 is where its first letter's advance begins, y = 0 the baseline."""

    piece: Piece
    letters: tuple[Inked, ...]
    advance_mm: float
    """From its start to where the next piece would begin without a space, mm."""

    @property
    def ink(self) -> Rect:
        """The least rectangle round its ink, mm."""
        return Rect.around(letter.ink for letter in self.letters)


def set_pieces(
    pieces: Sequence[Piece], strong: Sequence[bool], hand: Hand, *, voice: Voice, mm_per_unit: float
) -> tuple[SetPiece, ...]:
    """Return the pieces of one line in the letters of a hand that holds all of them (or their stand-ins).

    `strong` tells for each character of the line's shown words whether it is emphasised. Takes are chosen for the
    line as a whole, so that equal letters near one another differ wherever the rows end.
    """
    drawn = [tuple(_drawn(piece, strong, hand)) for piece in pieces]
    words = " ".join(piece.text for piece in pieces)
    takes = iter(_takes(words, [letter for letters in drawn for letter in letters if letter], hand))
    forms = forms_of(hand)
    swing = Swing(words, hand.metrics.baseline_drift / hand.metrics.x_height)
    setter = _Setter(forms, swing, SHOUT if voice == "shout" else 0.0, mm_per_unit)
    return tuple(setter.set(piece, letters, takes) for piece, letters in zip(pieces, drawn, strict=True))


def _drawn(piece: Piece, strong: Sequence[bool], hand: Hand) -> Iterator[Drawn | None]:
    """Yield what is drawn for a piece, none for a space within it."""
    at = piece.start
    for cluster in clusters(piece.text):
        if cluster.isspace():
            yield None
        else:
            for char in lettered(cluster, hand) or ():
                yield Drawn(char, strong[at])
        at += len(cluster)


def _takes(words: str, drawn: Sequence[Drawn], hand: Hand) -> list[Take]:
    counts: dict[str, int] = {}
    chosen = []
    for letter in drawn:
        takes = hand.takes[letter.char]
        counts[letter.char] = counts.get(letter.char, len(words)) + 1
        chosen.append(takes[counts[letter.char] % len(takes)])
    return chosen


class _Setter:
    """Sets piece after piece, the baseline swinging on from one to the next."""

    def __init__(self, forms: Forms, swing: Swing, heavier: float, mm_per_unit: float) -> None:
        metrics = forms.hand.metrics
        self._forms, self._swing, self._heavier = forms, swing, heavier
        self._mm_per_unit = mm_per_unit
        self._x_height = metrics.x_height
        self._clear = LEAST_CLEAR * metrics.stem + swing.unevenness * metrics.x_height + EDGE_STEP
        self._way = 0.0
        """How far the line has come, font units, as if it were one row."""

    def set(self, piece: Piece, drawn: Sequence[Drawn | None], takes: Iterator[Take]) -> SetPiece:
        forms = [None if letter is None else self._form(letter, next(takes)) for letter in drawn]
        origins, advance = self._spaced(forms)
        places = np.array(origins) + self._way
        self._way += advance + self._forms.hand.metrics.word_space
        rises = self._swing.rise(places / self._x_height) * self._x_height
        slopes = self._swing.slope(places / self._x_height)
        letters = [
            self._inked(form, x, float(rise), float(slope))
            for form, x, rise, slope in zip(forms, origins, rises, slopes, strict=True)
            if form is not None
        ]
        return SetPiece(piece=piece, letters=tuple(letters), advance_mm=advance * self._mm_per_unit)

    def _form(self, letter: Drawn, take: Take) -> Form:
        heavier, scale = EMPHASIS if letter.strong else (0.0, 1.0)
        by = (heavier + self._heavier) * self._forms.hand.metrics.stem
        return self._forms.form(take, by, scale)

    def _spaced(self, forms: Sequence[Form | None]) -> tuple[list[float], float]:
        """Return the origin of each letter and the piece's advance, font units; ink never comes too near."""
        hand = self._forms.hand
        origins: list[float] = []
        pen, before = 0.0, None
        for form in forms:
            if form is None:
                origins.append(pen)
                pen, before = pen + hand.metrics.word_space, None
                continue
            x = pen
            if before is not None:
                x += hand.kerning.get((before.take.char, form.take.char), 0.0)
            for earlier, origin in zip(forms[len(origins) - 2 : len(origins)], origins[-2:], strict=False):
                if earlier is not None:
                    x = max(x, origin + self._forms.least_step(earlier, form, self._clear))
            origins.append(x)
            pen, before = x + form.advance, form
        return origins, pen

    def _inked(self, form: Form, x: float, rise: float, slope: float) -> Inked:
        """Return one letter on the page, about its piece's start."""
        k = self._mm_per_unit
        place = Affine(k, -slope * k, -slope * k, -k, x * k, -rise * k)
        knots = place.apply(form.knots)
        (x0, y0), (x1, y1) = (f(place.apply(form.points), axis=0).tolist() for f in (np.min, np.max))
        contours = tuple(Contour(part) for part in np.split(knots, form.ends[:-1]))
        return Inked(char=form.take.char, take=form.take.name, path=Path(contours), ink=Rect(x0, y0, x1, y1))
