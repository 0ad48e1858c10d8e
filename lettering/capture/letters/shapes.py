"""What each character is expected to look like before a hand is known."""

import json
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Shape:
    """The rough build of a character in most people's lettering."""

    bottom: float
    """Lowest ink above the baseline, x-heights; negative for descenders."""
    top: float
    """Highest ink above the baseline, x-heights."""
    width: float
    """x-heights."""
    pieces: float
    """Connected pieces of ink."""
    holes: float

    @property
    def height(self) -> float:
        """From lowest to highest ink, x-heights."""
        return self.top - self.bottom


TALL = 1.2
"""Letters that reach higher than this many x-heights are capitals, figures, ascenders or high marks."""

_UNKNOWN = Shape(0.0, 1.2, 0.9, 1, 0)
_LOW_MARKS = {"\u0323", "\u0327", "\u0328"}
"""Dot below, cedilla, ogonek."""


@cache
def expected_shape(char: str) -> Shape:
    """Return the expected build of a character, or of a base letter with its marks."""
    shapes = _shapes()
    if char in shapes:
        return shapes[char]
    plain = unicodedata.normalize("NFD", char)
    base, marks = plain[0], plain[1:]
    shape = shapes.get(base, _UNKNOWN)
    if not marks or base not in shapes:
        return shape
    if set(marks) <= _LOW_MARKS:
        return Shape(shape.bottom - 0.4, shape.top, shape.width, shape.pieces, shape.holes)
    dotless = {"i": Shape(0.0, 1.0, 0.4, 1, 0), "j": Shape(-0.5, 1.0, 0.65, 1, 0)}.get(base, shape)
    twice = marks[0] == "\u0308"
    return Shape(dotless.bottom, dotless.top + 0.45, dotless.width, dotless.pieces + 1 + twice, dotless.holes)


@cache
def _shapes() -> dict[str, Shape]:
    text = (files("lettering.capture.letters") / "letter_shapes.json").read_text(encoding="utf-8")
    return {char: Shape(*row) for char, row in json.loads(text)["shapes"].items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Proportions:
    """How a hand's letters differ from most people's; 1 is usual."""

    width: float = 1.0
    tall: float = 1.0
    """Height of capitals, figures and ascenders."""

    def of(self, shape: Shape) -> Shape:
        """Return a shape in these proportions."""
        top = shape.top * (self.tall if shape.top > TALL else 1)
        return replace(shape, top=top, width=shape.width * self.width)


NONE: Mapping[str, Shape] = MappingProxyType({})
"""No character's own shape is known yet."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Builds:
    """The measured build of many groups of ink, or the expected one of many characters; arrays alike."""

    bottom: NDArray[np.float64]
    top: NDArray[np.float64]
    width: NDArray[np.float64]
    pieces: NDArray[np.float64]
    holes: NDArray[np.float64]

    @classmethod
    def expected(cls, chars: Sequence[str], hand: Proportions, own: Mapping[str, Shape] = NONE) -> "Builds":
        """Return the builds of `chars`, (len(chars),), as `own` has them or as expected of such a hand."""
        table = [own[char] if char in own else hand.of(expected_shape(char)) for char in chars]
        return cls(
            bottom=np.array([shape.bottom for shape in table]),
            top=np.array([shape.top for shape in table]),
            width=np.array([shape.width for shape in table]),
            pieces=np.array([float(shape.pieces) for shape in table]),
            holes=np.array([float(shape.holes) for shape in table]),
        )

    @property
    def table(self) -> NDArray[np.float64]:
        """Shape (n, 5): a row for each, in the order of a `Shape`'s fields."""
        return np.stack([self.bottom, self.top, self.width, self.pieces, self.holes], axis=1)

    def touching(self, count: int, gap: float = 0.0) -> "Builds":
        """Return the builds of each `count` neighbours run together, shape (n - count + 1,)."""
        runs = {
            name: np.lib.stride_tricks.sliding_window_view(getattr(self, name), count)
            for name in ("bottom", "top", "width", "pieces", "holes")
        }
        return Builds(
            bottom=runs["bottom"].min(-1),
            top=runs["top"].max(-1),
            width=runs["width"].sum(-1) + gap * (count - 1),
            pieces=runs["pieces"].sum(-1) - (count - 1),
            holes=runs["holes"].sum(-1),
        )


HEIGHT_SPREAD = 0.2
"""How far hands differ in where a letter ends above or below, x-heights (sd over typefaces 0.05 to 0.25)."""
WIDTH_SPREAD = 0.3
"""How far hands differ in a letter's width, natural log (sd over typefaces 0.1 to 0.35)."""


def strangeness(ink: Builds, chars: Builds) -> NDArray[np.float64]:
    """Return how ill each group of ink fits each character, as a negative log likelihood, (groups, chars)."""

    def off(name: str) -> NDArray[np.float64]:
        difference: NDArray[np.float64] = getattr(ink, name)[:, None] - getattr(chars, name)[None, :]
        return difference

    width = np.log((ink.width[:, None] + 0.15) / (chars.width[None, :] + 0.15))
    more, holes = off("pieces"), np.abs(off("holes"))
    cost: NDArray[np.float64] = (
        bounded(off("top") / HEIGHT_SPREAD)
        + bounded(off("bottom") / HEIGHT_SPREAD)
        + bounded(width / WIDTH_SPREAD)
        + np.where(more > 0, 1.5 * more, -3 * more)
        + 0.7 * np.minimum(holes, 2)
    )
    return cost


def bounded(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return half the square of z, levelling off at 5: one odd measure must not outweigh all others."""
    return 5 * (1 - np.exp(-(z**2) / 10))
