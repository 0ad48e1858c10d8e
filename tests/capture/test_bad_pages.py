"""Pictures that are no lettered page, or not this one: each is refused in words."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter

from lettering.capture.page import PageImage, Reading
from lettering.capture.read import read_page
from lettering.cli.main import main
from lettering.errors import ReadingError
from tests.capture.test_read import SHORT, misplaced, named, short_page, short_read
from tests.simulated_page import Lettering, Scan, simulated_page, typeface


def cloudy(spread: float, cut: float | None = None) -> np.ndarray:
    """Return a picture of something else: soft clouds, or dark blots where they are cut at a level."""
    rng = np.random.default_rng(1)
    cloud = gaussian_filter(rng.standard_normal((600, 900)), spread)
    cloud = (cloud - cloud.min()) / np.ptp(cloud)
    tone = cloud if cut is None else cloud < cut
    return np.asarray(60 + 180 * tone, dtype=np.uint8)


BAD: dict[str, tuple[Callable[[np.ndarray], np.ndarray], str, str]] = {
    "something else, soft": (
        lambda page: cloudy(40),
        "there is no ink on this page, or it is too pale to see",
        "Letter with a darker pen",
    ),
    "something else, blots": (
        lambda page: cloudy(12, 0.5),
        "what is in the picture does not look like lettering",
        "See that this is the lettered page",
    ),
    "half the page, above": (
        lambda page: page[: len(page) // 2],
        "2 rows of lettering were found, and the reading has 4",
        "show the whole of one page in the picture",
    ),
    "half the page, left": (
        lambda page: page[:, : page.shape[1] // 2],
        "the reading has 54 letters, and there is ink for about 30",
        "Show the whole page in the picture",
    ),
    "half the page, right": (
        lambda page: page[:, page.shape[1] // 2 :],
        "the reading has 54 letters, and there is ink for about 29",
        "Show the whole page in the picture",
    ),
    "two pages, one below": (
        lambda page: np.concatenate([page, page]),
        "8 rows of lettering were found, and the reading has 4",
        "show the whole of one page in the picture",
    ),
    "two pages side by side": (
        lambda page: np.concatenate([page, page], axis=1),
        "the reading has 54 letters, and there is ink for about 108",
        "Show one page alone in the picture",
    ),
    "too small": (
        lambda page: page[::5, ::5],
        "the strokes are 2.2 px wide; at least 3 are needed",
        "Scan at a higher resolution",
    ),
}
"""Each spoiled page with the sentence that refuses it and how its next step begins."""


@pytest.mark.parametrize("what", BAD)
def test_what_is_no_such_page_is_refused_in_words(what: str) -> None:
    """Pictures of other things, parts of a page and several pages each have a sentence and a next step."""
    spoil, said, advised = BAD[what]
    page = short_page().page
    with pytest.raises(ReadingError) as refused:
        read_page(replace(page, pixels=np.asarray(spoil(page.pixels), dtype=np.uint8)), Reading(SHORT))

    assert refused.value.message == said
    assert advised in str(refused.value)


def test_the_reading_of_another_page_is_refused() -> None:
    """A page of as many rows that says something else is refused at its first row."""
    rows = ("Seven hens sat on", "a heron at noon,", "quite odd, really.", "Was it a vixen?")
    with pytest.raises(ReadingError, match="row 1 of the reading does not fit the ink"):
        read_page(short_page().page, Reading(rows))


def test_joined_writing_is_refused_with_advice() -> None:
    """Letters that run together in most words are not cut by guess: she is told to letter them apart."""
    lettering = Lettering(x_height_mm=4, spacing=-0.3)
    joined = simulated_page(typeface("patrick-hand"), SHORT, lettering, Scan(ppi=300))
    with pytest.raises(ReadingError) as refused:
        read_page(joined.page, Reading(SHORT))

    assert refused.value.message == "the letters are joined in most words"
    assert "Letter them apart" in str(refused.value)


def test_glare_over_a_row_leaves_letters_out_and_misnames_none() -> None:
    """Letters washed out by a lamp's reflection are set aside; the others keep their names."""
    sim = short_page()
    down, across = np.indices(sim.page.pixels.shape[:2])
    glare = 240 * np.exp(-(((down - 450) / 90) ** 2 + ((across - 500) / 160) ** 2))
    pixels = np.clip(sim.page.pixels + glare, 0, 255).astype(np.uint8)
    page = read_page(replace(sim.page, pixels=pixels), Reading(SHORT))

    assert {"glare lies on it"} <= {letter.reason for letter in page.set_aside}
    assert misplaced(page, sim) == []


def test_a_scan_in_black_and_white_alone_is_read_with_a_remark() -> None:
    """Without greys letters are found as well as with them, and she is told that outlines are rougher."""
    page = read_page(black_and_white(short_page().page), Reading(SHORT))

    assert named(page.letters) == "".join(SHORT).replace(" ", "")
    assert page.remarks == (
        "black and white without greys: outlines are rougher than those of a scan in grey or colour",
    )
    assert short_read().remarks == ()


def test_thin_strokes_in_black_and_white_alone_are_refused() -> None:
    """Strokes of a few pixels have no outline without greys."""
    sim = simulated_page(typeface("andika"), SHORT, Lettering(x_height_mm=3), Scan(ppi=200))
    with pytest.raises(
        ReadingError, match=r"its strokes are 3\.2 px wide: outlines would stray by 25% of a stroke"
    ):
        read_page(black_and_white(sim.page), Reading(SHORT))


def black_and_white(page: PageImage) -> PageImage:
    """Return the page as a scanner set to line art makes it."""
    return replace(page, pixels=np.where(page.pixels > 128, 255, 0).astype(np.uint8))


def test_a_file_cut_short_ends_with_status_2_and_no_hand(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A damaged file is named with what to do; nothing is written."""
    path, reading = tmp_path / "page.png", tmp_path / "page.txt"
    Image.fromarray(short_page().page.pixels).save(path)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    reading.write_text("\n".join(SHORT), encoding="utf-8")
    status = main(["gather", str(path), "--reading", str(reading), "--into", str(tmp_path / "hand.ufo")])
    said = capsys.readouterr().err

    assert status == 2
    assert "page.png" in said
    assert "Traceback" not in said
    assert not (tmp_path / "hand.ufo").exists()
