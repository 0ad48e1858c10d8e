"""One sheet or two on a desk: only two are refused."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.capture.light import linear
from lettering.capture.page import PageImage
from lettering.capture.paper.sheets import several_sheets
from lettering.cli.main import main
from tests.capture.test_read import SHORT
from tests.sheets_on_a_desk import Desk, on_a_desk
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface
from tests.simulated_photo import Phone

DESKS = {
    "dark": Desk(),
    "boards": Desk(light=0.25, planks=0.15),
    "white": Desk(light=0.93),
    "grey": Desk(light=0.5),
}
OTHER = ("Nobody knew where", "the owl had been", "until the morning.", "It said nothing.")


@cache
def sheet(rows: tuple[str, ...] = SHORT, pitch: float = 3.4) -> SimulatedPage:
    """Return a lettered sheet about 100 mm wide."""
    lettering = Lettering(x_height_mm=5, row_pitch=pitch)
    return simulated_page(typeface("patrick-hand"), rows, lettering, Scan(ppi=120, grain=0))


def photo(desk: Desk, second: tuple[float, float] | None, turn: float = 2.0) -> PageImage:
    """Return a photo of a sheet, and of a second one beside it at x, y mm when that is given."""
    first = sheet() if second else sheet(pitch=6.0)
    sheets = [(first, 0.0, 0.0)] + [(sheet(OTHER), *at) for at in [second] if at]
    high, wide, fill = 1000, 1000, 0.9
    if second:
        high, wide, fill = (750, 1000, 0.66) if second[0] > second[1] else (1000, 750, 0.95)
    phone = Phone(
        width_px=wide, height_px=high, fill=fill, turn_degrees=turn, tilt_degrees=8, shadow=1.0, noise=0.005
    )
    return on_a_desk(sheets, desk, phone)


@pytest.mark.parametrize("second", [(112.0, 3.0), (4.0, 104.0)], ids=["side by side", "one below"])
@pytest.mark.parametrize("desk", DESKS)
def test_two_sheets_on_a_desk_are_seen(desk: str, second: tuple[float, float]) -> None:
    """Two lettered sheets with a finger's breadth of desk between them are told from one."""
    assert several_sheets(linear(photo(DESKS[desk], second).pixels))


@pytest.mark.parametrize("desk", DESKS)
def test_one_sheet_is_not_taken_for_two(desk: str) -> None:
    """Rows far apart on one sheet are no two sheets, however it lies."""
    assert not several_sheets(linear(photo(DESKS[desk], None, turn=-6.0).pixels))


def test_two_blocks_and_a_framed_drawing_on_one_sheet_are_one_sheet() -> None:
    """Blocks of text parted by a drawing in a frame, dark or outlined, stay one page."""
    sim = sheet(pitch=8.0)
    for tone in (0.9, 0.0):
        ink = sim.coverage.copy()
        middle, left = ink.shape[0] // 2 + 25, ink.shape[1] // 4
        ink[middle - 40 : middle + 40, left : 3 * left] = tone
        ink[middle - 40 : middle + 40, left : left + 4] = 1
        ink[middle - 40 : middle - 36, left : 3 * left] = 1
        drawn = replace(sim, coverage=ink)
        picture = on_a_desk(
            [(drawn, 0.0, 0.0)], DESKS["boards"], Phone(width_px=900, height_px=1100, fill=0.9)
        )

        assert not several_sheets(linear(picture.pixels))


def test_two_pages_in_one_picture_end_with_status_2_and_no_hand(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """She is told to show one page alone; nothing is written."""
    path, reading = tmp_path / "two.png", tmp_path / "two.txt"
    Image.fromarray(np.asarray(photo(DESKS["boards"], (4.0, 104.0)).pixels)).save(path)
    reading.write_text("\n".join(SHORT), encoding="utf-8")
    status = main(["gather", str(path), "--reading", str(reading), "--into", str(tmp_path / "hand.ufo")])
    said = capsys.readouterr().err

    assert status == 2
    assert "two pages are in the picture" in said
    assert "Show one page alone" in said
    assert not (tmp_path / "hand.ufo").exists()
