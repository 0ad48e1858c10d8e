"""What the hand step tells and draws."""

from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from lettering.errors import LetteringError
from lettering.hand.gathered import hand_from
from lettering.setting.reading_age import all_bands
from lettering.steps.hand import call_back, describe, merge, rename, write_specimen
from lettering.storage.ufo import read_hand, write_hand
from tests.hand.drawn_rows import drawn_rows
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


def hand_on_disk(folder: Path, page: str, rows: list[str]) -> Path:
    """Write a hand that was gathered from rows of an open typeface; `page` names its page and itself."""
    path = folder / f"{page}.ufo"
    wrong = replace(drawn_rows("patrick-hand", ["W"], page="odd.png")[0], char="o")
    drawn = [*drawn_rows("patrick-hand", rows, page=f"{page}.png"), wrong]
    write_hand(hand_from(drawn, name=page, mm_per_unit=0.008), path)
    return path


def test_what_spacing_was_learnt_from_is_told(tmp_path: Path) -> None:
    """The words, the error of words left out and how many pairs are guessed stand in the description."""
    told = describe(hand_on_disk(tmp_path, "one", ["on one stone no moon"]), None)

    assert "spacing learnt from 5 words: on, one, stone, no, moon" in told
    assert "x-heights a gap" in told
    assert "still guessed: 29 of 36" in told  # of six letters; the words show on ne st to no mo oo


def test_a_drawing_set_aside_is_told_and_called_back(tmp_path: Path) -> None:
    """The description names it with its reason; called back, it is a take; another name is refused."""
    path = hand_on_disk(tmp_path, "one", ["on one stone no moon"])
    before = describe(path, None)
    call_back(path, ["o.aside1"])

    assert "set aside: o.aside1 (odd.png, row 1, place 1): " in before
    assert "set aside" not in describe(path, None)
    assert len(read_hand(path).takes["o"]) == 7
    with pytest.raises(LetteringError, match=r"o\.aside1"):
        call_back(path, ["o.aside1"])


def test_hands_are_merged_and_renamed(tmp_path: Path) -> None:
    """The second's takes and words come to the first's, whose names stay; merging again adds nothing."""
    one = hand_on_disk(tmp_path, "one", ["on one stone no moon"])
    two = hand_on_disk(tmp_path, "two", ["a new leaf"])
    first = read_hand(one)
    merge(one, two)
    both = read_hand(one)
    merge(one, two)
    rename(one, " Wren’s  hand ")

    assert {"stone", "leaf"} <= set(both.words)
    assert len(both.takes["n"]) == len(first.takes["n"]) + 1
    assert {t.name for t in first.takes["n"]} < {t.name for t in both.takes["n"]}
    assert read_hand(one) == replace(both, name="Wren’s hand")
    with pytest.raises(LetteringError, match="--rename"):
        rename(one, "\n")
