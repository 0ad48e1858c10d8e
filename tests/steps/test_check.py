"""The check of a book on disk: art, manuscript and acceptances beside the lettering."""

from pathlib import Path

import pytest
from PIL import Image

from lettering.cli.main import main
from lettering.steps.check import check_book
from lettering.steps.place import place_book
from tests.steps.books import BOOK, book_on_disk

WITH_ART = BOOK.replace("  - pages: 4-5\n", "  - pages: 4-5\n    art: art.png\n")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small book with art of 50 ppi and with its manuscript, placed."""
    folder = tmp_path_factory.mktemp("check")
    Image.new("RGB", (996, 504), (200, 210, 220)).save(folder / "art.png")
    path = book_on_disk(folder, WITH_ART)
    place_book(path)
    (folder / "text.txt").write_text(
        "Pages 4-5\n\nWren: Who left a cello in the compost?\n\nToad: Not me!\n\n"
        "Wren: It was somebody small.\n\nNobody anwsered.\n",
        "utf-8",
    )
    return path


def test_art_and_manuscript_are_checked_with_the_rest(book: Path) -> None:
    """Coarse art and a word that differs from the manuscript are among the findings."""
    found = check_book(book, manuscript=book.parent / "text.txt").findings
    codes = {one.code: one.where for one in found}

    assert codes["art-resolution"] == "pages 4-5"
    assert codes["manuscript-words"] == "pages 4-5, line 4"


def test_an_accepted_error_is_listed_and_forgiven(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Open it ends with status 1; accepted in the book file it stands with its reason, status 0."""
    command = ["check", str(book), "--manuscript", str(book.parent / "text.txt")]
    assert main(command) == 1
    accept = "accept:\n  - {code: manuscript-words, pages: 4-5, line: 4, reason: The editor misspelt it.}\n"
    book.write_text(WITH_ART + accept, "utf-8")
    capsys.readouterr()

    assert main(command) == 0
    out = capsys.readouterr().out
    assert "accepted in the book file:" in out
    assert "Accepted: The editor misspelt it." in " ".join(out.split())
