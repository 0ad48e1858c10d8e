"""Work that is no longer wanted is left soon, wherever it is, and leaves nothing behind."""

from itertools import count, pairwise
from pathlib import Path

import pytest

from lettering.errors import StoppedError, stoppable
from lettering.steps.on_table import laid
from lettering.steps.place import lay_out_book, place_book, read_matter
from lettering.storage.placements import placements_path
from tests.calls import calls_counted
from tests.random_books import book_text
from tests.steps.books import book_on_disk

MOST_CALLS = 100_000
"""Work between two places where it can be left, in calls: a tenth of a second, an instant (Nielsen 1993,
Usability Engineering, 5.5), where a call takes a microsecond (from memory)."""

HEAD = """\
title: Crowd
language: en
reader_age: 5
hand: hand.ufo
page: {width: 210 mm, height: 210 mm}
cast: {wren: {name: Wren}, toad: {name: Toad}}
spreads:
  - pages: 2-3
    figures:
      wren: {box: [60, 90, 60, 100], mouth: [90, 115]}
      toad: {box: [300, 90, 80, 100], mouth: [330, 120]}
    lines:
"""
LINE = "      - {who}: Who left a cello in the compost heap number {k}, and why was it there at all?\n"


@pytest.fixture(scope="module")
def crowded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a book of one spread with more words than it has room for."""
    lines = "".join(LINE.format(who=("wren", "toad")[k % 2], k=k) for k in range(5))
    return book_on_disk(tmp_path_factory.mktemp("crowded"), HEAD + lines)


def test_a_crowded_spread_can_be_left_at_any_time(crowded: Path) -> None:
    """From the first moment to the last it is asked again, within an instant's work, whether to go on."""
    laid(crowded)  # what is compiled or read once a process is so now
    with calls_counted() as counted:
        asked = [counted()]

        def wanted() -> bool:
            asked.append(counted())
            return False

        with stoppable(wanted):
            state = laid(crowded)
        asked.append(counted())
    gaps = [after - before for before, after in pairwise(asked)]

    assert state.spreads[0] is not None
    assert max(gaps) < MOST_CALLS
    assert asked[-1] > 2 * max(gaps)


@pytest.mark.parametrize("processes", [1, 2])
def test_placing_that_is_stopped_ends_here_and_elsewhere(tmp_path: Path, processes: int) -> None:
    """Stopped, placing ends although its spreads are laid out in other processes."""
    matter = read_matter(book_on_disk(tmp_path, book_text(4, spreads=4, lines=3)))
    with stoppable(lambda: True), pytest.raises(StoppedError):
        lay_out_book(matter, processes=processes)


def test_placing_that_is_stopped_midway_writes_nothing(crowded: Path) -> None:
    """Stopped amid a spread the book has the placements that it had: none."""
    asked = count()
    with stoppable(lambda: next(asked) == 9), pytest.raises(StoppedError):
        place_book(crowded)

    assert next(asked) == 10
    assert not placements_path(crowded).exists()
