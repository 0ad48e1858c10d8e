"""Spreads laid out in several processes."""

from pathlib import Path

import pytest

from lettering.steps.layout import layout
from lettering.steps.place import lay_out_book, read_matter, to_keep
from lettering.steps.spreads import EACH, processes_for
from lettering.storage.placements import placements_text
from tests.random_books import book_text
from tests.steps.books import book_on_disk


def test_the_count_of_processes_changes_no_byte(tmp_path: Path) -> None:
    """One process and two, each with hash seeds of its own, give the same placements and the same layout."""
    matter = read_matter(book_on_disk(tmp_path, book_text(4, spreads=4, lines=3)))
    alone, shared = (lay_out_book(matter, processes=count) for count in (1, 2))

    assert placements_text(to_keep(alone.spreads)) == placements_text(to_keep(shared.spreads))
    assert layout(alone) == layout(shared)


@pytest.mark.parametrize("spreads", [0, 1, EACH])
def test_a_short_book_is_worth_one_process(spreads: int) -> None:
    """Few spreads are laid out where they are asked for."""
    assert processes_for(spreads) == 1
