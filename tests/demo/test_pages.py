"""The demo's lettered pages: what they hold, and that the script still draws them."""

import string
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

HALF_INKED = 168
"""Grey value of a pixel half covered with ink: half the light of paper and ink together, sRGB-encoded."""
MARKS = ".,!?'\"’“”–…:;-()&"


def readings(demo: Path) -> dict[str, str]:
    """Return the reading of each page by the page's name."""
    return {page.stem: page.with_suffix(".txt").read_text(encoding="utf-8") for page in pages(demo)}


def pages(demo: Path) -> list[Path]:
    """Return the pictures in order."""
    return sorted((demo / "pages").glob("*.png"))


def test_the_readings_hold_every_character_often_enough(demo: Path) -> None:
    """Each lower-case letter is lettered three times or more, every other character twice or more."""
    count = Counter("".join(readings(demo).values()))

    assert {char: count[char] for char in string.ascii_lowercase if count[char] < 3} == {}
    assert {
        char: count[char] for char in string.ascii_uppercase + string.digits + MARKS if count[char] < 2
    } == {}


def test_no_character_goes_beyond_the_alphabet(demo: Path) -> None:
    """Every character of the readings and of the book's words is one that the demo hand has strokes for."""
    from strokes import LETTERS  # noqa: PLC0415  importable only while the fixture lasts

    assert set("".join(readings(demo).values())) - {" ", "\n"} <= set(LETTERS)


def test_capital_i_small_l_and_one_are_three_shapes(demo: Path) -> None:
    """I has its serifs, l its tail and 1 its flag, so that they can be told apart."""
    from strokes import LETTERS  # noqa: PLC0415

    assert len(LETTERS["I"]) == 3
    assert float(LETTERS["l"][0].split()[-1].split(",")[0]) > 0.2
    assert LETTERS["1"][0].count("!") == 1


def test_the_pages_know_their_size(demo: Path) -> None:
    """Each page is an A5 sheet (ISO 216: 148 x 210 mm) scanned in grey at 400 ppi."""
    for path in pages(demo):
        with Image.open(path) as page:
            ppi = page.info["dpi"]
            assert page.mode == "L"
            assert ppi == pytest.approx((400, 400), abs=0.1)
            assert [side / 400 * 25.4 for side in page.size] == pytest.approx([148, 210], abs=0.05)


def test_the_script_draws_the_first_row_of_the_committed_page(demo: Path) -> None:
    """Drawing the first row anew gives the ink that stands on the committed page."""
    import draw_pages  # noqa: PLC0415

    top, foot = round(16 * draw_pages.PX_PER_MM), round(31 * draw_pages.PX_PER_MM)
    with Image.open(demo / "pages" / "03.png") as page:
        committed = np.asarray(page)[top:foot]
    drawn = draw_pages.ink_on("03", rows=1)[top:foot]

    assert drawn.sum() > 10_000
    assert ((committed < HALF_INKED) != (drawn > 0.5)).mean() < 0.002


def test_letters_do_not_touch(demo: Path) -> None:
    """In a row without dots and quotes there are as many pieces of ink as letters."""
    import draw_pages  # noqa: PLC0415
    from scipy.ndimage import label  # noqa: PLC0415

    row = np.zeros((360, 2400), dtype=np.float32)
    draw_pages.letter_row(row, "hug a lazy warm fox", 220, np.random.default_rng(3))

    assert label(row > 0.05, np.ones((3, 3)))[1] == len("hugalazywarmfox")


def test_equal_letters_are_never_drawn_alike(demo: Path) -> None:
    """Two takes of one letter differ, and the same seed gives the same take."""
    from pen import drawn  # noqa: PLC0415

    first, second = (drawn("e", 80, rng := np.random.default_rng(5)), drawn("e", 80, rng))
    again = drawn("e", 80, np.random.default_rng(5))

    assert np.array_equal(first.coverage, again.coverage)
    assert first.coverage.shape != second.coverage.shape or not np.allclose(first.coverage, second.coverage)
