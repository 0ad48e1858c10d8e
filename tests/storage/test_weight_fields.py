"""The weights of placing in a book file."""

import re
from pathlib import Path

import pytest

from lettering.errors import BookError
from lettering.placing.weights import HOUSE, NAMES, weighted
from lettering.storage.book_file import book_of
from tests.steps.books import BOOK

GUIDE = Path(__file__).parents[2] / "docs" / "book-file.md"


def given(placing: str) -> tuple[tuple[str, float], ...]:
    """Return the weights that a book with this `placing` gives."""
    return book_of(f"placing: {placing}\n{BOOK}".encode(), "b.yaml").book.placing


def test_weights_are_read_by_name() -> None:
    """The prices that a book names are its own, all others those of the house."""
    assert given("{busy: 12, leave: 0, step: .5}") == (("busy", 12.0), ("leave", 0.0), ("step", 0.5))

    own = weighted(given("{busy: 12}"))
    assert own.busy == 12.0
    assert all(getattr(own, name) == getattr(HOUSE, name) for name in NAMES if name != "busy")


def test_a_book_without_weights_has_the_house_s() -> None:
    """Nothing given is the house's prices."""
    assert weighted(book_of(BOOK.encode(), "b.yaml").book.placing) == HOUSE


@pytest.mark.parametrize(
    ("placing", "expected"),
    [
        ("{bussy: 12}", "b.yaml:1:11: placing has no field 'bussy'. Did you mean 'busy'?"),
        ("{busy: -1}", "b.yaml:1:17: 'busy' of placing wants a number from 0 to 1000, not '-1'."),
        ("{busy: 1001}", "b.yaml:1:17: 'busy' of placing wants a number from 0 to 1000, not '1001'."),
        ("{busy: nan}", "b.yaml:1:17: 'busy' of placing wants a number from 0 to 1000, not 'nan'."),
        ("{busy: 1e3}", "b.yaml:1:17: 'busy' of placing wants a number from 0 to 1000, not '1e3'."),
        ("[busy]", "b.yaml:1:10: placing wants fields, not a list."),
    ],
)
def test_a_wrong_weight_is_named_with_its_place(placing: str, expected: str) -> None:
    """An unknown name gets the nearest one, a price out of bounds its bounds."""
    with pytest.raises(BookError) as caught:
        given(placing)

    assert str(caught.value.problems[0]).startswith(expected)


def test_the_guide_lists_every_weight_with_the_house_s_price() -> None:
    """The table of prices in the guide is that of the program."""
    rows = re.findall(r"^\| `(\w+)` \| ([0-9.]+) \|", GUIDE.read_text("utf-8"), re.MULTILINE)

    assert [(name, float(price)) for name, price in rows] == [(n, getattr(HOUSE, n)) for n in NAMES]
