"""Runs of ink cut into the letters that the reading names, each part held against its letter."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.ink.pieces import SPECK, Piece, Pieces
from lettering.capture.letters.dealing import Dealt, Hand, with_likeness
from lettering.capture.letters.dividing import divided
from lettering.capture.letters.groups import portrait
from lettering.capture.letters.laying import Model, Run, laid
from lettering.capture.letters.likeness import Likeness
from lettering.capture.letters.rows import Row
from lettering.capture.letters.shapes import Builds, bounded, expected_shape, strangeness

WIDTH_STRAY = 0.06
"""How far a letter's width strays from take to take, x-heights: a misplaced cut shows there first …"""
WIDTH_SWAY = 0.05
"""… and as a share of its width."""
ALONE = 1.0
"""What a letter costs more (nats) when nothing on the page shows what it looks like whole."""


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """A run of ink cut into letters."""

    box: Box
    parts: tuple[NDArray[np.bool_], ...]
    """Each letter's ink, shape of the box; none when no cut was found."""
    ills: tuple[float, ...]
    """How ill each part fits its letter (nats)."""
    chars: tuple[str, ...]
    seen: tuple[bool, ...]
    """Which letters stand alone elsewhere on the page, so that the cut could go by them."""

    @property
    def cost(self) -> float:
        """How ill the parts fit together."""
        return sum(self.ills) if self.parts else np.inf


@dataclass(frozen=True, slots=True, eq=False)
class Cutter:
    """Cuts runs of ink, each once."""

    pieces: Pieces
    hand: Hand
    models: Mapping[str, Sequence[Model]]
    """The takes of each letter that stand alone."""
    looks: Mapping[str, Likeness]
    """What each of those letters looks like, and its other case."""
    known: dict[tuple[tuple[int, ...], str], Cut] = field(default_factory=dict)

    @classmethod
    def of(cls, rows: Sequence[Dealt], pieces: Pieces, hand: Hand) -> "Cutter":
        """Return a cutter that goes by the letters that are beyond doubt."""
        models: dict[str, list[Model]] = {}
        for dealt in rows:
            for char, match in dealt.sure():
                run = [dealt.row.pieces[i] for i in match.pieces]
                box = Box.around(piece.box for piece in run)
                foot = dealt.row.baseline.at((box.left + box.right) / 2)
                numbers = frozenset(piece.number for piece in run)
                models.setdefault(char, []).append(Model(pieces.own(run, box), foot - box.top, numbers))
        known = hand.known
        looks = {} if known is None else {char: known.only({char, char.swapcase()}) for char in models}
        return cls(pieces, hand, models, looks)

    def cut(self, row: Row, run: Sequence[Piece], chars: Sequence[str]) -> Cut:
        """Return the ink of some pieces of a row cut into `chars`."""
        key = tuple(piece.number for piece in run), "\0".join(chars)
        if key not in self.known:
            self.known[key] = self._cut(row, run, chars)
        return self.known[key]

    def _cut(self, row: Row, pieces: Sequence[Piece], chars: Sequence[str]) -> Cut:
        box = Box.around(piece.box for piece in pieces)
        foot = row.baseline.at((box.left + box.right) / 2)
        numbers = frozenset(piece.number for piece in pieces)
        run = Run(self.pieces.own(pieces, box), foot - box.top, self.hand.unit, self.pieces.stroke_px)
        models = [[m for m in self.models.get(char, ()) if not m.numbers & numbers] for char in chars]
        parts = divided(run, laid(run, models, [self._width(char, numbers) for char in chars]))
        if not all(part.any() for part in parts) or not self._joined(box, parts):
            return Cut(box, (), (), (), ())
        ills = (self._ill(row, box, part, char, numbers) for part, char in zip(parts, chars, strict=True))
        return Cut(box, parts, tuple(ills), tuple(chars), tuple(map(bool, models)))

    def _joined(self, box: Box, parts: Sequence[NDArray[np.bool_]]) -> bool:
        """Tell whether each letter shares a piece of ink with the next; apart, they need no cut."""
        least = SPECK * self.pieces.stroke_px**2
        pieces = self.pieces.map[box.slices]
        shares = [set(np.flatnonzero(np.bincount(pieces[part]) >= least)) for part in parts]
        return all(one & other for one, other in pairwise(shares))

    def _width(self, char: str, numbers: frozenset[int]) -> float:
        """Return how wide a letter is in this hand, or else in most people's, px."""
        own = self._widths(char, numbers)
        usual = np.median(own) if len(own) else expected_shape(char).width * self.hand.proportions.width
        return float(usual) * self.hand.unit

    def _widths(self, char: str, numbers: frozenset[int]) -> NDArray[np.float64]:
        look = self.looks.get(char)
        return np.empty(0) if look is None else look.other_widths(char, numbers)

    def _ill(self, row: Row, box: Box, ink: NDArray[np.bool_], char: str, numbers: frozenset[int]) -> float:
        """Return how ill a part of a run fits its letter (nats)."""
        unit = self.hand.unit
        tight, own = trimmed(ink, box)
        foot = row.baseline.at((tight.left + tight.right) / 2)
        usual = Builds.expected([char], self.hand.proportions)
        build = Builds(
            bottom=np.array([(foot - tight.bottom) / unit]),
            top=np.array([(foot - tight.top) / unit]),
            width=np.array([tight.width / unit]),
            pieces=usual.pieces,
            holes=usual.holes,
        )
        fit = strangeness(build, usual)
        widths = self._widths(char, numbers)
        if not len(widths):
            return ALONE + 2 * float(fit[0, 0])
        drawn = portrait(own, tight, row.baseline, unit)[None, :]
        looks = float(with_likeness(fit, drawn, [numbers], [char], self.looks[char])[0, 0])
        off = np.abs(widths - tight.width / unit) / (WIDTH_STRAY + WIDTH_SWAY * widths)
        return looks + float(bounded(off).min())


def trimmed(own: NDArray[np.bool_], box: Box) -> tuple[Box, NDArray[np.bool_]]:
    """Return the box and the ink without blank margins."""
    rows, columns = np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))
    top, bottom, left, right = int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1
    tight = Box(box.top + top, box.left + left, box.top + bottom, box.left + right)
    return tight, own[top:bottom, left:right]
