"""Pages that cannot be gathered: one sentence and what to do next, status 2, and the hand untouched."""

import io
import struct
import zlib
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from pillow_heif import register_heif_opener
from scipy.ndimage import gaussian_filter

from lettering.cli.main import main
from lettering.steps.gather import gather
from lettering.storage.ufo import read_hand, write_hand
from tests.hand.drawn_rows import gathered
from tests.simulated_page import Lettering, Scan, simulated_page, typeface
from tests.steps.test_gather import files

ROWS = ("Who left a cello", "in the compost?")
Pixels = NDArray[np.uint8]
LARGE = (12_000, 9_000)
"""Columns and rows of a picture of 108 million pixels."""


@cache
def lettered() -> Pixels:
    """Return a scan of two lettered rows."""
    scan = simulated_page(typeface("patrick-hand"), ROWS, Lettering(x_height_mm=4), Scan(ppi=200))
    return np.asarray(scan.page.pixels, dtype=np.uint8)


def saved(pixels: Pixels, form: str) -> bytes:
    """Return a picture as a file of a format."""
    register_heif_opener()
    file = io.BytesIO()
    colour = Image.fromarray(pixels).convert("RGB" if form == "HEIF" else "L")
    colour.save(file, form, **({"resolution": 300} if form == "PDF" else {}))
    return file.getvalue()


def cut(form: str) -> Callable[[], bytes]:
    """Return what makes half of a file of a format."""
    return lambda: saved(lettered(), form)[: len(saved(lettered(), form)) // 2]


def png_bomb() -> bytes:
    """Return a small PNG of 108 million white pixels (PNG 3rd edition, 5: signature and chunks)."""
    columns, rows = LARGE
    packed = zlib.compress((b"\0" + b"\xff" * columns) * rows, 9)
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 0, 0, 0, 0)),
        (b"IDAT", packed),
        (b"IEND", b""),
    ]
    chunks = (struct.pack(">I", len(d)) + k + d + struct.pack(">I", zlib.crc32(k + d)) for k, d in parts)
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def tiff_bomb() -> bytes:
    """Return a small TIFF of 108 million white pixels, packed by CCITT Group 4."""
    file = io.BytesIO()
    Image.new("1", LARGE, 1).save(file, "TIFF", compression="group4")
    return file.getvalue()


def webp_bomb() -> bytes:
    """Return a WebP whose header claims 16384 by 16384 pixels (RFC 9649, 2.7: size less one in 24 bits)."""
    whole = bytearray(saved(np.full((64, 64), 255, dtype=np.uint8), "WEBP"))
    vp8x = b"VP8X" + struct.pack("<I", 10) + bytes(4) + b"\xff\x3f\x00\xff\x3f\x00"
    body = b"WEBP" + vp8x + bytes(whole[12:])
    return b"RIFF" + struct.pack("<I", len(body)) + body


def heic_bomb() -> bytes:
    """Return a HEIC whose image size (`ispe`, ISO/IEC 23008-12, 6.5.3) claims 20000 by 20000 pixels."""
    whole = bytearray(saved(np.full((64, 64), 255, dtype=np.uint8), "HEIF"))
    at = 0
    while (at := whole.find(b"ispe", at + 1)) > 0:
        whole[at + 8 : at + 16] = struct.pack(">II", 20_000, 20_000)
    return bytes(whole)


def pdf_bomb() -> bytes:
    """Return a small PDF whose one picture has 108 million pixels."""
    file = io.BytesIO()
    Image.new("1", LARGE, 1).save(file, "PDF", resolution=1200)
    return file.getvalue()


def pdf_of(count: int) -> bytes:
    """Return a PDF of blank pages."""
    file = io.BytesIO()
    first, *others = [Image.new("L", (40, 40), 255) for _ in range(count)]
    first.save(file, "PDF", save_all=True, append_images=others)
    return file.getvalue()


def scan(change: Callable[[Pixels], Pixels]) -> Callable[[], bytes]:
    """Return what makes a scan that was changed."""
    return lambda: saved(np.ascontiguousarray(change(lettered())).astype(np.uint8), "PNG")


AGAIN = "Scan or export it again."
SMALLER = "which is more than 100 million pixels. Save it at a lower resolution, or crop it."
CUT = f"the picture is damaged or cut short. {AGAIN}"
NONE = "this is no picture that can be read. Give a PNG, JPEG, TIFF, WebP, HEIC or PDF file."
ROW_BY_ROW = "Type one row of text for each row of the page, and show the whole of one page in the picture."
PALE = (
    "there is no ink on this page, or it is too pale to see. "
    "Letter with a darker pen, or scan with more contrast."
)
CASES: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "a PDF of a hundred pages": (
        "page.pdf", lambda: pdf_of(100),
        "the PDF has 100 pages; 1 to 40 can be read. Save the lettered pages alone.",
    ),
    "a PNG that swells": ("page.png", png_bomb, f"the picture has 12000 x 9000, {SMALLER}"),
    "a TIFF that swells": ("page.tif", tiff_bomb, f"the picture has 12000 x 9000, {SMALLER}"),
    "a WebP that swells": ("page.webp", webp_bomb, f"the picture has {SMALLER.removeprefix('which is ')}"),
    "a HEIC that swells": ("page.heic", heic_bomb, f"the picture has {SMALLER.removeprefix('which is ')}"),
    "a PDF that swells": ("page.pdf", pdf_bomb, f"the picture has 12000 x 9000, {SMALLER}"),
    "half a PNG": ("page.png", cut("PNG"), CUT),
    "half a JPEG": ("page.jpg", cut("JPEG"), CUT),
    "half a TIFF": ("page.tif", cut("TIFF"), CUT),
    "half a WebP": ("page.webp", cut("WEBP"), CUT),
    "half a HEIC": ("page.heic", cut("HEIF"), CUT),
    "half a PDF": (
        "page.pdf", cut("PDF"),
        "the PDF is damaged, cut short or locked. Scan or export it again, without a password.",
    ),
    "no picture": ("page.png", lambda: b"Dear editor, here is my page.", NONE),
    "nothing": ("page.png", lambda: b"", NONE),
    "an empty page": ("page.png", scan(lambda page: np.full_like(page, 230)), PALE),
    "a black page": (
        "page.png", scan(np.zeros_like),
        "the picture is black. Scan the page again with the lettering facing the glass.",
    ),
    "blurred": (
        "page.png", scan(lambda page: gaussian_filter(page, 2.6)),
        "the letters are joined in most words. Letter them apart; joined writing cannot be taken letter by "
        "letter. If they stand apart on the paper, the picture is blurred: take it again.",
    ),
    "too small": (
        "page.png", scan(lambda page: page[::3, ::3]),
        "the strokes are 2.2 px wide; at least 3 are needed. Scan at a higher resolution.",
    ),
    "two pages side by side": (
        "page.png", scan(lambda page: np.concatenate([page, page], axis=1)),
        "the reading has 26 letters, and there is ink for about 52. "
        "Show one page alone in the picture, and type all that it says.",
    ),
    "half the page": (
        "page.png", scan(lambda page: page[: len(page) // 2]),
        f"1 row of lettering was found, and the reading has 2. {ROW_BY_ROW}",
    ),
    "glare over all": ("page.png", scan(lambda page: np.clip(page.astype(int) + 200, 0, 255)), PALE),
}  # fmt: skip


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A hand on disk that was there before."""
    path = tmp_path_factory.mktemp("hand") / "hand.ufo"
    write_hand(gathered("patrick-hand").hand, path)
    return path


@pytest.mark.parametrize("what", CASES)
def test_bad_input_is_one_sentence_and_what_to_do_next(
    what: str, hand: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The command says just that, of the page by its name; the hand on disk stays byte for byte."""
    name, made, said = CASES[what]
    (tmp_path / name).write_bytes(made())
    (tmp_path / "page.txt").write_text("\n".join(ROWS), encoding="utf-8")
    before = files(hand)
    status = main(
        ["gather", str(tmp_path / name), "--reading", str(tmp_path / "page.txt"), "--into", str(hand)]
    )
    (line,) = capsys.readouterr().err.splitlines()

    assert status == 2
    assert line.removeprefix("lettering: ").replace(f"{tmp_path}/", "") == f"{name}: {said}"
    assert files(hand) == before


@pytest.mark.parametrize("quarters", [0, 2])
def test_a_page_upside_down_gives_the_hand_of_the_upright_one(quarters: int, tmp_path: Path) -> None:
    """Turned right by its reading, it is taken letter for letter."""
    (tmp_path / "page.png").write_bytes(saved(np.rot90(lettered(), quarters).copy(), "PNG"))
    (tmp_path / "page.txt").write_text("\n".join(ROWS), encoding="utf-8")
    gather([tmp_path / "page.png"], [tmp_path / "page.txt"], tmp_path / "hand.ufo")
    takes = read_hand(tmp_path / "hand.ufo").takes

    assert {char: len(group) for char, group in takes.items()} == Counter("".join(ROWS).replace(" ", ""))
