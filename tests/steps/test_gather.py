"""Gathering: from pages on disk to a hand on disk."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.errors import ImageError, LetteringError, ReadingError
from lettering.geometry.contour import Contour
from lettering.geometry.region import Region
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.steps.gather import X_HEIGHT_UNITS, gather
from lettering.storage.ufo import read_hand
from tests.simulated_page import Lettering, Scan, simulated_page, typeface
from tests.typeface_hand import typeface_hand

ROWS = ("abcdefghijklm", "nopqrstuvwxyz", "ABCDEGHKRS 257", "The quick hen, at noon!")


def page_on_disk(folder: Path, name: str = "page", rows: tuple[str, ...] = ROWS, ppi: float = 300) -> Path:
    """Write a scan of `rows` in an open typeface, and its reading, and return the path of the scan."""
    folder.mkdir(parents=True, exist_ok=True)
    made = simulated_page(
        typeface("patrick-hand"), rows, Lettering(x_height_mm=5, spacing=0.12), Scan(ppi=ppi)
    )
    path = folder / f"{name}.png"
    Image.fromarray(made.page.pixels).save(path, dpi=(ppi, ppi))
    path.with_suffix(".txt").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def gathered(page: Path, into: Path) -> Hand:
    """Gather one page and return the hand as it is kept on disk."""
    gather([page], [page.with_suffix(".txt")], into)
    return read_hand(into)


def files(path: Path) -> dict[str, bytes]:
    """Return every file below a folder."""
    return {str(p.relative_to(path)): p.read_bytes() for p in sorted(path.rglob("*")) if p.is_file()}


def origin(take: Take) -> tuple[str, str, int, int]:
    """Return the name of a take and where it was drawn."""
    assert take.source is not None
    return take.name, take.source.page, take.source.row, take.source.place


@cache
def region(contours: tuple[Contour, ...]) -> Region:
    """Return the area inside an outline, font units."""
    return Region.of_contours(contours, 0.5)


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A scanned page with its reading beside it."""
    return page_on_disk(tmp_path_factory.mktemp("page"))


@pytest.fixture(scope="module")
def ufo(page: Path) -> Path:
    """The hand gathered from the page."""
    into = page.parent / "hand.ufo"
    gather([page], [page.with_suffix(".txt")], into)
    return into


def test_every_letter_of_a_page_becomes_a_take(ufo: Path) -> None:
    """All letters of the reading are in the hand, as often as they were lettered."""
    hand = read_hand(ufo)
    lettered = "".join(ROWS).replace(" ", "")

    assert {char: len(takes) for char, takes in hand.takes.items()} == {
        char: lettered.count(char) for char in set(lettered)
    }


def test_outlines_are_those_of_the_typeface(ufo: Path) -> None:
    """Traced letters cover the typeface's own outlines (SIL OFL, tests/typefaces): 97 % in common or more."""
    hand, truth = read_hand(ufo), typeface_hand("patrick-hand")
    scale = X_HEIGHT_UNITS / truth.metrics.x_height
    for char in "aegoxhkntR5":
        mine, own = hand.takes[char][0].outline, truth.takes[char][0].outline
        box = own.bounds
        shift = mine.bounds.x0 - box.x0 * scale
        moved = tuple(Contour(c.knots * scale + (shift, 0.0)) for c in own.contours)
        traced = region(mine.contours)
        both = traced.intersection(region(moved)).area
        either = traced.area + region(moved).area - both

        assert both / either > 0.93, char


def test_the_size_on_paper_comes_from_the_resolution(ufo: Path) -> None:
    """A page lettered 5 mm high and scanned at 300 ppi gives a hand of 5 mm."""
    hand = read_hand(ufo)

    assert hand.mm_per_unit is not None
    assert hand.mm_per_unit * hand.metrics.x_height == pytest.approx(5.0, rel=0.02)


def test_the_same_page_gives_the_same_bytes_gathered_again(page: Path, ufo: Path, tmp_path: Path) -> None:
    """Gathering a page into a hand that has it already changes no file."""
    before = files(ufo)
    gather([page], [page.with_suffix(".txt")], ufo)

    assert files(ufo) == before


def test_another_page_adds_takes_and_keeps_the_first(ufo: Path, tmp_path: Path) -> None:
    """Letters of a second page become further takes; the usual takes stay what they were."""
    before = read_hand(ufo)
    more = page_on_disk(tmp_path, "more", ("seven hens at noon",))
    gather([more], [more.with_suffix(".txt")], ufo)
    after = read_hand(ufo)

    assert len(after.takes["n"]) == len(before.takes["n"]) + 4
    for char, takes in before.takes.items():
        assert [origin(take) for take in after.takes[char]][: len(takes)] == [origin(take) for take in takes]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda rows: rows[:-1], "row"),
        (lambda rows: (*rows, "one row more"), "row"),
        (lambda rows: ("", ""), "empty"),
    ],
    ids=["fewer rows", "more rows", "nothing"],
)
def test_a_reading_that_does_not_fit_is_refused_and_the_hand_untouched(
    page: Path, tmp_path: Path, change: object, said: str
) -> None:
    """Wrong readings are refused with their place, and no hand is written."""
    assert callable(change)
    reading = tmp_path / "reading.txt"
    reading.write_text("\n".join(change(ROWS)), encoding="utf-8")

    with pytest.raises(ReadingError, match=said):
        gather([page], [reading], tmp_path / "hand.ufo")
    assert not (tmp_path / "hand.ufo").exists()


def test_pages_and_readings_must_be_as_many(page: Path, tmp_path: Path) -> None:
    """A page with one reading too many is refused before anything is read."""
    reading = page.with_suffix(".txt")
    with pytest.raises(LetteringError, match="1 page and 2 readings"):
        gather([page], [reading, reading], tmp_path / "hand.ufo")


def test_a_page_that_is_all_black_is_refused(tmp_path: Path) -> None:
    """A black picture has no letters, and is said to."""
    path = tmp_path / "black.png"
    Image.fromarray(np.zeros((400, 600), dtype=np.uint8)).save(path, dpi=(300, 300))
    reading = tmp_path / "black.txt"
    reading.write_text("words", encoding="utf-8")

    with pytest.raises((ReadingError, ImageError)):
        gather([path], [reading], tmp_path / "hand.ufo")


@pytest.mark.parametrize("level", [-0.1, 1.5, float("nan")])
def test_a_clean_level_out_of_range_is_refused(page: Path, tmp_path: Path, level: float) -> None:
    """What is not from 0 to 1 is refused in words, before anything is written."""
    with pytest.raises(LetteringError, match="from 0 to 1"):
        gather([page], [page.with_suffix(".txt")], tmp_path / "hand.ufo", clean=level)

    assert not (tmp_path / "hand.ufo").exists()


def test_a_cleaner_hand_has_fewer_pieces(page: Path, ufo: Path, tmp_path: Path) -> None:
    """The clean level reaches the outlines: the same letters, drawn with fewer pieces."""
    gather([page], [page.with_suffix(".txt")], tmp_path / "clean.ufo", clean=1.0)

    exact, clean = (
        {t.name: pieces(t) for ts in read_hand(h).takes.values() for t in ts}
        for h in (ufo, tmp_path / "clean.ufo")
    )
    assert clean.keys() <= exact.keys()
    assert sum(clean.values()) < 0.9 * sum(exact[name] for name in clean)


def pieces(take: Take) -> int:
    """Return how many curves a take is drawn with."""
    return sum(map(len, take.outline.contours))
