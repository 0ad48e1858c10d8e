"""The proof of a book on disk: leaves as a PDF or as pages, with everything an art director asks for."""

import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.errors import LetteringError
from lettering.steps.place import place_book
from lettering.steps.proof import write_proof
from tests.steps.books import BOOK, book_on_disk


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small book, placed over art that is too coarse for print, which is a finding."""
    text = BOOK.replace("    figures:", "    art: art.png\n    figures:")
    path = book_on_disk(tmp_path_factory.mktemp("proof"), text)
    Image.new("RGB", (506, 256), "ivory").save(path.with_name("art.png"))
    place_book(path)
    return path


def text_of(pdf: Path) -> list[str]:
    """Return the words of each page, by pdftotext."""
    told = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True)
    return told.stdout.split("\f")[:-1]


def test_every_line_is_on_its_spread_and_in_the_text(book: Path, tmp_path: Path) -> None:
    """Speakers and words stand under the spread and in the reading copy, in speaking order."""
    (written,), _ = write_proof(book, tmp_path / "proof.pdf")
    cover, _glance, spread, reading = text_of(written)
    said = ["Who left a cello in the compost?", "Not me!", "Nobody answered."]

    for page in (spread, reading):
        places = [page.find(words) for words in said]
        assert -1 not in places
        assert places == sorted(places)
    assert "Reader's age" in cover


def test_findings_are_numbered_on_the_spread_and_counted_on_the_cover(book: Path, tmp_path: Path) -> None:
    """Each finding that the check tells is listed once on the leaves, and the cover has their number."""
    (written,), findings = write_proof(book, tmp_path / "proof.pdf")
    pages = text_of(written)

    assert "art-resolution" in {one.code for one in findings}
    assert f"{sum(one.severity == 'warning' for one in findings)} warning" in pages[0]
    for one in findings:
        words = " ".join(one.message.split()[:5])
        assert sum(" ".join(page.split()).count(words) for page in pages) == 1


def test_pages_can_be_had_as_pictures(book: Path, tmp_path: Path) -> None:
    """One PNG a leaf, numbered, of A4's size at 150 ppi (ISO 216), and none of them blank."""
    written, _ = write_proof(book, tmp_path / "proof.png")

    assert [path.name for path in written] == [f"proof-{n:02d}.png" for n in range(1, 5)]
    for path in written:
        with Image.open(path) as page:
            assert page.size == (1754, 1240)
            assert np.asarray(page.convert("L")).min() < 80


@pytest.mark.parametrize(
    ("out", "paper", "said"), [("p.pdf", "A5", "no paper named 'A5'"), ("p.txt", "A4", "ends neither")]
)
def test_what_cannot_be_made_is_said(book: Path, tmp_path: Path, out: str, paper: str, said: str) -> None:
    """An unknown paper and an unknown kind of file are refused in words, and nothing is written."""
    with pytest.raises(LetteringError, match=said):
        write_proof(book, tmp_path / out, paper=paper)
    assert list(tmp_path.iterdir()) == []
