"""What can go wrong, in words."""

import pytest

from lettering.errors import LetteringError, Where, counted, did_you_mean


@pytest.mark.parametrize(
    ("message", "whole"),
    [
        ("no hand is there", "book.yaml:3:7: no hand is there. Gather one first."),
        ("no hand is there.", "book.yaml:3:7: no hand is there. Gather one first."),
        ("is it there?", "book.yaml:3:7: is it there? Gather one first."),
    ],
)
def test_an_error_is_told_in_whole_sentences_with_its_place_and_the_next_move(
    message: str, whole: str
) -> None:
    """A full stop parts what is wrong from what to do, whoever wrote the message."""
    assert str(LetteringError(message, Where("book.yaml", 3, 7), "Gather one first.")) == whole


def test_the_nearest_name_is_suggested_or_all_are_listed() -> None:
    """A slip of the pen is guessed; a stranger is shown who there is."""
    assert did_you_mean("tood", ["wren", "toad"]) == "Did you mean 'toad'?"
    assert did_you_mean("xylophone", ["wren", "toad"]) == "Allowed: toad, wren."
    assert did_you_mean("toad", []) is None


@pytest.mark.parametrize(("number", "told"), [(0, "0 pages"), (1, "1 page"), (2, "2 pages")])
def test_a_number_stands_with_its_noun(number: int, told: str) -> None:
    """One page is no pages."""
    assert counted(number, "page") == told
