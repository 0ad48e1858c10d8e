"""The reading PDF: its words come out in reading order, by two readers, and are not seen."""

import subprocess
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from lettering.export.reading_pdf import ReadPage, ReadRow, reading_pdf
from lettering.geometry.rect import Rect
from tests.export.drawings import spread

LINES = (
    (
        ReadRow(text="It’s round.", ink=Rect(170, 30, 200, 36)),
        ReadRow(text="Is it cake?", ink=Rect(170, 40, 200, 46)),
    ),
    (ReadRow(text="Ça va, Žofie!", ink=Rect(20, 30, 60, 36)),),
)
"""The line that is read first stands on the right, so that order does not come by itself."""


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with two lines."""
    path = tmp_path_factory.mktemp("reading") / "book.pdf"
    page = ReadPage(drawing=spread(), jpeg=None, jpeg_size=(0, 0), lines=LINES, label="pages 4-5")
    path.write_bytes(reading_pdf([page], title="A book", language="en-GB"))
    return path


def test_poppler_reads_the_words_in_reading_order(file: Path) -> None:
    """Pdftotext, in content order, has every row, accents and curled quotes with them."""
    text = subprocess.run(["pdftotext", "-raw", file, "-"], capture_output=True, text=True, check=True).stdout

    assert text.split() == ["It’s", "round.", "Is", "it", "cake?", "Ça", "va,", "Žofie!"]


def test_pdfium_reads_the_same(file: Path) -> None:
    """A second reader agrees."""
    document = pypdfium2.PdfDocument(file)
    page = document[0]
    words = page.get_textpage()
    text = words.get_text_range().split()
    words.close()
    page.close()
    document.close()

    assert text == ["It’s", "round.", "Is", "it", "cake?", "Ça", "va,", "Žofie!"]


def test_words_lie_over_their_ink(file: Path) -> None:
    """The first word begins where its row's ink begins, by pdftotext's boxes, within 0.5 mm."""
    told = subprocess.run(
        ["pdftotext", "-bbox", file, "-"], capture_output=True, text=True, check=True
    ).stdout
    row = next(row for row in told.splitlines() if "round" in row)
    right = float(row.split('xMax="')[1].split('"')[0]) / 72 * 25.4 - 3

    assert right == pytest.approx(200, abs=0.5)


def test_the_file_is_tagged_and_says_its_language(file: Path) -> None:
    """Pdfinfo finds it tagged, with a paragraph for each line; qpdf finds nothing wrong."""
    told = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
    tree = subprocess.run(
        ["pdfinfo", "-struct-text", file], capture_output=True, text=True, check=True
    ).stdout

    assert "Tagged:          yes" in told
    assert tree.count("P (block)") + tree.count("P\n") >= len(LINES)
    assert b"/Lang (en-GB)" in file.read_bytes()
    assert subprocess.run(["qpdf", "--check", file], capture_output=True, check=False).returncode == 0


def test_the_words_are_not_seen(file: Path, tmp_path: Path) -> None:
    """Where the words stand the page is white paper."""
    subprocess.run(["pdftoppm", "-gray", "-r", "72", file, tmp_path / "page"], check=True)
    (path,) = tmp_path.glob("page*.pgm")

    seen = np.asarray(Image.open(path))
    x0, x1, y0, y1 = (round((v + 3) / 25.4 * 72) for v in (168, 202, 28, 48))

    assert seen[y0:y1, x0:x1].min() == 255
    assert seen.min() == 0
