"""An OCR engine reads the exported rows as well as the same words in a typeface for beginning readers.

Reference: tesseract (system package) and Andika (SIL OFL, tests/typefaces), set by HarfBuzz.
"""

import subprocess
from difflib import SequenceMatcher
from pathlib import Path

import numpy as np
import pytest
import uharfbuzz as hb
from PIL import Image, ImageDraw, ImageFont

import lettering
from lettering.drawing import Drawing, Group, Layer, Painted
from lettering.export.png import png
from lettering.geometry.rect import Rect
from lettering.setting.reading_age import band_for
from lettering.setting.stacks import stacks
from lettering.storage.book_file import read_book
from lettering.storage.ufo import read_hand
from tests.simulated_page import typeface

ROOT = Path(lettering.__file__).parents[1]
PPI = 200
X_HEIGHT_MM = 4.2


def read_by_ocr(path: Path) -> str:
    """Return what tesseract reads in one picture of a few rows."""
    run = subprocess.run(
        ["tesseract", str(path), "-", "--psm", "6", "--dpi", str(PPI)],
        capture_output=True, text=True, check=True, env={"OMP_THREAD_LIMIT": "1", "PATH": "/usr/bin:/bin"},
    )  # fmt: skip
    return run.stdout


def misread(read: str, truth: str) -> float:
    """Return the share of characters misread, blanks and the shape of quotes aside."""
    plain = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "…": "...", "–": "-", "—": "-"})
    a, b = ("".join(text.translate(plain).split()) for text in (read, truth))
    matched = sum(block.size for block in SequenceMatcher(None, a, b, autojunk=False).get_matching_blocks())
    return 1 - matched / max(len(a), len(b))


def set_in_hand(rows: list[tuple[str, ...]], folder: Path) -> Path:
    """Draw the lines of the demo book as our setting sets them, one under the other."""
    book = read_book(ROOT / "demo" / "book.yaml").book
    hand = read_hand(ROOT / "glyph_sets" / "demo.ufo")
    items: list[Painted] = []
    y = 12.0
    for spread in book.spreads:
        for line in spread.lines:
            stack = stacks(
                line, hand, x_height_mm=X_HEIGHT_MM, language="en", band=band_for(book.reader_age)
            )[0]
            step = np.array([70.0 - stack.ink.centre.x, y - stack.ink.y0])
            moved = stack.moved(_vector(*step))
            items += [Painted(path=glyph.path, char=glyph.char) for glyph in moved.glyphs]
            rows.append(tuple(row.text for row in stack.rows))
            y += stack.ink.height + 8.0
    drawing = Drawing(
        title="rows", description="Rows of the demo book.", language="en",
        trim=Rect(0, 0, 140, y + 4), bleed_mm=0.0,
        layers=(Layer(id="lettering", title="Lettering",
                      groups=(Group(id="rows-1", title="rows", items=tuple(items)),)),),
    )  # fmt: skip
    return on_white(png(drawing, PPI), folder / "hand.png")


def _vector(x: float, y: float) -> "lettering.geometry.point.Vector":  # type: ignore[name-defined]
    from lettering.geometry.point import Vector  # noqa: PLC0415

    return Vector(float(x), float(y))


def on_white(data: bytes, path: Path) -> Path:
    """Write a PNG with a clear ground on white paper."""
    path.write_bytes(data)
    with Image.open(path) as image:
        paper = Image.new("RGBA", image.size, "white")
        paper.alpha_composite(image.convert("RGBA"))
    paper.convert("L").save(path, dpi=(PPI, PPI))
    return path


def set_in_andika(rows: list[tuple[str, ...]], folder: Path) -> Path:
    """Draw the same rows in Andika at the same x-height, advances by HarfBuzz."""
    file = typeface("andika")
    face = hb.Face(hb.Blob.from_file_path(str(file)))
    font = hb.Font(face)
    x_units = font.get_glyph_extents(font.get_nominal_glyph(ord("x"))).y_bearing
    px = X_HEIGHT_MM / 25.4 * PPI / x_units * face.upem
    drawn = ImageFont.truetype(str(file), round(px), layout_engine=ImageFont.Layout.BASIC)
    pitch = round(px * 1.4)
    picture = Image.new("L", (1200, pitch * (sum(map(len, rows)) + len(rows)) + 100), 255)
    draw = ImageDraw.Draw(picture)
    y = 40
    for stack in rows:
        for row in stack:
            _draw_row(draw, row, y, drawn, font, px / face.upem)
            y += pitch
        y += pitch // 2
    picture.save(folder / "andika.png", dpi=(PPI, PPI))
    return folder / "andika.png"


def _draw_row(
    draw: ImageDraw.ImageDraw, row: str, y: int, drawn: ImageFont.FreeTypeFont, font: hb.Font, scale: float
) -> None:
    buffer = hb.Buffer()
    buffer.add_str(row)
    buffer.guess_segment_properties()
    hb.shape(font, buffer, {"liga": False})
    x = 150.0
    for char, position in zip(row, buffer.glyph_positions, strict=True):
        draw.text((x, y), char, font=drawn, fill=0)
        x += position.x_advance * scale


def test_rows_are_read_as_well_as_in_a_typeface_for_beginners(tmp_path: Path) -> None:
    """The share of characters misread in the demo's rows is at most 2 % above that in Andika."""
    rows: list[tuple[str, ...]] = []
    mine = set_in_hand(rows, tmp_path)
    theirs = set_in_andika(rows, tmp_path)
    truth = " ".join(row for stack in rows for row in stack)
    ours, reference = (misread(read_by_ocr(path), truth) for path in (mine, theirs))
    print(f"misread in the hand {ours:.3f}, in Andika {reference:.3f}")

    assert reference < 0.2, "the reference itself cannot be read: the comparison says nothing"
    assert ours <= reference + 0.02
    assert misread("", truth) == pytest.approx(1.0)
