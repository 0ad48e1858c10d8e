"""Accepted findings in the book file."""

import pytest

from lettering.book.accepted import Accepted
from lettering.errors import BookError
from lettering.storage.book_file import book_of

BOOK = """\
title: The Pond
language: en
reader_age: 5
hand: hand.ufo
page: {width: 250 mm, height: 250 mm}
spreads:
  - pages: 4-5
accept:
"""


def test_acceptances_are_read_with_their_place() -> None:
    """Code and reason are enough; pages and a line narrow it down."""
    rows = (
        "  - {code: size-wanted, reason: The editor chose it.}\n"
        "  - {code: tangent, pages: 4-5, line: 2, reason: It may touch.}\n"
    )
    read = book_of((BOOK + rows).encode(), "book.yaml").book.accepted

    assert read == (
        Accepted(code="size-wanted", reason="The editor chose it.", place="book.yaml:9:5"),
        Accepted(code="tangent", reason="It may touch.", pages=(4, 5), line=2, place="book.yaml:10:5"),
    )


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("  - {code: tangent}\n", "lacks 'reason'"),
        ("  - {code: tangent, line: 2, reason: so}\n", "give its pages too"),
        ("  - {code: tangent, pages: 4-9, reason: so}\n", "no facing pages"),
        ("  - {code: tangent, page: 4, reason: so}\n", "no field 'page'"),
        ("  tangent\n", "wants a list"),
    ],
)
def test_what_is_wrong_with_an_acceptance_is_said(row: str, why: str) -> None:
    """A reason that is missing, a line without its spread and other slips are told with their place."""
    with pytest.raises(BookError, match=rf"book\.yaml:9:.*{why}"):
        book_of((BOOK + row).encode(), "book.yaml")
