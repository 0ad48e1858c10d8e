"""What a line keeps of how it stood before."""

import pytest

from lettering.book.line import Line
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine
from lettering.steps.former import as_before


@pytest.mark.parametrize(
    ("says", "rows", "forced"),
    [
        ("One two three.", ("One two", "three."), "One two\nthree."),
        ("One *two*  three.", ("One", "two three."), "One\n*two* three."),
        ("O\u00f9\u202f? L\u00e0\u00a0bas, oui.", ("O\u00f9\u202f?", "L\u00e0\u00a0bas, oui."), None),
    ],
)
def test_rows_are_forced_as_they_were(says: str, rows: tuple[str, ...], forced: str | None) -> None:
    """Emphasis, and spaces that keep words together, come through as they are written."""
    was = FormerLine(
        who=("wren",), says=says, rows=rows, position=Point(0, 0), tips=(), x_height_mm=4.0, held=False
    )

    assert as_before(Line(who=("wren",), says=says), was).says == (forced or "\n".join(rows))
