"""Letters traced once more from their kept crops, in the coordinates of the row they were lettered in."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import cast

import numpy as np

from lettering.capture.letters.kept import KeptInk, kept_ink
from lettering.errors import HandError
from lettering.geometry.affine import Affine
from lettering.geometry.heavier import heavier
from lettering.geometry.outline import Outline
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect
from lettering.hand.edges import Edges
from lettering.hand.hand import Hand
from lettering.hand.measure import stroke_widths
from lettering.hand.pages import SAME_WEIGHT
from lettering.hand.take import Drawn, Source, Take
from lettering.outlines.glyph_space import glyph_outline
from lettering.outlines.measure import measured
from lettering.outlines.optics import Optics
from lettering.outlines.sample import FEW, Sample
from lettering.outlines.trace import trace
from lettering.storage.images import crop_pixels, png_bytes

FLAT_PX = 0.1
"""How closely an outline's polygon follows it where its ink is looked for, px."""
APART = 2.0
"""Letters tell how their row slopes when they stand so far apart, x-heights."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """How a row lies on its page, and how the page was seen: told by what was kept of its letters."""

    slope: float
    """dy/dx of the row's baseline."""
    optics: Optics
    units_per_px: float
    origin: Vector = Vector(0.0, 0.0)  # noqa: RUF009  a frozen value
    """Where the page's upper left corner lies in the row's coordinates, font units, once laid level."""
    more: float = 0.0
    """How far outlines are moved outward for their page's weight, font units (see `hand.pages`)."""

    def outline(self, ink: KeptInk) -> Outline:
        """Return ink traced, in the coordinates of its row, font units."""
        traced = trace(ink.coverage, noise=ink.noise, optics=self.optics)
        contours = [contour.moved(Vector(ink.left, ink.top)) for contour in traced]
        level = glyph_outline(contours, units_per_px=self.units_per_px, baseline=0.0, slope=self.slope)
        weighed = Outline(tuple(heavier(contour, self.more) for contour in level.contours))
        return weighed.transformed(Affine.translation(self.origin))

    def drawn(self, ink: KeptInk, char: str, source: Source) -> Drawn:
        """Return ink as the letter `char` in the place of `source`; raises HandError without an outline."""
        outline = self.outline(ink)
        if not outline.contours:
            raise HandError(f"no letter can be traced from what would be '{char}'.", source.page)
        height, width = ink.own.shape
        box = Rect.sized(ink.left, ink.top, width, height)
        return Drawn(
            char=char,
            outline=outline,
            row=source.row,
            place=source.place,
            source=replace(source, box=box, confidence=1.0),
            picture=png_bytes(ink.picture),
        )

    def ink(self, take: Take) -> KeptInk:
        """Return the ink of a take of this row, told from its neighbours' by its own outline."""
        source = sourced(take)
        middle, box = take.outline.bounds.centre, source.box
        place = (
            Affine.translation(Vector(box.width / 2, box.height / 2))
            @ Affine.rotation(np.arctan(self.slope))
            @ Affine.scaling(1 / self.units_per_px, -1 / self.units_per_px)
            @ Affine.translation(Vector(-middle.x, -middle.y))
        )
        return kept_ink(
            crop_pixels(take.picture or b""),
            left=int(box.x0),
            top=int(box.y0),
            polygons=[contour.flattened(FLAT_PX) for contour in take.outline.transformed(place).contours],
            name=take.name,
        )


def seen_at(hand: Hand, take: Take) -> Seen:
    """Return how the row of a take lies on its page; raises HandError when too little was kept of it."""
    source = sourced(take)
    here = [one for one in every_take(hand) if _kept(one) and sourced(one).page == source.page]
    here.sort(key=lambda one: _away(sourced(one), source))
    row = [one for one in here if sourced(one).row == source.row]
    bare = Seen(slope=_slope(row, hand), optics=Optics(), units_per_px=source.units_per_px or 1.0)
    inks = (replace(bare, units_per_px=sourced(one).units_per_px or 1.0).ink(one) for one in here[:FEW])
    optics = measured([Sample(coverage=ink.coverage, noise=ink.noise) for ink in inks])
    seen = replace(bare, optics=optics)
    # The take's own ink traced again lies where its outline lies, and is as heavy.
    again = seen.outline(seen.ink(take))
    if not again.contours:
        raise HandError("no letter can be traced from its kept picture.", take.name, "Gather its page again.")
    off = take.outline.bounds.centre - again.bounds.centre
    was, now = stroke_widths(Edges.of([take.outline, again])).tolist()
    more = (was - now) / 2 if abs(was - now) > SAME_WEIGHT * was else 0.0
    return replace(seen, origin=Vector(off.x + (source.start or 0.0), off.y), more=more)


def sourced(take: Take) -> Source:
    """Return where a take was drawn; raises HandError when too little was kept to trace it again."""
    if not _kept(take):
        raise HandError("too little was kept of this take's paper.", take.name, "Gather its page again.")
    return cast("Source", take.source)


def every_take(hand: Hand) -> Iterator[Take]:
    """Yield all drawings of a hand, those that were set aside too."""
    for group in (*hand.takes.values(), *hand.aside.values()):
        yield from group


def _kept(take: Take) -> bool:
    return bool(take.picture and take.outline.contours and take.source and take.source.units_per_px)


def _away(one: Source, other: Source) -> tuple[int, int]:
    return abs(one.row - other.row), abs(one.place - other.place)


def _slope(row: Sequence[Take], hand: Hand) -> float:
    """Return how a row slopes: the middle of what every two letters far apart say (Theil and Sen)."""
    feet = [
        (box.centre.x, box.centre.y + take.outline.bounds.centre.y / scale, scale)
        for take in row
        for box, scale in [(sourced(take).box, sourced(take).units_per_px or 1.0)]
    ]
    slopes = [
        (b[1] - a[1]) / (b[0] - a[0])
        for a, b in combinations(feet, 2)
        if abs(b[0] - a[0]) * a[2] > APART * hand.metrics.x_height
    ]
    return float(np.median(slopes)) if slopes else 0.0
