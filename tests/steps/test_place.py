"""Placing whole books on disk."""

import json
from pathlib import Path

import pytest
import yaml

from lettering.errors import BookError, LetteringError
from lettering.setting.reading_age import band_for
from lettering.steps.laid_out import LaidOut
from lettering.steps.layout import layout
from lettering.steps.place import book_as_placed, place_book
from tests.independent_checker import violations
from tests.random_books import book_text
from tests.steps.books import BOOK, book_on_disk

HARD_RULES = {"safe", "gutter", "figure", "keep-clear", "overlap", "order", "tail-face", "tail-crosses"}
"""Codes of the findings that name a broken rule of placing; other errors excuse nothing."""


def placements(book: Path) -> dict[str, object]:
    """Return what is kept beside the book file."""
    kept: dict[str, object] = json.loads(book.with_suffix(".placements.json").read_text("utf-8"))
    return kept


def test_a_placed_book_breaks_no_hard_rule_and_has_its_words(tmp_path: Path) -> None:
    """The layout passes an independent checker, and its rows carry exactly the words of the book."""
    book = book_on_disk(tmp_path)
    plain = layout(place_book(book))

    assert violations(plain, yaml.safe_load(BOOK)) == []
    assert [f for f in plain["findings"] if f["severity"] == "error"] == []
    assert [" ".join(line["rows"]) for line in plain["spreads"][0]["lines"]] == [
        "Who left a cello in the compost?",
        "Not me!",
        "It was somebody small.",
        "Nobody answered.",
    ]


@pytest.mark.parametrize("seed", range(20))
def test_random_books_break_no_rule_that_is_not_reported(tmp_path: Path, seed: int) -> None:
    """Books with a planted clean layout: every broken hard rule is a finding, and so when read back."""
    text = book_text(seed, lines=3 + seed % 4)
    book = book_on_disk(tmp_path, text)
    plain = layout(place_book(book))
    reported = {finding["code"] for finding in plain["findings"] if finding["severity"] == "error"}

    assert violations(plain, yaml.safe_load(text)) == [] or reported & HARD_RULES
    again = layout(book_as_placed(book))["findings"]
    assert {f["code"] for f in again if f["severity"] == "error"} == reported


def test_placing_again_changes_no_byte(tmp_path: Path) -> None:
    """The same book gives the same placements and the same layout, placed anew or read back."""
    book = book_on_disk(tmp_path)
    first = layout(place_book(book))
    kept = book.with_suffix(".placements.json").read_bytes()
    read_back = layout(book_as_placed(book))
    again = layout(place_book(book))

    assert book.with_suffix(".placements.json").read_bytes() == kept
    assert read_back["spreads"][0]["lines"] == first["spreads"][0]["lines"] == again["spreads"][0]["lines"]


@pytest.mark.parametrize("seed", range(4))
def test_an_unchanged_book_is_placed_to_the_same_bytes_again(tmp_path: Path, seed: int) -> None:
    """Whatever the book, placing it a second time moves nothing, not the tip of a tail."""
    book = book_on_disk(tmp_path, book_text(30 + seed, spreads=2, lines=4))
    place_book(book)
    kept = book.with_suffix(".placements.json").read_bytes()
    place_book(book)

    assert book.with_suffix(".placements.json").read_bytes() == kept


def test_a_held_line_is_never_moved(tmp_path: Path) -> None:
    """A line held at a place of the illustrator's own stays there, rows and all, when the rest is placed."""
    book = book_on_disk(tmp_path)
    place_book(book)
    path = book.with_suffix(".placements.json")
    kept = json.loads(path.read_text("utf-8"))
    line = kept["spreads"][0]["lines"][0]
    line["held"] = True
    line["position"] = [line["position"][0] + 7.0, line["position"][1] + 3.0]
    path.write_text(json.dumps(kept), encoding="utf-8")

    place_book(book)

    after = json.loads(path.read_text("utf-8"))["spreads"][0]["lines"][0]
    assert after["position"] == line["position"]
    assert after["rows"] == line["rows"]
    assert after["held"] is True


def test_a_changed_word_leaves_the_other_lines_alone(tmp_path: Path) -> None:
    """After an edit of one line all others are drawn exactly as before."""
    book = book_on_disk(tmp_path)
    before = layout(place_book(book))["spreads"][0]["lines"]
    book.write_text(BOOK.replace("somebody small", "somebody tiny"), encoding="utf-8")
    after = layout(place_book(book))["spreads"][0]["lines"]

    assert after[2]["says"] == "It was somebody tiny."
    assert [line for line in after if line["line"] != 3] == [line for line in before if line["line"] != 3]


def test_another_reader_gets_another_size(tmp_path: Path) -> None:
    """Placed again for a younger reader the lettering is as large as that reader needs."""
    book = book_on_disk(tmp_path, BOOK.replace("reader_age: 5", "reader_age: 12"))
    small = place_book(book).x_height_mm
    book.write_text(BOOK, encoding="utf-8")
    result, band = place_book(book), band_for((5, 5))

    assert small < band.x_min
    assert not result.spreads[0].placed.broken
    assert band.x_min <= result.x_height_mm <= band.x_target


def test_a_moved_speaker_is_aimed_at_from_where_the_bubble_stood(tmp_path: Path) -> None:
    """When a figure moves, its bubble stays and its tail finds the new mouth; others do not change."""
    book = book_on_disk(tmp_path)
    before = layout(place_book(book))["spreads"][0]["lines"]
    book.write_text(BOOK.replace("mouth: [330, 185]", "mouth: [345, 200]"), encoding="utf-8")
    result = layout(place_book(book))
    after = result["spreads"][0]["lines"]

    assert after[1]["ink"] == before[1]["ink"]
    assert after[1]["tips"] != before[1]["tips"]
    assert [after[i] for i in (0, 2, 3)] == [before[i] for i in (0, 2, 3)]
    assert "tail-aim" not in {finding["code"] for finding in result["findings"]}


def test_weights_of_the_book_decide_where_bubbles_stand(tmp_path: Path) -> None:
    """With a high price on standing low bubbles rise; placed again only when all is placed afresh."""

    def tops(result: LaidOut) -> float:
        return sum(line.placement.centre.y for line in result.spreads[0].lines)

    book = book_on_disk(tmp_path)
    usual = place_book(book)
    book.write_text(BOOK.replace("cast:", "placing: {high: 200}\ncast:"), encoding="utf-8")
    stayed, risen = place_book(book), place_book(book, afresh=True)

    assert tops(stayed) == tops(usual)
    assert tops(risen) < tops(usual) - 10.0


def test_placed_afresh_a_held_line_stays(tmp_path: Path) -> None:
    """Placing all lines anew moves those that were dragged, but not one that is held."""
    book = book_on_disk(tmp_path)
    place_book(book)
    path = book.with_suffix(".placements.json")
    kept = json.loads(path.read_text("utf-8"))
    lines = kept["spreads"][0]["lines"]
    lines[0]["held"] = True
    for line in lines[:2]:
        line["position"] = [line["position"][0] + 4.0, line["position"][1]]
    path.write_text(json.dumps(kept), encoding="utf-8")
    place_book(book, afresh=True)
    after = json.loads(path.read_text("utf-8"))["spreads"][0]["lines"]

    assert after[0]["position"] == lines[0]["position"]
    assert after[1]["position"] != lines[1]["position"]


def test_characters_that_the_hand_lacks_are_named_with_their_place(tmp_path: Path) -> None:
    """A book whose words the hand cannot letter is refused, line by line, and nothing is written."""
    text = BOOK.replace("Nobody answered.", "Nobody ☂ answered.")
    book = book_on_disk(tmp_path, text)

    with pytest.raises(BookError, match=r"book\.yaml:18:\d+: the hand patrick-hand has no ☂"):
        place_book(book)
    assert not book.with_suffix(".placements.json").exists()


def test_a_crowded_spread_is_drawn_and_its_broken_rules_are_findings(tmp_path: Path) -> None:
    """Where no clean layout exists the least bad one is drawn and every broken rule is an error finding."""
    lines = "\n".join(
        f"      - wren: Line {n} has quite a few words to say here, so it does." for n in range(10)
    )
    text = BOOK[: BOOK.index("    lines:")] + "    lines:\n" + lines + "\n"
    result = place_book(book_on_disk(tmp_path, text))

    assert len(result.spreads[0].lines) == 10
    assert any(finding.severity == "error" for finding in result.findings)
    assert violations(layout(result), yaml.safe_load(text))


def test_a_line_of_three_hundred_words_is_refused(tmp_path: Path) -> None:
    """A line far beyond any bubble is refused with its place and with advice."""
    text = BOOK.replace("Nobody answered.", "word " * 300)

    with pytest.raises(LetteringError, match=r"book\.yaml:\d+:9: .*Share the words out"):
        place_book(book_on_disk(tmp_path, text))


def test_art_that_is_missing_is_named(tmp_path: Path) -> None:
    """A book whose art is not there is refused before anything is placed."""
    book = book_on_disk(tmp_path, BOOK.replace("  - pages: 4-5", "  - pages: 4-5\n    art: art/none.png"))

    with pytest.raises(LetteringError, match=r"art/none\.png"):
        place_book(book)
    assert not book.with_suffix(".placements.json").exists()


def test_damaged_placements_are_refused_and_left(tmp_path: Path) -> None:
    """Placements that cannot be read stop the run and stay as they are."""
    book = book_on_disk(tmp_path)
    path = book.with_suffix(".placements.json")
    path.write_text("{ not json", encoding="utf-8")

    with pytest.raises(LetteringError, match=r"book\.placements\.json:1:3"):
        place_book(book)
    assert path.read_text("utf-8") == "{ not json"
