"""Accents without their letters: which marks there are, and how one is lifted off a letter."""

from dataclasses import dataclass

from lettering.geometry.contour import Contour
from lettering.geometry.rect import Rect
from lettering.hand.take import Take

ABOVE = {
    "\u0300": "`", "\u0301": "´", "\u0302": "ˆ^", "\u0303": "˜~", "\u0304": "¯", "\u0306": "˘",
    "\u0307": "˙.", "\u0308": "¨", "\u030a": "˚°", "\u030b": "˝", "\u030c": "ˇ",
}  # fmt: skip
"""Marks above a letter, and the characters that show them by themselves, best first."""
BELOW = {"\u0323": ".", "\u0326": ",", "\u0327": "¸", "\u0328": "˛", "\u0331": "¯"}
"""Marks below a letter, likewise."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark without its letter."""

    contours: tuple[Contour, ...]
    clear: float
    """Distance between the letter's edge and it, font units; negative when it reaches into the stroke."""

    @property
    def bounds(self) -> Rect:
        """The least rectangle round it, font units."""
        return Rect.around(contour.bounds for contour in self.contours)


def lifted(take: Take, base: Take, *, below: bool) -> Mark | None:
    """Return what stands above (or below) its letter in `take`; none when the two have grown together.

    `base` is the letter without the mark: it tells where the one ends and the other begins.
    """
    edge = base.outline.bounds
    stem = 0.1 * edge.height
    apart: list[Contour] = []
    rest: list[Contour] = []
    for contour in take.outline.contours:
        bounds = contour.bounds
        away = bounds.y1 < edge.y0 + stem if below else bounds.y0 > edge.y1 - stem
        (apart if away else rest).append(contour)
    if not apart or not rest:
        return None
    letter = Rect.around(contour.bounds for contour in rest)
    if letter.height > 1.2 * edge.height + stem:
        return None
    mark = Mark(tuple(apart), 0.0)
    clear = letter.y0 - mark.bounds.y1 if below else mark.bounds.y0 - letter.y1
    return Mark(mark.contours, clear)
