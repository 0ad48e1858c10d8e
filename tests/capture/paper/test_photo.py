"""Photos of pages on a desk, against a camera of known place."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from lettering.capture.light import linear
from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.edges import paper_corners
from lettering.capture.paper.photo import laid_flat, proportion, to_picture
from lettering.capture.read import read_page
from lettering.capture.turned import read_any_way_up
from lettering.errors import ImageError, ReadingError
from lettering.geometry.rect import Rect
from tests.capture.test_read import SHORT, misplaced, short_page
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface
from tests.simulated_photo import Phone, SimulatedPhoto, photographed

PHONE = Phone(width_px=1300, height_px=1000, fill=0.82)


@cache
def lettered() -> SimulatedPage:
    """Return a page of four rows without grain of its own."""
    return simulated_page(typeface("patrick-hand"), SHORT, Lettering(x_height_mm=5), Scan(ppi=200, grain=0))


@cache
def photo(phone: Phone = PHONE) -> SimulatedPhoto:
    """Return the page before a camera."""
    return photographed(lettered(), phone=phone)


def true_corners(taken: SimulatedPhoto) -> np.ndarray:
    """Return where the camera sees the corners of the page, clockwise from the upper left (closed form)."""
    width, height = taken.size_mm
    seen = taken.to_picture @ np.array([[0, width, width, 0], [0, 0, height, height], [1, 1, 1, 1]])
    return np.asarray((seen[:2] / seen[2]).T)


def seen_flat(page: PageImage) -> SimulatedPage:
    """Return what is truly on the page at the scale of its flattened photo."""
    sim = lettered()
    assert page.ppi
    assert sim.page.ppi
    k = page.ppi / sim.page.ppi
    letters = tuple(
        replace(a, box=Rect(a.box.x0 * k, a.box.y0 * k, a.box.x1 * k, a.box.y1 * k)) for a in sim.letters
    )
    return replace(sim, letters=letters, x_height_px=sim.x_height_px * k)


@pytest.mark.parametrize(
    "phone",
    [
        PHONE,
        replace(PHONE, desk=(0.9, 0.9, 0.95), warm=(1, 1, 1), shadow=1.0),
        replace(PHONE, tilt_degrees=-22.0, turn_degrees=-9.0),
    ],
    ids=["dark desk, warm lamp, hard shadow", "white desk", "leaning the other way"],
)
def test_the_edges_of_the_page_are_found_to_a_fraction_of_a_pixel(phone: Phone) -> None:
    """All four corners lie within half a pixel of where the camera sees them (closed form)."""
    taken = photo(phone)
    corners = paper_corners(linear(taken.page.pixels))

    assert corners is not None
    assert np.hypot(*(corners - true_corners(taken)).T).max() < 0.5


def test_every_point_of_the_paper_is_where_the_camera_saw_it() -> None:
    """The map from paper to picture is off by 0.3 px on average and 0.6 px at most (closed form)."""
    taken = photo()
    corners = paper_corners(linear(taken.page.pixels))
    assert corners is not None
    width, height = taken.size_mm
    x, y = np.meshgrid(np.linspace(0, width, 20), np.linspace(0, height, 20))
    paper = np.stack([x.ravel(), y.ravel(), np.ones(x.size)])
    found, true = to_picture(corners, taken.size_mm) @ paper, taken.to_picture @ paper
    off = np.hypot(*(found[:2] / found[2] - true[:2] / true[2]))

    assert off.mean() < 0.3
    assert off.max() < 0.6


def test_a_photo_is_read_as_if_it_were_a_scan() -> None:
    """Under a warm lamp, tilted and half in shadow, letters are found where they are or else listed."""
    taken = photo()
    flat = laid_flat(taken.page, (min(taken.size_mm), max(taken.size_mm)))
    page = read_page(flat, Reading(SHORT))

    assert misplaced(page, seen_flat(flat)) == []
    assert len(page.letters) + len(page.set_aside) == len(lettered().letters)
    assert len(page.letters) >= 0.95 * len(lettered().letters)
    assert page.px_per_mm is not None
    assert page.x_height_px / page.px_per_mm == pytest.approx(5, rel=0.02)


def test_proportions_follow_from_the_perspective_alone() -> None:
    """A page of unknown size comes out in its own proportion (exact corners of a known camera)."""
    phone = replace(PHONE, tilt_degrees=25.0, turn_degrees=20.0)
    taken = photo(phone)
    width, height = taken.size_mm

    shape = proportion(true_corners(taken), (phone.width_px, phone.height_px))

    assert shape == pytest.approx(width / height, rel=0.01)


def test_a_page_seen_straight_on_has_the_proportion_of_its_sides() -> None:
    """Where perspective says nothing the lengths of the sides do (closed form)."""
    corners = np.array([[100.0, 100], [400, 100], [400, 500], [100, 500]])

    assert proportion(corners, (600, 700)) == pytest.approx(0.75)


def test_the_map_of_a_paper_takes_its_corners_to_the_picture_s() -> None:
    """Four corners fix a projective map (definition)."""
    corners = np.array([[10.0, 20], [300, 40], [280, 390], [30, 350]])
    matrix = to_picture(corners, (210, 297))
    across, down, depth = matrix @ np.array([[0, 210, 210, 0], [0, 0, 297, 297], [1, 1, 1, 1]])

    np.testing.assert_allclose(np.stack([across / depth, down / depth], axis=-1), corners)


def test_other_paper_than_named_is_refused() -> None:
    """A page that cannot be the paper that was named is refused with both proportions."""
    with pytest.raises(ImageError, match=r"times as long as wide; the paper named is 3\.00 times"):
        laid_flat(photo().page, (100, 300))


def test_a_scan_is_its_own_page() -> None:
    """A scan comes back as it is; with its paper named and no resolution of its own it gets that scale."""
    scan = short_page().page
    height, width = scan.pixels.shape
    bare = replace(scan, ppi=None)

    assert laid_flat(scan) is scan
    assert laid_flat(bare) is bare
    named = laid_flat(bare, (min(height, width) / 300 * 25.4, max(height, width) / 300 * 25.4))
    assert named.ppi == pytest.approx(300, rel=0.01)


def test_a_frame_drawn_on_the_paper_is_not_its_edge() -> None:
    """A box ruled round the lettering leaves the page whole."""
    pixels = short_page().page.pixels.copy()
    for edge in (np.s_[30:34, 30:-30], np.s_[-34:-30, 30:-30], np.s_[30:-30, 30:34], np.s_[30:-30, -34:-30]):
        pixels[edge] = 40
    bare = PageImage(name="page.png", pixels=pixels, ppi=None)

    assert laid_flat(bare) is bare


def test_a_page_the_wrong_way_up_is_turned_by_its_reading() -> None:
    """Lying on its side, the page gives the letters of the upright one; upside down see bad input."""
    scan = short_page().page
    turned = replace(scan, pixels=np.ascontiguousarray(np.rot90(scan.pixels, 3)))
    page = read_any_way_up(turned, Reading(SHORT))

    assert misplaced(page, short_page()) == []
    assert len(page.letters) == len(short_page().letters)


def test_a_reading_of_another_page_is_refused_whichever_way_up() -> None:
    """Turning helps no reading that is of another page, and the refusal is that of the page as it lies."""
    with pytest.raises(ReadingError, match="4 rows of lettering were found, and the reading has 3"):
        read_any_way_up(short_page().page, Reading(SHORT[:3]))
