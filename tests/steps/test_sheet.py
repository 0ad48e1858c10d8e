"""A sheet asked for, printed, lettered, photographed and gathered, against PDFium and a known camera."""

import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from lettering.capture.page import PageImage
from lettering.capture.paper.projective import projective
from lettering.capture.paper.registration import find_sheet
from lettering.capture.paper.sheet_marks import Marks, code_dots
from lettering.capture.read import read_page
from lettering.errors import LetteringError, ReadingError
from lettering.export.sheet_pdf import sheet_pdf
from lettering.hand.sheet import Sheet
from lettering.steps.sheet import demanded_sheet, make_sheet, read_sheet, sheet_of
from tests.lettered_sheet import SheetPhoto, lettered, photographed, printed
from tests.simulated_photo import Phone
from tests.steps.books import BOOK, book_on_disk

A5 = (148.0, 210.0)
ROWS = ("Who left a cello", "in the compost?", "Quick, a jam fox!")


def sheet() -> Sheet:
    """Return a small sheet of three rows."""
    return sheet_of(ROWS, A5, 6.0, "A sheet")


@cache
def photo() -> SheetPhoto:
    """Return it lettered in Patrick Hand, lying turned on a desk under a tilted camera, in half a shadow."""
    phone = Phone(width_px=1500, height_px=1900, fill=0.84)
    return photographed(lettered(sheet_pdf(sheet()), sheet(), "patrick-hand"), phone)


def test_a_sheet_is_read_from_its_picture_alone() -> None:
    """Every letter is found and rightly named with no reading and no size given, and its size is told."""
    understood = read_sheet(photo().page)
    assert understood is not None
    read = read_page(understood.page, understood.reading)

    assert read.set_aside == ()
    assert {(letter.row, letter.place): letter.char for letter in read.letters} == {
        (row, place): char for row, text in enumerate(ROWS) for place, char in enumerate(text) if char != " "
    }
    assert read.px_per_mm is not None
    assert read.x_height_px / read.px_per_mm == pytest.approx(6.0, rel=0.03)


def test_the_marks_tell_how_the_camera_saw_the_paper() -> None:
    """Anywhere on the sheet the map is within 1.5 px of the camera's own (closed form)."""
    found = find_sheet(photo().page)
    assert found is not None
    x, y = np.meshgrid(np.linspace(0, A5[0], 6), np.linspace(0, A5[1], 6))
    paper = np.stack([x.ravel(), y.ravel(), np.ones(x.size)])
    seen, true = (matrix @ paper for matrix in (found.to_picture, photo().to_picture))

    assert found.asked.reading.rows == ROWS
    assert np.hypot(*(seen[:2] / seen[2] - true[:2] / true[2])).max() < 1.5


def test_four_points_give_their_map_exactly() -> None:
    """The projective map of four points onto four others takes each to each (direct linear transform)."""
    before = np.array([(0.0, 0.0), (210.0, 0.0), (210.0, 297.0), (0.0, 297.0)])
    after = np.array([(100.0, 80.0), (1900.0, 150.0), (2100.0, 2700.0), (30.0, 2500.0)])
    images = np.column_stack([before, np.ones(4)]) @ projective(before, after).T

    assert images[:, :2] / images[:, 2:] == pytest.approx(after)


def test_a_picture_without_a_sheet_is_none() -> None:
    """A blank picture has no sheet in it, and neither has one with another maker's code."""
    blank = np.full((400, 400), 240, dtype=np.uint8)
    other = blank.copy()
    dots = np.kron(~code_dots("a shopping list"), np.ones((8, 8), dtype=np.uint8)) * 240
    other[40 : 40 + len(dots), 40 : 40 + len(dots)] = dots

    assert read_sheet(PageImage(name="blank.png", pixels=blank, ppi=None)) is None
    with pytest.raises(ReadingError, match="--reading"):
        demanded_sheet(PageImage(name="blank.png", pixels=blank, ppi=None))
    assert read_sheet(PageImage(name="other.png", pixels=other, ppi=None)) is None


def test_a_sheet_whose_discs_are_hidden_is_refused() -> None:
    """With three of its six discs cut off, the sheet is named in the error."""
    pixels = printed(sheet_pdf(sheet()), ppi=200).copy()
    pixels[:, -round(18 * 200 / 25.4) :] = 255

    with pytest.raises(ReadingError, match="round marks"):
        find_sheet(PageImage(name="cut.png", pixels=pixels, ppi=None))


@pytest.mark.parametrize(("paper", "points"), [("A4", (595.28, 841.89)), ("Letter", (612, 792))])
def test_a_sheet_asks_for_what_a_book_lacks(tmp_path: Path, paper: str, points: tuple[float, float]) -> None:
    """PDFium opens the PDF at its paper's size and finds the book's own words with what the hand lacks."""
    book = book_on_disk(tmp_path, BOOK.replace("somebody small.", "somebody ğrand."))
    rows = make_sheet(tmp_path / "sheet.pdf", book=book, paper=paper)
    page = pypdfium2.PdfDocument(tmp_path / "sheet.pdf")[0]
    text = page.get_textpage().get_text_range()

    assert page.get_size() == pytest.approx(points, abs=0.1)
    assert any("ğrand" in row for row in rows)
    assert all(row in text for row in rows)


def test_a_printer_finds_all_it_needs_in_the_file(tmp_path: Path) -> None:
    """Qpdf finds nothing wrong, and pdffonts finds every typeface embedded; a cut twin fails."""
    path = tmp_path / "sheet.pdf"
    path.write_bytes(sheet_pdf(sheet()))
    fonts = subprocess.run(["pdffonts", path], capture_output=True, text=True, check=True).stdout
    rows = [row.split() for row in fonts.splitlines()[2:]]

    assert rows
    assert all(row[-5] == "yes" for row in rows)
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0
    path.write_bytes(path.read_bytes()[:-500])
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode != 0


def test_guides_are_pale_in_blue_light() -> None:
    """Away from the marks, no pixel of the printed sheet is dark in blue, yet guides are seen in red."""
    pixels = printed(sheet_pdf(sheet()), ppi=150)
    marks, scale = Marks.of(A5), 150 / 25.4
    body = pixels[round(marks.head.y1 * scale) + 9 : round(marks.foot.y0 * scale) - 9, 150:-150]

    assert body[:, :, 2].min() > 245
    assert body[:, :, 0].min() < 215


def test_a_sheet_of_an_impossible_size_is_refused(tmp_path: Path) -> None:
    """Letters of 40 mm are refused with the limits."""
    with pytest.raises(LetteringError, match="15 mm"):
        make_sheet(tmp_path / "sheet.pdf", x_height_mm=40.0)
