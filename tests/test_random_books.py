"""Random books are books: the reader of book files takes them as they are."""

from pathlib import Path

import pytest

from lettering.storage.book_file import read_book
from tests.random_books import book_text


@pytest.mark.parametrize("seed", range(5))
def test_a_random_book_is_read_without_a_complaint(seed: int, tmp_path: Path) -> None:
    """Every spread, figure and line of the text arrives, and equal seeds give equal books."""
    file = tmp_path / "book.yaml"
    file.write_text(book_text(seed, spreads=2, lines=3 + seed % 3), encoding="utf-8")
    book = read_book(file).book

    assert [len(spread.lines) for spread in book.spreads] == [3 + seed % 3] * 2
    assert all(spread.figures_of(line.who[0]) for spread in book.spreads for line in spread.lines)
    assert book_text(seed) == book_text(seed)
