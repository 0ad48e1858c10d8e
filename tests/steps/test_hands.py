"""A book in two hands, from its file to its hand-off, against each hand alone and against its typeface."""

import shutil
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import yaml
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from lettering.checks.finished import FinishedLine
from lettering.errors import BookError, LetteringError
from lettering.export.svg import path_data
from lettering.geometry.point import Vector
from lettering.setting.reading_age import band_for
from lettering.setting.stack import Stack
from lettering.setting.stacks import stacks
from lettering.steps.export import export_book
from lettering.steps.hand import describe
from lettering.steps.hands import lines_in, read_hands
from lettering.steps.laid_out import LaidOut
from lettering.steps.layout import layout
from lettering.steps.moved import moved, on_desk, opened
from lettering.steps.on_table import laid
from lettering.steps.place import book_as_placed, place_book
from lettering.steps.rounds import compare_rounds, restore, save
from lettering.steps.sheet import make_sheet
from lettering.steps.table_changes import with_text
from lettering.steps.table_hand import hand_view
from lettering.storage.book_file import read_book
from lettering.storage.rounds import folders_sha256, read_round
from lettering.storage.ufo import read_hand, write_hand
from tests.independent_checker import violations
from tests.steps.books import BOOK, book_on_disk
from tests.typeface_hand import TYPEFACES, typeface_hand

TWO = BOOK.replace("{name: Toad}", "{name: Toad, hand: toad.ufo}").replace(
    "Nobody answered.", "Nobody answered.\n      - toad + wren: Fuzzy old zoo!"
)
"""The book with Toad in a hand of his own, and a line that he begins."""

FACES = {"hand.ufo": "patrick-hand", "toad.ufo": "delius"}


def two_hands(folder: Path, text: str = TWO) -> Path:
    """Write a book in two hands and return the path of its file."""
    path = book_on_disk(folder, text, FACES["hand.ufo"])
    write_hand(typeface_hand(FACES["toad.ufo"]), folder / "toad.ufo")
    return path


@pytest.fixture(scope="module")
def placed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a book in two hands that is placed; tests that write take a copy."""
    path = two_hands(tmp_path_factory.mktemp("hands"))
    place_book(path)
    return path


@pytest.fixture(scope="module")
def result(placed: Path) -> LaidOut:
    """Return it laid out."""
    return book_as_placed(placed)


def outlines(stack: Stack) -> np.ndarray:
    """Return the curves of a line's letters, mm from the middle of its ink."""
    contours = (contour for glyph in stack.glyphs for contour in glyph.path.contours)
    middle = stack.ink.centre
    return np.concatenate([contour.knots.reshape(-1, 2) for contour in contours]) - (middle.x, middle.y)


def alone(line: FinishedLine, face: str, result: LaidOut) -> np.ndarray:
    """Return the curves of a line that is set in the hand of a typeface without a book, in the same rows."""
    book = result.book
    offered = stacks(
        line.line,
        typeface_hand(face),
        x_height_mm=result.x_height_mm,
        language=book.language,
        band=band_for(book.reader_age),
    )
    rows = [row.text for row in line.stack.rows]
    return outlines(next(stack for stack in offered if [row.text for row in stack.rows] == rows))


def test_each_line_has_the_letters_of_its_speaker_s_hand(result: LaidOut) -> None:
    """Toad's lines, and what he begins, are curve for curve the second hand's; all others the first's."""
    first, second = FACES.values()
    lines = result.spreads[0].lines

    for line, face in zip(lines, (first, second, first, first, second), strict=True):
        assert outlines(line.stack) == pytest.approx(alone(line, face, result), abs=0.006), line.line.says


def test_each_hand_is_scaled_by_its_own_x_height(result: LaidOut) -> None:
    """Letters of either hand are as high as in its typeface, read by fontTools, an x being the book's."""
    heights = defaultdict(list)
    for line in (result.spreads[0].lines[4], result.spreads[0].lines[0]):
        for glyph in line.stack.glyphs:
            heights[line.number, glyph.char].append(glyph.ink.height)
    for (number, char), face in (((5, "z"), "delius"), ((1, "o"), "patrick-hand")):
        wanted = height_in_x(face, char) * result.x_height_mm

        assert np.mean(heights[number, char]) == pytest.approx(wanted, rel=0.01)


def height_in_x(face: str, char: str) -> float:
    """Return how high a letter of a typeface is, in the height of its x above the baseline."""
    font = TTFont(next((TYPEFACES / face).glob("*.ttf")))
    (_, low, _, high), (_, _, _, x_height) = (bounds(font, letter) for letter in (char, "x"))
    return (high - low) / x_height


def bounds(font: TTFont, char: str) -> tuple[float, float, float, float]:
    """Return the box of a letter of a typeface, in its own units."""
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(char)]].draw(pen)
    left, low, right, high = pen.bounds
    return left, low, right, high


def test_a_book_in_two_hands_breaks_no_rule(result: LaidOut) -> None:
    """An independent checker finds nothing broken, and the checks no error."""
    plain = layout(result)

    assert violations(plain, yaml.safe_load(TWO)) == []
    assert [finding for finding in plain["findings"] if finding["severity"] == "error"] == []


def test_the_hand_off_has_the_letters_and_typefaces_of_both_hands(placed: Path, tmp_path: Path) -> None:
    """The SVG draws each line as it is set; each hand has a typeface of its own name, its own x in it."""
    written = export_book(placed, tmp_path, ["svg", "otf", "woff2"]).written
    drawn = ET.parse(tmp_path / "svg" / "pages-04-05.svg")
    ways = {
        group.get("id"): [path.get("d") for path in group.iterfind(".//{*}path")]
        for group in drawn.iterfind(".//{*}g")
    }

    for line in book_as_placed(placed).spreads[0].lines:
        assert ways[f"lettering-{line.number}"] == [path_data(glyph.path) for glyph in line.stack.glyphs]
    assert {path.name for path in written if path.parent.name != "svg"} == {
        "patrick-hand.otf", "delius.otf", "patrick-hand.woff2", "delius.woff2", "manifest.json"
    }  # fmt: skip
    for face in FACES.values():
        font = TTFont(tmp_path / "otf" / f"{face}.otf")

        assert bounds(font, "x")[3] == pytest.approx(typeface_hand(face).metrics.x_height, abs=1)


def test_hands_of_one_name_have_typefaces_of_two(placed: Path, tmp_path: Path) -> None:
    """A system lists typefaces by name (name table, OpenType 1.9): the second gets a number."""
    path = copied(placed, tmp_path)
    write_hand(replace(typeface_hand("delius"), name="Patrick-Hand"), path.parent / "toad.ufo")
    export_book(path, tmp_path / "out", ["otf"])
    names = {file.name: TTFont(file)["name"].getBestFamilyName() for file in (tmp_path / "out/otf").iterdir()}

    assert names == {"patrick-hand.otf": "patrick-hand", "Patrick-Hand 2.otf": "Patrick-Hand 2"}


def copied(book: Path, folder: Path) -> Path:
    """Return the file of a copy of a book with all that stands beside it."""
    return Path(shutil.copytree(book.parent, folder / "copy")) / book.name


def test_the_same_glyph_set_is_the_same_hand(tmp_path: Path) -> None:
    """A character whose hand is the book's, by whatever path, changes no byte of the hand-off."""
    same = TWO.replace("toad.ufo", "../book/hand.ufo")
    for name, text in (("one", TWO.replace(", hand: toad.ufo", "")), ("two", same)):
        path = two_hands(tmp_path / name / "book", text)
        place_book(path)
        export_book(path, tmp_path / name / "out", ["svg", "otf"])
    one, two = (
        {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}
        for folder in (tmp_path / "one/out", tmp_path / "two/out")
    )

    assert one == two
    assert len(one) == 3
    assert len(read_hands(read_book(path).book, path.parent).every) == 1


def test_characters_are_lacked_by_the_hand_of_their_line(tmp_path: Path) -> None:
    """A sign that only one hand has is refused in the other's lines alone, by that hand's name and place."""
    path = two_hands(tmp_path, TWO.replace("Not *me*!", "Not *me* ♥!").replace("Nobody a", "Nobody ♥ a"))
    own = typeface_hand("patrick-hand")
    heart = replace(own.takes["o"][0], name="heart", char="♥")
    write_hand(replace(own, takes={**own.takes, "♥": (heart,)}), tmp_path / "hand.ufo")

    with pytest.raises(BookError) as caught:
        place_book(path)

    (problem,) = caught.value.problems
    assert str(problem).startswith(f"{path}:16:9: the hand delius has no ♥, needed for 'Not me ♥!'.")
    assert laid(path).lacks == (("The hand delius has no ♥.",),)


def test_what_a_hand_needs_are_the_words_that_are_set_in_it(placed: Path, tmp_path: Path) -> None:
    """Told of each hand, asked for by a sheet and shown on the table: the z is Toad's, the W is Wren's."""
    base, book = placed.parent, read_book(placed).book
    said = {name: [line.says for line in lines_in(base / name, book, base)] for name in FACES}
    rows = " ".join(make_sheet(tmp_path / "sheet.pdf", book=placed))

    assert said["toad.ufo"] == ["Not *me*!", "Fuzzy old zoo!"]
    assert said["hand.ufo"][::2] == ["Who left a cello in the compost?", "Nobody answered."]
    assert len(lines_in(base / "other.ufo", book, base)) == len(book.spreads[0].lines)
    assert "z (has" in describe(base / "toad.ufo", placed)
    assert "z (has" not in describe(base / "hand.ufo", placed)
    assert "cello" in rows
    assert "zoo" not in rows
    pairs = hand_view(laid(placed))["pairs"]
    assert pairs
    assert all(any(pair in words for words in said["hand.ufo"]) for pair in pairs)


def test_a_bubble_that_is_moved_keeps_its_hand(placed: Path, result: LaidOut) -> None:
    """On the light table a line is drawn in its speaker's hand wherever it is dragged, in whatever rows."""
    desk = on_desk(opened(placed), 0)
    line = desk.finished.lines[4]
    for rows in desk.rows(5):
        move = moved(desk, 5, to=line.placement.centre + Vector(4.0, 2.0), rows=rows)

        assert outlines(move.line.stack) == pytest.approx(alone(move.line, "delius", result), abs=0.006)


def test_a_hand_is_changed_on_the_table(placed: Path, tmp_path: Path) -> None:
    """Typing another hand for Toad letters his lines anew; one that is not there is said and waited for."""
    path = copied(placed, tmp_path)
    one = laid(path)
    two = with_text(one, TWO.replace(", hand: toad.ufo", ""))
    none = with_text(two, TWO.replace("toad.ufo", "newt.ufo"))
    path.write_text(none.text, "utf-8")

    for state, face in ((one, "delius"), (two, "patrick-hand")):
        result = state.opened.result
        line = result.spreads[0].lines[1]
        assert outlines(line.stack) == pytest.approx(alone(line, face, result), abs=0.006)
    assert none.lacks == (("The hand of Toad is not there yet: gather a lettered page into newt.ufo.",),)
    with pytest.raises(LetteringError, match=r"the hand of toad is not there: newt\.ufo"):
        place_book(path)


def test_a_round_keeps_every_hand(placed: Path, tmp_path: Path) -> None:
    """A change of either hand is known by the digest, and both come back with the round."""
    path = copied(placed, tmp_path)
    before = {name: read_hand(path.parent / name) for name in FACES}
    digests = [folders_sha256([path.parent / name for name in FACES])]
    save(path, "first")
    for name in FACES:
        write_hand(typeface_hand("andika"), path.parent / name)
        digests.append(folders_sha256([path.parent / name for name in FACES]))
    restore(path, "first", with_hand=True)

    assert read_round(path, "first").hand_sha256 == digests[0]
    assert len(set(digests)) == 3
    assert {name: read_hand(path.parent / name) for name in FACES} == before
    assert compare_rounds(path, "first", "now").differences == ()
