"""Pages without an edge in sight made flat from their rows, against planes and cylinders of closed form."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from lettering.capture.light import linear
from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.photo import laid_flat
from lettering.capture.paper.unbent import Unbending, unbending_of, unbent
from lettering.capture.read import read_page
from tests.bent_page import Bend, BentPhoto, bent_photo, flat_truth, off_in_best_plane, off_their_places
from tests.capture.test_read import PAGE, misplaced, short_page
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface

ROWS = PAGE[1:7]
TILTED = Bend(lean_degrees=16, swing_degrees=-10, turn_degrees=-3, fill=0.9)
CURLED = Bend(lean_degrees=20, radius=0.6, fill=0.9)
LEANING = Bend(lean_degrees=12, swing_degrees=5, radius=0.8, fill=0.9)


@cache
def lettered() -> SimulatedPage:
    """Return a page of six rows, lettered evenly."""
    lettering = Lettering(x_height_mm=5, spacing=0.06)
    return simulated_page(typeface("patrick-hand"), ROWS, lettering, Scan(ppi=200, grain=0))


@cache
def seen(bend: Bend) -> tuple[BentPhoto, Unbending]:
    """Return a photo of the page, and how it was found to be bent."""
    photo = bent_photo(lettered(), bend, 1500)
    unbending = unbending_of(photo.page)
    assert unbending is not None
    return photo, unbending


def flat_rows(photo: BentPhoto, unbending: Unbending) -> list[tuple[np.ndarray, np.ndarray]]:
    """Return where the true baselines lie on the flat page, px, from their first letter to their last."""
    rows = []
    for number in range(len(ROWS)):
        letters = [letter for letter in lettered().letters if letter.row == number]
        across = np.linspace(letters[0].box.x0, letters[-1].box.x1, 60)
        rows.append(unbending.flat(*photo.seen(across, np.full(60, letters[0].baseline))))
    return rows


def x_height(photo: BentPhoto, unbending: Unbending) -> float:
    """Return the height of small letters on the flat page, px: the row pitch says it."""
    middles = [y.mean() for _, y in flat_rows(photo, unbending)]
    return float(np.diff(middles).mean() / Lettering().row_pitch)


@pytest.mark.parametrize("bend", [TILTED, CURLED], ids=["plane", "cylinder"])
def test_rows_are_straight_level_and_even(bend: Bend) -> None:
    """True baselines bend by at most 0.05 x-heights, slope by 0.5 degrees, and are evenly spaced to 3 %."""
    photo, unbending = seen(bend)
    unit = x_height(photo, unbending)
    rows = flat_rows(photo, unbending)
    lines = [np.polyfit(x, y, 1) for x, y in rows]
    bent = [np.abs(y - np.polyval(line, x)).max() for line, (x, y) in zip(lines, rows, strict=True)]
    gaps = np.diff([y.mean() for _, y in rows])

    assert max(bent) <= 0.05 * unit
    assert np.degrees(np.arctan([line[0] for line in lines])) == pytest.approx(0, abs=0.5)
    assert gaps == pytest.approx(gaps.mean(), rel=0.03)


@pytest.mark.parametrize(
    ("bend", "mean", "most"),
    [(TILTED, 3.5, 8), (CURLED, 4, 13), (LEANING, 2.5, 8)],
    ids=["plane", "cylinder", "wider"],
)
def test_points_of_the_paper_come_to_their_places(bend: Bend, mean: float, most: float) -> None:
    """Over the lettering, points are off by a few px of a page of 598,400 px (closed-form truth)."""
    off = off_their_places(*seen(bend))

    assert off.mean <= mean
    assert off.most <= most


def test_a_bend_is_undone_better_than_any_plane_could() -> None:
    """Points are on average less than half as far off as in the best projective map (scikit-image)."""
    for bend in (CURLED, LEANING):
        photo, unbending = seen(bend)

        assert off_their_places(photo, unbending).mean < 0.5 * off_in_best_plane(photo).mean


@pytest.mark.parametrize("bend", [TILTED, CURLED], ids=["plane", "cylinder"])
def test_letters_of_a_page_without_edges_are_read(bend: Bend) -> None:
    """At least 98 % of letters are right and none is mislabelled; the scale stays unknown."""
    photo, unbending = seen(bend)
    flat = laid_flat(photo.page)
    page = read_page(flat, Reading(ROWS))

    assert flat.ppi is None
    assert misplaced(page, flat_truth(photo, unbending, page.x_height_px)) == []
    assert len(page.letters) >= 0.98 * len(lettered().letters)


def test_letters_keep_their_proportion_across_the_bend() -> None:
    """The same width of paper is as wide on the flat page at the spine as elsewhere, within a tenth."""
    photo, unbending = seen(CURLED)
    width = lettered().coverage.shape[1]
    places = np.linspace(0.12, 0.88, 9) * width
    x, _ = unbending.flat(*photo.seen(places, np.full(9, lettered().coverage.shape[0] / 2)))

    assert np.diff(x) == pytest.approx(np.diff(x).mean(), rel=0.1)


def test_places_go_to_the_flat_page_and_back() -> None:
    """The two maps between picture and flat page are each other's inverse."""
    _, unbending = seen(CURLED)
    x, y = np.linspace(0.3, 0.7, 5) * unbending.size[1], np.linspace(0.3, 0.7, 5) * unbending.size[0]
    u, v = unbending.seen(x, y)
    back = unbending.flat(np.diag(u), np.diag(v))

    np.testing.assert_allclose(back, (x, y), atol=0.01)


def test_colour_comes_through_in_its_own_light() -> None:
    """A bent colour page shows, where its paper is, the light that the picture has there."""
    photo, unbending = seen(TILTED)
    grey = photo.page.pixels
    tinted = np.stack([grey, grey // 2, grey // 3], axis=-1).astype(np.uint8)
    flat = unbent(replace(photo.page, pixels=tinted))
    x, y = np.array([0.05]) * flat.pixels.shape[1], np.array([0.5]) * flat.pixels.shape[0]
    (u,), (v,) = (place[0] for place in unbending.seen(x, y))
    there, here = tinted[int(v), int(u)], flat.pixels[int(y[0]), int(x[0])]

    assert here / 257 == pytest.approx(there, abs=6)


@pytest.mark.parametrize("wander", [0.0, 0.06])
def test_a_flat_scan_is_returned_untouched(wander: float) -> None:
    """Straight rows, or rows that each wander on their own, are no bend: the very page comes back."""
    lettering = Lettering(x_height_mm=5, wander=wander, jitter=wander / 2)
    scan = simulated_page(typeface("patrick-hand"), ROWS, lettering, Scan(ppi=200)).page

    assert unbent(scan) is scan
    assert laid_flat(replace(scan, ppi=None)).pixels is scan.pixels


def test_rows_that_cannot_be_followed_are_left_alone() -> None:
    """A page lying sideways, one of two rows, and one of noise come back as they are."""
    sideways = replace(short_page().page, pixels=np.rot90(short_page().page.pixels).copy())
    few = simulated_page(typeface("patrick-hand"), ROWS[:2], Lettering(), Scan(ppi=200)).page
    noise = np.random.default_rng(1).integers(0, 255, (400, 500), dtype=np.uint8)

    for page in (sideways, few, PageImage(name="noise.png", pixels=noise, ppi=None)):
        assert unbent(page) is page


def test_light_is_mixed_as_light() -> None:
    """The flat page is neither lighter nor darker than its picture where paper is blank."""
    photo, _ = seen(CURLED)
    light, flat = linear(photo.page.pixels), linear(unbent(photo.page).pixels)

    assert np.median(flat) == pytest.approx(np.median(light), rel=0.05)
