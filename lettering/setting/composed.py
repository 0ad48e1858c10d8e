"""Accented letters made of a base and a mark, where the hand holds both but not the letter itself.

The mark is taken from another letter that was lettered with it, and keeps the distance it had there; else
from the mark lettered by itself. What is made so is the illustrator's ink in a place she did not choose, and
is listed by `made_up`.
"""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.hand.take import Take

ALONE = {
    "\u0300": "`", "\u0301": "´", "\u0302": "ˆ^", "\u0303": "˜~", "\u0304": "¯", "\u0306": "˘",
    "\u0307": "˙.", "\u0308": "¨", "\u030a": "˚°", "\u030b": "˝", "\u030c": "ˇ",
}  # fmt: skip
"""Marks above a letter, and the characters that show them by themselves, best first."""

CLEAR = 0.2
"""Distance from a letter up to a mark that was lettered by itself, x-heights. House default."""
WIDEST = 0.6
"""Greatest width of a mark that was lettered by itself, x-heights. House default."""


@dataclass(frozen=True, slots=True)
class _Mark:
    """A mark without its letter."""

    contours: tuple[Contour, ...]
    clear: float
    """Distance from the letter's top up to it, font units."""

    @property
    def bounds(self) -> Rect:
        return Rect.around(contour.bounds for contour in self.contours)


def composed(cluster: str, hand: Hand) -> tuple[Take, ...]:
    """Return takes of an accented letter, one for each take of its base; none when they cannot be made.

    Only letters with one mark above are made: a mark below most often grows out of the stroke.
    """
    base, marks = _parts(cluster)
    if len(marks) != 1 or marks not in ALONE or not base.isalpha():
        return ()
    mark = next(_marks(marks, hand), None)
    if mark is None:
        return ()
    return tuple(_joined(cluster, take, marks, mark) for take in _bases(base, hand))


def made_up(text: str, hand: Hand) -> tuple[str, ...]:
    """Return the characters of NFC `text` that the hand draws only by composing them, each once, sorted."""
    return tuple(sorted(char for char in set(text) if char not in hand.takes and composed(char, hand)))


def _parts(cluster: str) -> tuple[str, str]:
    """Return the base of a cluster and its marks."""
    apart = unicodedata.normalize("NFD", cluster)
    return apart[:1], apart[1:]


def _bases(base: str, hand: Hand) -> tuple[Take, ...]:
    """Return the takes that carry a mark: i and j lose their dots."""
    if base not in "ij":
        return hand.takes.get(base, ())
    dotless = hand.takes.get({"i": "ı", "j": "ȷ"}[base])
    return dotless or tuple(_without_dot(take) for take in hand.takes.get(base, ()))


def _without_dot(take: Take) -> Take:
    contours = sorted(take.outline.contours, key=lambda contour: contour.bounds.y0)
    stem = contours[:1]
    kept = tuple(contour for contour in contours if contour.bounds.y0 <= stem[0].bounds.y1)
    return Take(name=take.name, char=take.char, outline=Outline(kept), advance=take.advance)


def _marks(mark: str, hand: Hand) -> Iterator[_Mark]:
    """Yield the mark as the hand has it: over other letters first, then by itself."""
    for char in sorted(hand.takes):
        base, marks = _parts(char)
        if marks == mark and (found := _lifted(hand.takes[char][0], _bases(base, hand))):
            yield found
    x_height = hand.metrics.x_height
    for char in (mark, *ALONE[mark]):
        if char in hand.takes:
            outline = hand.takes[char][0].outline
            scale = min(1.0, WIDEST * x_height / outline.bounds.width)
            yield _Mark(outline.transformed(Affine.scaling(scale, scale)).contours, CLEAR * x_height)


def _lifted(take: Take, bases: tuple[Take, ...]) -> _Mark | None:
    """Return what stands above the letter in `take`; none when the two have grown together."""
    if not bases:
        return None
    top = bases[0].outline.bounds.y1
    above = [c for c in take.outline.contours if c.bounds.y0 > 0.9 * top]
    below = [c.bounds.y1 for c in take.outline.contours if c.bounds.y0 <= 0.9 * top]
    if not above or not below or max(below) > 1.2 * top:
        return None
    mark = _Mark(tuple(above), 0.0)
    return _Mark(mark.contours, mark.bounds.y0 - max(below))


def _joined(char: str, base: Take, name: str, mark: _Mark) -> Take:
    """Return the mark over the middle of the base's ink."""
    under, over = base.outline.bounds, mark.bounds
    step = under.centre.x - over.centre.x, under.y1 + mark.clear - over.y0
    lifted = tuple(Contour(contour.knots + step) for contour in mark.contours)
    return Take(
        name=f"{base.name}_uni{ord(name):04X}",
        char=char,
        outline=Outline((*base.outline.contours, *lifted)),
        advance=base.advance,
    )
