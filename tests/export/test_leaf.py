"""Leaves of paper: sizes, words and drawings, by pdfinfo and pdftotext."""

import subprocess
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest

from lettering.export.leaf import Shown, leaves_pdf, width_mm, wrapped
from lettering.export.proof import Proof, ProofSpread, Remark, Spoken, proof
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from tests.export.drawings import spread

LINE = Spoken(number=1, who="Wren", words="Who left a cello in the pond?", at=Point(42, 25))
REMARK = Remark(number=1, text="Error (line 1): the bubble covers 3.0 mm² of toad.", at=Point(72, 25))
SPREAD = ProofSpread(
    label="pages 4-5",
    drawing=spread(),
    small=spread(),
    figures=(("Wren", Rect(20, 80, 70, 150)),),
    safe=Rect(8, 8, 232, 152),
    gutter=Rect(110, 0, 130, 160),
    fold_x=120,
    lines=(LINE,),
    remarks=(REMARK,),
)
BOOK = Proof(title="The Pond", facts=(("Reader's age", "5"),), remarks=(), spreads=(SPREAD,))


def pages_of(book: Proof, paper: str, folder: Path) -> list[str]:
    """Return the words of each page of a proof, by pdftotext."""
    path = folder / "proof.pdf"
    path.write_bytes(leaves_pdf(proof(book, paper), book.title))
    text = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    return text.split("\f")[:-1]


def test_a_proof_has_cover_all_spreads_each_spread_and_text(tmp_path: Path) -> None:
    """The leaves come in that order; lines and findings are listed under their spread."""
    cover, glance, one, text = pages_of(BOOK, "A4", tmp_path)

    assert "The Pond" in cover
    assert {"All", "pages", "4-5"} <= set(glance.split())
    assert "Wren: Who left a cello in the pond?" in one
    assert "the bubble covers 3.0 mm² of toad." in one
    assert "Wren: Who left a cello in the pond?" in text
    assert "4 of 4" in text


@pytest.mark.parametrize(
    ("paper", "size"), [("A4", (841.89, 595.28)), ("Letter", (792.0, 612.0)), ("size", (799.4, 737.0))]
)
def test_leaves_have_the_size_of_their_paper(paper: str, size: tuple[float, float], tmp_path: Path) -> None:
    """A4 is 297 x 210 mm, Letter 11 x 8.5 in (ISO 216, ANSI Y14.1); at size the margins are added."""
    pages_of(BOOK, paper, tmp_path)
    told = subprocess.run(
        ["pdfinfo", "-f", "3", "-l", "3", tmp_path / "proof.pdf"], capture_output=True, text=True, check=True
    ).stdout
    row = next(row for row in told.splitlines() if "size:" in row and "3" in row.split("size")[0])
    width, height = (float(word) for word in row.split("size:")[1].split() if word[0].isdigit())

    assert (width, height) == pytest.approx(size, abs=1.0)


@pytest.mark.parametrize("count", [1, 2, 3, 5, 17, 24])
@pytest.mark.parametrize("size", [(60.0, 240.0), (240.0, 160.0), (500.0, 120.0)])
def test_all_spreads_keep_within_their_leaf(count: int, size: tuple[float, float]) -> None:
    """Thumbnails of any book stand inside the margins, above the foot, one beside another."""
    drawing = replace(spread(), trim=Rect(0, 0, *size), layers=())
    book = replace(BOOK, spreads=(replace(SPREAD, drawing=drawing, small=drawing),) * count)
    leaves = proof(book)[1 : -count - 1]
    boxes = [
        Rect.sized(
            s.at.x + s.drawing.media.x0 * s.scale,
            s.at.y + s.drawing.media.y0 * s.scale,
            s.drawing.media.width * s.scale,
            s.drawing.media.height * s.scale,
        )
        for leaf in leaves
        for s in leaf.items
        if isinstance(s, Shown)
    ]

    assert len(boxes) == count
    assert all(box.x0 > 17.9 and box.x1 < 279.1 and box.y1 < 210 - 14 for box in boxes)
    assert len(leaves) > 1 or not any(a.overlaps(b) for a, b in combinations(boxes, 2))


def test_figures_are_named_on_the_leaf_of_a_spread(tmp_path: Path) -> None:
    """Where there is no art to see them in, the proof shows where the characters are."""
    _, _, one, _ = pages_of(replace(BOOK, spreads=(replace(SPREAD, lines=(), remarks=()),)), "A4", tmp_path)

    assert "Wren" in one


def test_long_lists_go_on_on_another_leaf(tmp_path: Path) -> None:
    """Every one of eighty lines is printed once under its spread, on as many leaves as it takes."""
    lines = tuple(replace(LINE, number=n, words=f"word{n:03d}") for n in range(1, 81))
    pages = pages_of(replace(BOOK, spreads=(replace(SPREAD, lines=lines),)), "A4", tmp_path)
    spreads = "".join(page for page in pages if page.lstrip().startswith("Pages 4-5"))

    assert "Pages 4-5, continued" in spreads
    assert all(spreads.count(f"word{n:03d}") == 1 for n in range(1, 81))


def test_rows_keep_within_their_width() -> None:
    """Wrapped rows are no wider than asked, and together say what was said."""
    text = "So they fetched the biggest blanket that anybody had ever seen in all the allotments."
    rows = list(wrapped(text, 3.0, 40.0))

    assert " ".join(rows) == text
    assert all(width_mm(row, 3.0) <= 40.0 for row in rows)
    assert len(rows) > 2


def test_the_same_proof_gives_the_same_bytes() -> None:
    """No clock is in the file."""
    assert leaves_pdf(proof(BOOK), "x") == leaves_pdf(proof(BOOK), "x")
