"""The specimen page and the contact sheet."""

import pytest

from lettering.drawing import Drawing, Painted, Picture
from lettering.hand.contact_sheet import contact_sheet
from lettering.hand.specimen import MARGIN, specimen
from tests.hand.drawn_rows import UNITS_PER_PX, drawn_rows, gathered
from tests.typeface_hand import typeface_hand


def painted(drawing: Drawing) -> list[Painted]:
    """Return all paths."""
    items = [item for layer in drawing.layers for group in layer.groups for item in group.items]
    return [item for item in items if isinstance(item, Painted)]


def test_the_specimen_shows_every_character_inside_its_margins() -> None:
    """Each character of the hand is on the page, and nothing leaves the margins."""
    hand = typeface_hand("patrick-hand")
    page = specimen(hand, (5.0, 3.5, 2.0))
    inner = page.trim.inset(MARGIN - 4)

    assert {item.char for item in painted(page)} >= set(hand.takes)
    assert all(inner.contains(item.path.bounds) for item in painted(page))


def test_the_waterfall_is_lettered_at_its_sizes() -> None:
    """The x of the 5 mm row is 5 mm high (the size is the x-height)."""
    page = specimen(typeface_hand("andika"), (5.0,))
    group = next(group for layer in page.layers for group in layer.groups if group.id == "size-1")
    tallest = max(
        item.path.bounds.height for item in group.items if isinstance(item, Painted) and item.char == "u"
    )

    assert tallest == pytest.approx(5.0, rel=0.05)


def test_each_take_stands_beside_its_crop_at_one_scale() -> None:
    """There is a picture for every take, as much larger than the ink as the crop is (2 px all round)."""
    sheet = contact_sheet(gathered("patrick-hand").hand)
    groups = sheet.layers[0].groups
    units_per_mm = gathered("patrick-hand").hand.metrics.x_height / 5.0

    assert len(groups) == len(drawn_rows("patrick-hand"))
    for group in groups:
        crop, shape = group.items
        assert isinstance(crop, Picture)
        assert isinstance(shape, Painted)
        margin = (crop.rect.height - shape.path.bounds.height) * units_per_mm
        assert margin == pytest.approx(
            4 * UNITS_PER_PX, abs=0.05 * shape.path.bounds.height * units_per_mm + 1
        )
        assert crop.rect.x1 <= shape.path.bounds.x0 + 3
