"""What the hand step tells and draws."""

from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from lettering.errors import LetteringError
from lettering.setting.reading_age import all_bands
from lettering.steps.hand import describe, write_specimen
from tests.steps.books import BOOK, book_on_disk


def test_a_hand_is_described_in_words(tmp_path: Path) -> None:
    """The description counts characters and takes and names letters with too few of them."""
    book_on_disk(tmp_path)
    text = describe(tmp_path / "hand.ufo", None)

    assert "characters" in text
    assert "fewer than 3 takes of: a b c d" in text


def test_what_a_book_lacks_is_listed(tmp_path: Path) -> None:
    """Characters that the book needs and the hand has not are named, as are letters with too few takes."""
    book = book_on_disk(tmp_path, BOOK.replace("Nobody answered.", "Nobody ☂ answered."))
    text = describe(tmp_path / "hand.ufo", book)

    assert "the hand lacks: ☂" in text
    assert "more takes would help:" in text
    assert "(has 1, wants" in text


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_a_specimen_is_drawn_on_paper(tmp_path: Path, ending: str) -> None:
    """The specimen opens as a picture with ink on it."""
    book_on_disk(tmp_path)
    path = tmp_path / f"specimen.{ending}"
    write_specimen(tmp_path / "hand.ufo", path)

    if ending == "pdf":
        assert pypdfium2.PdfDocument(path)[0].get_size()[0] == pytest.approx(210 * 72 / 25.4, abs=0.1)
    elif ending == "png":
        with Image.open(path) as image:
            low, high = image.convert("L").getextrema()
        assert (low < 60, high > 240) == (True, True)
    else:
        assert path.read_text("utf-8").startswith("<?xml")


def test_another_ending_is_refused(tmp_path: Path) -> None:
    """A specimen in an unknown format is refused with those that are known."""
    book_on_disk(tmp_path)

    with pytest.raises(LetteringError, match=r"\.png"):
        write_specimen(tmp_path / "hand.ufo", tmp_path / "specimen.gif")


def test_the_specimen_shows_sizes_of_the_reading_age_table() -> None:
    """The table has enough sizes for the specimen's five."""
    assert len({band.x_target for band in all_bands()}) >= 5
