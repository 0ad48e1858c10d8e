"""Each take beside the crop it came from, so that she can see what was understood."""

from collections.abc import Sequence

from lettering.drawing import Drawing, Group, Layer, Painted, Picture
from lettering.geometry.outline import on_page
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.hand.specimen import INK, MARGIN, WIDTH
from lettering.hand.take import Take

X_HEIGHT_MM = 5.0
COLUMNS = 6
GAP_MM = 4.0
"""Between cells."""


def contact_sheet(hand: Hand) -> Drawing:
    """Return one long page: for each take its source crop on the left and its outline on the right, to scale.

    A take without a crop shows its outline alone.
    """
    takes = [take for group in hand.takes.values() for take in group]
    cell = (WIDTH - 2 * MARGIN + GAP_MM) / COLUMNS
    metrics, unit = hand.metrics, X_HEIGHT_MM / hand.metrics.x_height
    pitch = (metrics.ascender - metrics.descender) * unit + GAP_MM
    groups = []
    for index, take in enumerate(takes):
        across, down = index % COLUMNS, index // COLUMNS
        baseline = MARGIN + down * pitch + metrics.ascender * unit
        items = _pair(take, Point(MARGIN + across * cell, baseline), (cell - GAP_MM) / 2, unit)
        groups.append(Group(id=f"take-{index + 1}", title=take.name, items=tuple(items)))
    rows = -(-len(takes) // COLUMNS)
    return Drawing(
        title=f"The takes of the hand {hand.name}",
        description="Every take beside the piece of the lettered page that it was drawn from.",
        language="en",
        trim=Rect(0, 0, WIDTH, 2 * MARGIN + rows * pitch),
        bleed_mm=0.0,
        layers=(Layer(id="takes", title="Takes", groups=tuple(groups)),),
    )


def _pair(take: Take, at: Point, half: float, unit: float) -> Sequence[Painted | Picture]:
    """Return the crop in the left half of a cell and the outline in the right half, on one baseline."""
    if not take.outline.contours:
        return ()
    box, source = take.outline.bounds, take.source
    outline = on_page(
        take.outline, origin=Point(at.x + 1.5 * half - box.centre.x * unit, at.y), mm_per_unit=unit
    )
    shape = Painted(path=outline, fill=INK, char=take.char)
    if source is None or take.picture is None or not source.box.width:
        return (shape,)
    scale = (source.units_per_px or box.width / source.box.width) * unit
    width, height = source.box.width * scale, source.box.height * scale
    crop = Rect.sized(at.x + (half - width) / 2, at.y - box.centre.y * unit - height / 2, width, height)
    return Picture(rect=crop, png=take.picture), shape
