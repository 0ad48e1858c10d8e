"""Placements are kept whole, in an order that version control likes, and damage is told with its place."""

import difflib
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.errors import LetteringError, OutputError
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine, FormerSpread
from lettering.storage.placements import (
    placements_of,
    placements_path,
    placements_text,
    read_placements,
    write_placements,
)

WREN = FormerLine(
    who=("wren",),
    says="Who’s “there”?",
    rows=("Who’s", "“there”?"),
    position=Point(70.126, 40.0),
    tips=(Point(60.5, 90.25),),
    x_height_mm=3.8,
    held=True,
)
CAPTION = FormerLine(who=(), says="Nobody.", rows=("Nobody.",), position=Point(200, 30), x_height_mm=3.5)
SPREADS = (FormerSpread((4, 5), (WREN, CAPTION)), FormerSpread((6,), ()))


def test_placements_stand_beside_the_book() -> None:
    """book.yaml has its placements in book.placements.json."""
    assert placements_path(Path("a/book.yaml")) == Path("a/book.placements.json")


def test_placements_written_are_placements_read(tmp_path: Path) -> None:
    """What is written is read again, positions to 0.01 mm, and writing it again gives the same bytes."""
    path = tmp_path / "book.placements.json"
    write_placements(SPREADS, path)
    first = path.read_bytes()
    again = read_placements(path)
    write_placements(again, path)

    assert again == (
        replace(SPREADS[0], lines=(replace(WREN, position=Point(70.13, 40.0)), CAPTION)),
        SPREADS[1],
    )
    assert path.read_bytes() == first


def test_no_file_is_no_placements(tmp_path: Path) -> None:
    """A book that was never placed has none."""
    assert read_placements(tmp_path / "book.placements.json") == ()


def test_the_file_is_json_with_a_version() -> None:
    """Another JSON reader finds format, version and unit, and people find their own letters."""
    text = placements_text(SPREADS)
    plain = json.loads(text)

    assert (plain["format"], plain["version"], plain["unit"]) == ("lettering-placements", 1, "mm")
    assert plain["spreads"][0]["lines"][0] == {
        "who": ["wren"], "says": "Who’s “there”?", "rows": ["Who’s", "“there”?"], "position": [70.13, 40.0],
        "tips": [[60.5, 90.25]], "x_height": 3.8, "held": True,
    }  # fmt: skip
    assert "Who’s “there”?" in text


def test_one_change_is_few_lines() -> None:
    """Moving one bubble changes one row of text; a line more adds its own rows and no others."""
    before = placements_text(SPREADS).splitlines()
    moved = replace(SPREADS[0], lines=(replace(WREN, position=Point(71, 40)), CAPTION))
    more = replace(SPREADS[0], lines=(WREN, replace(CAPTION, says="So."), CAPTION))

    assert _changed(before, placements_text((moved, SPREADS[1])).splitlines()) == (1, 1)
    assert _changed(before, placements_text((more, SPREADS[1])).splitlines()) == (0, 9)


def _changed(before: list[str], after: list[str]) -> tuple[int, int]:
    """Return how many rows went and came."""
    rows = [row for row in difflib.ndiff(before, after) if row[:2] in ("- ", "+ ")]
    return sum(row.startswith("-") for row in rows), sum(row.startswith("+") for row in rows)


@pytest.mark.parametrize(
    ("typed", "wrong", "message"),
    [
        (
            '"version": 1,',
            '"version": 1',
            r"p\.json:4:2: the placements are damaged: Expecting ',' delimiter",
        ),
        ('"version": 1', '"version": 2', r"the file has version 2; this program knows 1"),
        ("lettering-placements", "letters", "the file is not a file of placements"),
        ('"held": true', '"held": 1', "'held' of line 1 of spread 1 is neither true nor false"),
        ('"held": true', '"held": true, "by": "me"', "line 1 of spread 1 has an unknown field 'by'"),
        (',\n     "held": true', "", "line 1 of spread 1 lacks 'held'"),
        ("[70.13, 40.0]", "[70.13]", r"'position' of line 1 of spread 1 is not \[x, y\]"),
        ("[70.13, 40.0]", '["a", 40.0]', "'position' of line 1 of spread 1 is not a measure in mm"),
        ("[70.13, 40.0]", "[NaN, 40.0]", "NaN is no number"),
        ("[70.13, 40.0]", "[1e999, 40.0]", "'position' of line 1 of spread 1 is not a measure in mm"),
        ('["wren"]', '"wren"', "'who' of line 1 of spread 1 is not a list"),
        ('["wren"]', "[1]", "'who' of line 1 of spread 1 is not text"),
        ('["wren"]', '["\\\\ud800"]', "'who' of line 1 of spread 1 is not text"),
        ("[4, 5]", "[4, 5, 6]", "'pages' of spread 1 is not one page number or two"),
        ('"unit"', '"units"', "the file has an unknown field 'units'|the file lacks 'unit'"),
    ],
)
def test_damage_is_told_with_its_place(typed: str, wrong: str, message: str) -> None:
    """Broken JSON is told by line and column, wrong values by line and spread, and what to do is said."""
    text = placements_text(SPREADS).replace(typed, wrong.replace("\\\\", "\\"), 1)

    with pytest.raises(LetteringError, match=message) as caught:
        placements_of(text.encode(), "p.json")
    assert "Restore an earlier copy" in str(caught.value)


@given(
    st.binary(max_size=80)
    | st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["format", "version", "unit", "spreads", "pages", "lines", "x"]), inner
            )
        ),
    ).map(lambda value: json.dumps(value).encode())
)
def test_any_bytes_give_placements_or_an_error(data: bytes) -> None:
    """No bytes whatever bring another exception."""
    try:
        placements_of(data, "p.json")
    except LetteringError:
        return


def test_deep_nesting_is_refused() -> None:
    """A hundred thousand brackets do not bring the program down."""
    with pytest.raises(LetteringError, match="damaged"):
        placements_of(b"[" * 100_000, "p.json")


def test_what_cannot_be_written_leaves_the_former_file(tmp_path: Path) -> None:
    """A folder in the way is an OutputError."""
    (tmp_path / "file").touch()

    with pytest.raises(OutputError):
        write_placements(SPREADS, tmp_path / "file" / "book.placements.json")
