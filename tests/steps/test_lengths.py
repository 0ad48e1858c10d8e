"""Lengths and sizes as people type them."""

import pytest

from lettering.errors import LetteringError
from lettering.steps.lengths import length_mm, size_mm


@pytest.mark.parametrize(
    ("text", "size"),
    [("250x250mm", (250, 250)), ("10 x 8 in", (254, 203.2)), ("21×29.7cm", (210, 297)), ("90x60", (90, 60))],
)
def test_sizes_are_read_in_any_unit(text: str, size: tuple[float, float]) -> None:
    """A size is two lengths with one unit; an inch is 25.4 mm by definition."""
    assert size_mm(text, "--page") == pytest.approx(size)


@pytest.mark.parametrize("text", ["", "250", "0x10mm", "axb", "10x10 miles", "1..2x3", "9000x10mm"])
def test_what_is_no_size_is_refused_by_option(text: str) -> None:
    """The error names the option that was given."""
    with pytest.raises(LetteringError, match="--page"):
        size_mm(text, "--page")


def test_a_length_is_more_than_nothing() -> None:
    """Nothing and less are no size of lettering."""
    with pytest.raises(LetteringError, match="--x-height"):
        length_mm("0 mm", "--x-height")
