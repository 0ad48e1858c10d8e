"""Accented letters made of a base and its marks, where the hand holds both but not the letter itself.

A mark is taken from another letter that was lettered with it, and keeps the distance it had there; else
from the mark lettered by itself. What is made so is the illustrator's ink in a place she did not choose, and
is listed by `made_up`.
"""

import unicodedata
from collections.abc import Iterator

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.hand import Hand
from lettering.hand.marks import ABOVE, BELOW, Mark, lifted
from lettering.hand.take import Take

CLEAR = 0.2
"""Distance from a letter up to a mark that was lettered by itself, x-heights. House default."""
WIDEST = 0.6
"""Greatest width of a mark that was lettered by itself, x-heights. House default."""
SUNK = 0.5
"""How far a mark that grows out of its letter reaches into the stroke, stems. House default."""


def composed(cluster: str, hand: Hand) -> tuple[Take, ...]:
    """Return takes of an accented letter, one for each take of its base; none when they cannot be made."""
    base, marks = _parts(cluster)
    if not marks or not base.isalpha() or any(name not in ABOVE and name not in BELOW for name in marks):
        return ()
    takes = _bases(base, hand, dotted=all(name in BELOW for name in marks))
    for name in marks:
        mark = next(_found(name, hand), None)
        if mark is None:
            return ()
        takes = tuple(_joined(cluster, take, name, mark) for take in takes)
    return takes


def made_up(text: str, hand: Hand) -> tuple[str, ...]:
    """Return the characters of NFC `text` that the hand draws only by composing them, each once, sorted."""
    return tuple(sorted(char for char in set(text) if char not in hand.takes and composed(char, hand)))


def _parts(cluster: str) -> tuple[str, str]:
    """Return the base of a cluster and its marks."""
    apart = unicodedata.normalize("NFD", cluster)
    return apart[:1], apart[1:]


def _bases(base: str, hand: Hand, *, dotted: bool = False) -> tuple[Take, ...]:
    """Return the takes that carry a mark: i and j lose their dots unless `dotted`."""
    if base not in "ij" or dotted:
        return hand.takes.get(base, ())
    dotless = hand.takes.get({"i": "ı", "j": "ȷ"}[base])
    return dotless or tuple(_without_dot(take) for take in hand.takes.get(base, ()))


def _without_dot(take: Take) -> Take:
    contours = sorted(take.outline.contours, key=lambda contour: contour.bounds.y0)
    stem = contours[:1]
    kept = tuple(contour for contour in contours if contour.bounds.y0 <= stem[0].bounds.y1)
    return Take(name=take.name, char=take.char, outline=Outline(kept), advance=take.advance)


def _found(name: str, hand: Hand) -> Iterator[Mark]:
    """Yield the mark as the hand has it: with other letters first, then by itself."""
    for char in sorted(hand.takes):
        base, marks = _parts(char)
        if marks == name:
            bases = _bases(base, hand, dotted=name in BELOW)
            if bases and (found := lifted(hand.takes[char][0], bases[0], below=name in BELOW)):
                yield found
    for char in (name, *ABOVE.get(name, ""), *BELOW.get(name, "")):
        if char in hand.takes:
            yield _alone(name, hand.takes[char][0].outline, hand)


def _alone(name: str, outline: Outline, hand: Hand) -> Mark:
    """Return a mark that was lettered by itself, no larger than a mark may be."""
    scale = min(1.0, WIDEST * hand.metrics.x_height / outline.bounds.width)
    contours = outline.transformed(Affine.scaling(scale, scale)).contours
    if name in ATTACHED:
        return Mark(contours, -SUNK * hand.metrics.stem)
    return Mark(contours, CLEAR * hand.metrics.x_height)


ATTACHED = {"\u0327": 0.5, "\u0328": 0.78}
"""Marks that grow out of the letter, and where across its foot: the cedilla in the middle, the ogonek where
the last stroke ends. Common practice, no source."""


def _joined(char: str, base: Take, name: str, mark: Mark) -> Take:
    """Return the base with the mark above or below it."""
    under, over = base.outline.bounds, mark.bounds
    if name in BELOW:
        x = under.x0 + under.width * ATTACHED.get(name, 0.5) - over.centre.x
        y = _foot(base.outline, x + over.x0, x + over.x1) - mark.clear - over.y1
    else:
        x, y = under.centre.x - over.centre.x, under.y1 + mark.clear - over.y0
    set_ = tuple(Contour(contour.knots + (x, y)) for contour in mark.contours)
    return Take(
        name=f"{base.name}_uni{ord(name):04X}",
        char=char,
        outline=Outline((*base.outline.contours, *set_)),
        advance=base.advance,
    )


def _foot(outline: Outline, x0: float, x1: float) -> float:
    """Return the lowest ink of a letter between x0 and x1; of all of it where there is none."""
    lows = [
        points[:, 1][(points[:, 0] >= x0) & (points[:, 0] <= x1)]
        for points in (contour.flattened(1.0) for contour in outline.contours)
    ]
    return min((float(low.min()) for low in lows if len(low)), default=outline.bounds.y0)
