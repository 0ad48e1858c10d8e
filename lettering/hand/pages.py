"""Pages lettered larger or with another pen: brought to the size and weight of those before them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from statistics import median

from lettering.geometry.affine import Affine
from lettering.geometry.heavier import heavier
from lettering.geometry.outline import Outline
from lettering.hand.edges import Edges
from lettering.hand.measure import stroke_widths
from lettering.hand.take import AsDrawn, Drawn

SAME_SIZE = 0.02
"""Sizes that differ by less are the same: letters of one page differ more."""
SAME_WEIGHT = 0.06
"""Strokes whose thickness differs by less, in thicknesses, are of one pen."""
MOST_MOVED = 0.2
"""Farthest that an outline is moved for its page's weight, thicknesses: beyond it, its corners would show."""
FEWEST = 5
"""Characters that two pages must share before one is measured by the other."""

_Measured = dict[str, tuple[float, float]]
"""Height and thickness of stroke of each character, font units."""


def at_one_size(fresh: Sequence[Drawn], former: Sequence[Drawn]) -> list[Drawn]:
    """Return the letters of new pages at the size and weight of `former` ones, else of the first page.

    A page is scaled as a whole, its gaps with its letters. Rows stay on their baselines.
    """
    pages: dict[str, list[Drawn]] = defaultdict(list)
    for letter in fresh:
        pages[letter.source.page].append(letter)
    known = _measured(former)
    done: list[Drawn] = []
    for page in sorted(pages):
        letters = _fitted(pages[page], known) if known else pages[page]
        known = known or _measured(letters)
        done += letters
    return done


def _fitted(letters: Sequence[Drawn], known: _Measured) -> list[Drawn]:
    own = _measured(letters)
    shared = own.keys() & known.keys()
    if len(shared) < FEWEST:
        return list(letters)
    size = median(known[char][0] / own[char][0] for char in shared)
    size = size if abs(size - 1) > SAME_SIZE else 1.0
    stem = median(known[char][1] for char in shared)
    more = median(known[char][1] - own[char][1] * size for char in shared)
    more = (
        min(max(more / 2, -MOST_MOVED * stem), MOST_MOVED * stem) if abs(more) > SAME_WEIGHT * stem else 0.0
    )
    if size == 1.0 and more == 0.0:
        return list(letters)
    return [_changed(letter, size, more) for letter in letters]


def _changed(letter: Drawn, size: float, more: float) -> Drawn:
    scaled = letter.outline.transformed(Affine.scaling(size, size))
    outline = Outline(tuple(heavier(contour, more) for contour in scaled.contours))
    scale = letter.source.units_per_px
    source = replace(letter.source, units_per_px=None if scale is None else scale * size)
    return replace(letter, outline=outline, source=source, as_drawn=AsDrawn(letter.outline, scale))


def _measured(letters: Iterable[Drawn]) -> _Measured:
    inked = [
        letter
        for letter in letters
        if letter.outline.contours and letter.char.isalpha() and letter.doubt is None
    ]
    edges = Edges.of([letter.outline for letter in inked])
    heights: dict[str, list[float]] = defaultdict(list)
    stems: dict[str, list[float]] = defaultdict(list)
    for letter, box, stem in zip(inked, edges.rects(), stroke_widths(edges).tolist(), strict=True):
        heights[letter.char].append(box.height)
        stems[letter.char].append(stem)
    return {char: (median(heights[char]), median(stems[char])) for char in heights}
