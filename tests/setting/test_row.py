"""One row, centred as the eye sees it."""

import pytest

from lettering.setting.letters import SetPiece, set_pieces
from lettering.setting.opportunities import pieces
from lettering.setting.row import LIGHT_SHARE, set_row
from tests.typeface_hand import typeface_hand


def pieces_of(text: str) -> tuple[SetPiece, ...]:
    """Return the pieces of a text in a hand, a hundredth of a millimetre a font unit."""
    hand = typeface_hand("delius")
    return set_pieces(pieces(text), [False] * len(text), hand, voice="plain", mm_per_unit=0.01)


def test_ink_is_centred() -> None:
    """A row without marks at its ends has as much ink to the left of nought as to the right."""
    ink = set_row(pieces_of("toads and hens"), 3.0).ink

    assert ink.x0 == pytest.approx(-ink.x1)


@pytest.mark.parametrize(("text", "side"), [("“toads", -1), ("toads!”", 1), ("toads…", 1)])
def test_light_marks_hang(text: str, side: int) -> None:
    """A light mark at one end leans out on its side, and the row with it."""
    ink = set_row(pieces_of(text), 3.0).ink

    assert side * (ink.x0 + ink.x1) > 0


def test_how_far_a_mark_hangs() -> None:
    """The letter beside a hanging mark is as far from the middle as the mark's share leaves it."""
    row = set_row(pieces_of("toads."), 3.0)
    mark = row.letters[-1][0].ink.x1 + row.letters[-1][1]
    letter = row.letters[-2][0].ink.x1 + row.letters[-2][1]

    assert letter + LIGHT_SHARE * (mark - letter) == pytest.approx(-row.ink.x0)


def test_a_row_of_marks_alone() -> None:
    """A row of nothing but light marks is centred by all its ink."""
    ink = set_row(pieces_of("…"), 3.0).ink

    assert ink.x0 == pytest.approx(-ink.x1)


def test_words_are_parted_by_the_hands_space() -> None:
    """A word begins where the word before it ends, and a word space on; after a dash there is none."""
    one, two = (set_row(pieces_of(text), 3.0) for text in ("toads hens", "toads—hens"))
    starts = [[x for _, x in row.letters] for row in (one, two)]

    assert starts[0][5] - starts[0][4] == pytest.approx(pieces_of("toads hens")[0].advance_mm + 3)
    assert starts[1][6] - starts[1][5] == pytest.approx(pieces_of("toads—hens")[0].advance_mm)


def test_text_of_a_row() -> None:
    """A row says its words as they stand in the line, spaces and all."""
    assert set_row(pieces_of("Well—I am 3\u00a0km off"), 3.0).text == "Well—I am 3\u00a0km off"
