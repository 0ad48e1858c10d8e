"""Whole pages read: open typefaces as lettering, the simulator's own record as truth."""

from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from lettering.capture.ink.ink import find_ink
from lettering.capture.ink.pieces import find_pieces
from lettering.capture.ink.sharpness import edge_px
from lettering.capture.letter import InkLetter, LetteredPage
from lettering.capture.letters.whole import Wholeness
from lettering.capture.page import PageImage, Reading
from lettering.capture.read import read_page
from lettering.errors import ReadingError
from tests.simulated_page import Lettering, Scan, SimulatedPage, TrueLetter, simulated_page, typeface

PAGE = (
    "a b c d e f g h i j k l m",
    "n o p q r s t u v w x y z",
    "Who left a cello in the compost?",
    "“Not me!” said Toad – isn’t it",
    "odd: we saw … five; jumpy foxes,",
    'don\'t "quite" vex a lazy café-owl.',
    "A B C D E F G H I J K L M N",
    "O P Q R S T U V W X Y Z ( & )",
    "0 1 2 3 4 5 6 7 8 9",
)
SHORT = ("Who left a cello", "in the compost?", "Not me, said Toad.", "It was the wren.")


@cache
def short_page() -> SimulatedPage:
    """Return a small clean page, 300 ppi."""
    return simulated_page(typeface("patrick-hand"), SHORT, Lettering(x_height_mm=5), Scan(ppi=300))


@cache
def short_read() -> LetteredPage:
    """Return what is read from the small clean page."""
    return read_page(short_page().page, Reading(SHORT))


def misplaced(page: LetteredPage, sim: SimulatedPage, slack: float = 0.2) -> list[TrueLetter]:
    """Return the true letters whose name was given to other ink: farther off than `slack` x-heights."""
    truth = {(letter.row, letter.place): letter for letter in sim.letters}
    pairs = [(letter, truth[letter.row, letter.place]) for letter in page.letters]
    assert all(letter.char == true.char for letter, true in pairs)
    return [true for letter, true in pairs if farthest_edge(letter, true) > slack * sim.x_height_px]


def farthest_edge(letter: InkLetter, true: TrueLetter) -> float:
    """Return how far the letter's ink box strays from the glyph's own bounds, px."""
    rows, columns = (np.flatnonzero((letter.coverage > 0.5).any(axis=axis)) for axis in (1, 0))
    found = (
        letter.left + columns[0],
        letter.top + rows[0],
        letter.left + columns[-1] + 1,
        letter.top + rows[-1] + 1,
    )
    wanted = (true.box.x0, true.box.y0, true.box.x1, true.box.y1)
    return float(np.abs(np.subtract(found, wanted)).max())


def named(letters: Iterable[InkLetter]) -> str:
    """Return the characters of letters in their order."""
    return "".join(letter.char for letter in letters)


@pytest.mark.parametrize(
    ("name", "ppi"), [("patrick-hand", 400), ("delius", 300), ("schoolbell", 300), ("andika", 300)]
)
def test_every_letter_of_a_flat_scan_is_found_under_its_name(name: str, ppi: float) -> None:
    """All letters of a page lettered apart are found; none carries another's name (typefaces as truth)."""
    lettering = Lettering(x_height_mm=3.5, spacing=0.06, wander=0.04, jitter=0.02)
    sim = simulated_page(typeface(name), PAGE, lettering, Scan(ppi=ppi))
    page = read_page(sim.page, Reading(PAGE))

    assert misplaced(page, sim) == []
    assert len(page.letters) >= 0.995 * len(sim.letters)
    assert page.x_height_px == pytest.approx(sim.x_height_px, rel=0.03)


def test_touching_letters_are_cut_at_the_join_or_set_aside() -> None:
    """On a page where many letters touch none is named wrongly, and those not cut are listed."""
    sim = simulated_page(typeface("gochi-hand"), PAGE[2:6], Lettering(x_height_mm=5), Scan(ppi=300))
    page = read_page(sim.page, Reading(PAGE[2:6]))

    assert misplaced(page, sim, slack=0.35) == []
    assert len(page.letters) + len(page.set_aside) == len(sim.letters)
    assert len(page.letters) > 0.8 * len(sim.letters)


def test_letters_that_touch_and_cannot_be_cut_are_shown_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """When no cut is safe the first of a run carries the ink of all, where the true letters are."""
    monkeypatch.setattr(Wholeness, "of_cut", lambda whole, row, cut, numbers: (False,) * len(cut.parts))
    sim = simulated_page(typeface("gochi-hand"), PAGE[2:6], Lettering(x_height_mm=5), Scan(ppi=300))
    page = read_page(sim.page, Reading(PAGE[2:6]))
    truth = {(letter.row, letter.place): letter.box for letter in sim.letters}
    shown = [letter.ink for letter in page.set_aside if letter.ink]

    assert len(shown) > 5
    assert sum(len(ink.char) for ink in shown) == len(page.set_aside)
    for ink in shown:
        boxes = [truth[ink.row, ink.place + k] for k in range(len(ink.char))]
        inked = np.flatnonzero((ink.coverage > 0.5).any(axis=0))
        assert "".join(PAGE[2 + ink.row][ink.place + k] for k in range(len(boxes))) == ink.char
        assert ink.left + inked[0] == pytest.approx(boxes[0].x0, abs=3)
        assert ink.left + inked[-1] + 1 == pytest.approx(max(box.x1 for box in boxes), abs=3)


def test_ink_that_the_reading_does_not_name_is_shown() -> None:
    """A letter that stands beyond the end of its row is set aside without a name, with its own ink."""
    sim = short_page()
    boxes = {letter.place: letter.box for letter in sim.letters if letter.row == 0}
    one = boxes[4]
    top, bottom, left, right = int(one.y0) - 3, int(one.y1) + 3, int(one.x0) - 3, int(one.x1) + 3
    away = int(boxes[15].x1) + 100 - left
    pixels = sim.page.pixels.copy()
    pixels[top:bottom, left + away : right + away] = pixels[top:bottom, left:right]
    (aside,) = read_page(replace(sim.page, pixels=pixels), Reading(SHORT)).set_aside
    assert aside.ink
    columns = np.flatnonzero((aside.ink.coverage > 0.5).any(axis=0))

    assert (aside.char, aside.ink.char, aside.row) == ("", "", 0)
    assert aside.reason == "ink that the reading does not name"
    assert aside.ink.left + columns[0] == pytest.approx(one.x0 + away, abs=2)


def test_letters_come_in_reading_order_with_their_places() -> None:
    """Letters follow the reading, and their places count its spaces."""
    page = short_read()

    assert named(page.letters) == "".join(SHORT).replace(" ", "")
    assert all(SHORT[letter.row][letter.place] == letter.char for letter in page.letters)


def test_a_letter_is_alone_on_its_paper() -> None:
    """The coverage of a letter adds up to its glyph's own area, neighbours left out."""
    sim = short_page()
    page = short_read()
    for letter, true in zip(page.letters, sim.letters, strict=True):
        box = tuple(map(round, (true.box.y0 - 1, true.box.y1 + 1, true.box.x0 - 1, true.box.x1 + 1)))
        area = float(sim.coverage[box[0] : box[1], box[2] : box[3]].sum())

        assert float(letter.coverage.sum()) == pytest.approx(area, rel=0.06, abs=30)


def test_baselines_and_heights_are_those_of_the_typeface() -> None:
    """Baseline, x-height, pitch and scale agree with what the page was set with."""
    sim = short_page()
    page = short_read()
    off = [letter.baseline - true.baseline for letter, true in zip(page.letters, sim.letters, strict=True)]

    assert np.abs(off).max() < 0.03 * sim.x_height_px
    assert page.x_height_px == pytest.approx(sim.x_height_px, rel=0.02)
    assert page.row_pitch_px == pytest.approx(3.4 * sim.x_height_px, rel=0.01)
    assert page.px_per_mm == pytest.approx(300 / 25.4)


def test_a_given_x_height_overrides_the_picture_s_resolution() -> None:
    """Scale comes from the height she measured when she gives it."""
    page = read_page(short_page().page, Reading(SHORT), x_height_mm=10)

    assert page.px_per_mm == pytest.approx(page.x_height_px / 10)


@pytest.mark.parametrize("slope", [-5.0, 3.0])
def test_slanting_rows_are_followed(slope: float) -> None:
    """Rows that climb or sink are read, and the slope of the baseline is known."""
    lettering = Lettering(x_height_mm=5, slope_degrees=slope)
    sim = simulated_page(typeface("patrick-hand"), SHORT, lettering, Scan(ppi=300))
    page = read_page(sim.page, Reading(SHORT))

    assert misplaced(page, sim) == []
    assert len(page.letters) == len(sim.letters)
    assert np.median([a.slope for a in page.letters]) == pytest.approx(np.tan(np.radians(slope)), abs=0.01)


@pytest.mark.parametrize(
    "scan",
    [
        Scan(ppi=300, light_fall=0.5),
        Scan(ppi=300, paper=(0.83, 0.75, 0.6), ink=(0.25, 0.1, 0.05)),
        Scan(ppi=300, ink=(0.35, 0.35, 0.36)),
        Scan(ppi=300, grain_size_px=1.0),
    ],
    ids=["uneven light", "sepia on cream", "pencil", "coarse grain"],
)
def test_any_pen_on_any_paper_is_read(scan: Scan) -> None:
    """Uneven light, coloured ink and paper, pale pencil and coarse grain change nothing."""
    sim = simulated_page(typeface("patrick-hand"), SHORT, Lettering(x_height_mm=5), scan)
    page = read_page(sim.page, Reading(SHORT))

    assert named(page.letters) == "".join(SHORT).replace(" ", "")
    assert misplaced(page, sim) == []


def test_dust_and_sketches_are_ignored() -> None:
    """Specks anywhere and a drawing below the rows are no letters when the reading is silent on them."""
    lettering = Lettering(x_height_mm=5, margin=6)
    sim = simulated_page(typeface("patrick-hand"), SHORT, lettering, Scan(ppi=300))
    pixels = sim.page.pixels.copy()
    rng = np.random.default_rng(3)
    for y, x in rng.integers(5, np.array(pixels.shape) - 5, (40, 2)):
        pixels[y : y + 3, x : x + 3] = 60
    down, across = np.ogrid[: pixels.shape[0], : pixels.shape[1]]
    radius = np.hypot(down - pixels.shape[0] + 150, across - pixels.shape[1] + 200)
    pixels[(radius > 90) & (radius < 97)] = 40
    page = read_page(replace(sim.page, pixels=pixels), Reading(SHORT))

    assert len(page.letters) == len(sim.letters)
    assert misplaced(page, sim) == []


@pytest.mark.parametrize(("row", "place"), [(0, 0), (0, 14), (1, 9), (2, 14), (3, 11), (3, 15)])
def test_a_letter_that_the_reading_lacks_is_reported(row: int, place: int) -> None:
    """Ink that the reading does not name never hides in the letter beside it: its row is listed."""
    rows = [list(text) for text in SHORT]
    del rows[row][place]
    page = read_page(short_page().page, Reading(tuple("".join(text) for text in rows)))

    assert {letter.row for letter in page.set_aside} == {row}
    assert all(abs(letter.place - place) <= 3 for letter in page.set_aside)


def test_a_word_that_the_reading_lacks_is_refused() -> None:
    """A row with a word more than its reading is refused with its number."""
    with pytest.raises(ReadingError, match="row 3"):
        read_page(short_page().page, Reading((SHORT[0], SHORT[1], "Not me, Toad.", SHORT[3])))


def test_a_slip_in_the_reading_never_becomes_a_letter() -> None:
    """An o that is typed as a is set aside, since it looks like her o and not like her a."""
    page = read_page(short_page().page, Reading(("Wha left a cello", *SHORT[1:])))

    assert [(letter.row, letter.place, letter.reason) for letter in page.set_aside] == [
        (0, 2, "could be another letter")
    ]
    (ink,) = (letter.ink for letter in page.set_aside)
    true = next(one for one in short_page().letters if (one.row, one.place) == (0, 2))
    assert ink
    assert farthest_edge(ink, true) < 0.1 * short_page().x_height_px


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        (SHORT[:3], "4 rows of lettering were found, and the reading has 3"),
        ((*SHORT, "More"), "4 rows of lettering were found, and the reading has 5"),
        ((*SHORT[:2], "We went out today then", SHORT[3]), "row 3 of the reading does not fit"),
        ((SHORT[1], SHORT[0], *SHORT[2:]), "row 1 of the reading does not fit"),
    ],
    ids=["too few rows", "too many rows", "another row", "rows swapped"],
)
def test_a_reading_of_another_page_is_refused(rows: tuple[str, ...], message: str) -> None:
    """What does not fit is named by its row, and nothing is taken."""
    with pytest.raises(ReadingError, match=message):
        read_page(short_page().page, Reading(rows))


@pytest.mark.parametrize(
    ("pixels", "message"),
    [
        (np.zeros((300, 400), dtype=np.uint8), "black"),
        (np.full((300, 400), 230, dtype=np.uint8), "no ink"),
        (np.full((1, 1), 255, dtype=np.uint8), "no ink"),
        (np.random.default_rng(1).normal(228, 5, (300, 400)).astype(np.uint8), "no ink"),
        (np.random.default_rng(1).integers(0, 256, (300, 400)).astype(np.uint8), "no ink|strokes are"),
    ],
    ids=["black", "white", "one pixel", "bare paper", "noise"],
)
def test_a_picture_without_lettering_is_refused(pixels: np.ndarray, message: str) -> None:
    """A picture with nothing to read ends in words, not in letters."""
    with pytest.raises(ReadingError, match=message):
        read_page(PageImage(name="page.png", pixels=pixels, ppi=None), Reading(SHORT))


def test_strokes_too_thin_to_follow_are_refused_with_their_width() -> None:
    """A scan of too low a resolution says how wide the strokes are and what is needed."""
    sim = simulated_page(typeface("patrick-hand"), SHORT, Lettering(x_height_mm=3), Scan(ppi=60))
    with pytest.raises(ReadingError, match=r"strokes are \d\.\d px wide; at least 3 are needed"):
        read_page(sim.page, Reading(SHORT))


def test_a_picture_blurred_beyond_use_is_refused_with_its_measures() -> None:
    """Strokes that the blur has eaten are refused with the width of edges and strokes, not misread."""
    scan = Scan(ppi=300, blur_px=4.5)
    sim = simulated_page(typeface("patrick-hand"), SHORT, Lettering(x_height_mm=5), scan)
    with pytest.raises(ReadingError, match=r"blurred: edges are \d+\.\d px wide; strokes of \d+\.\d px need"):
        read_page(sim.page, Reading(SHORT))


@pytest.mark.parametrize("blur", [0.7, 1.5])
def test_the_width_of_edges_is_that_of_the_blur(blur: float) -> None:
    """From a tenth to nine tenths of ink an edge is 2.56 deviations of its blur wide (closed form)."""
    scan = Scan(ppi=300, blur_px=blur, grain=0.005)
    page = simulated_page(typeface("patrick-hand"), SHORT[:2], Lettering(x_height_mm=5), scan).page
    ink = find_ink(page)
    deviation = np.hypot(blur, 12**-0.5)  # the pixel's own box blurs by 1/12

    assert edge_px(ink, find_pieces(ink.mask(), page)) == pytest.approx(2.56 * deviation, rel=0.15)


def test_glare_on_the_ink_leaves_letters_out_and_says_which() -> None:
    """Letters under a bright spot are listed by row and place; no other ink takes their names."""
    sim = short_page()
    pixels = sim.page.pixels.copy()
    gone = next(letter for letter in sim.letters if (letter.row, letter.place) == (2, 2))
    box = gone.box
    pixels[int(box.y0) - 6 : int(box.y1) + 6, int(box.x0) - 6 : int(box.x1) + 6] = 255
    page = read_page(replace(sim.page, pixels=pixels), Reading(SHORT))

    assert (2, 2) in [(letter.row, letter.place) for letter in page.set_aside]
    assert misplaced(page, sim) == []


def test_deep_and_coloured_pictures_read_like_grey_ones() -> None:
    """Sixteen bits or three equal colours give the same letters as eight bits of grey."""
    grey = short_page().page
    deep = replace(grey, pixels=grey.pixels.astype(np.uint16) * 257)
    colour = replace(grey, pixels=np.repeat(grey.pixels[..., None], 3, axis=2))
    wanted = short_read()
    for page in (deep, colour):
        found = read_page(page, Reading(SHORT))

        assert named(found.letters) == named(wanted.letters)
        np.testing.assert_allclose(found.letters[5].coverage, wanted.letters[5].coverage, atol=1e-4)


def test_reading_a_page_twice_gives_the_same() -> None:
    """The same page and reading give the same letters to the last bit."""
    first, second = short_read(), read_page(short_page().page, Reading(SHORT))

    assert all(
        np.array_equal(a.coverage, b.coverage) for a, b in zip(first.letters, second.letters, strict=True)
    )
    assert [a.baseline for a in first.letters] == [b.baseline for b in second.letters]


ACCENTS = (
    "é è ê ë à â ä ç î ï ô ö",
    "û ù ü ñ á í ó ú å æ ø",
    "É È À Ç Ö Ü Ä Ñ Å",
    "über Äpfel señor garçon",
    "été où naïve forêt ça là",
)


@pytest.mark.parametrize("name", ["patrick-hand", "indie-flower"])
def test_letters_that_differ_by_their_accents_alone_are_taken(name: str) -> None:
    """Accented letters that are drawn once or twice are read whole and none is doubted."""
    sim = simulated_page(typeface(name), ACCENTS, Lettering(spacing=0.05, unsteady=0.02), Scan(ppi=300))
    page = read_page(sim.page, Reading(ACCENTS))

    assert [letter.char for letter in page.letters] == [letter.char for letter in sim.letters]


def test_rows_of_marks_hang_where_their_text_says() -> None:
    """In a row of quotation marks, dashes and the like hardly anything stands on the baseline."""
    rows = ("the quick brown fox", "‘ ’ / *", ". , ! ? : ; - – — … ( )", "over the lazy dog")
    page = read_page(simulated_page(typeface("delius"), rows, scan=Scan(ppi=300)).page, Reading(rows))
    taken = [letter.char for letter in page.letters if letter.row in (1, 2)]

    assert taken == list("‘’/*.,!?:;-–—…()")
