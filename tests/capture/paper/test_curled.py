"""Sheets that bend on a desk, their edges in sight, against cylinders of closed form."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from lettering.capture.light import linear
from lettering.capture.page import Reading
from lettering.capture.paper.curled import bent_sheet
from lettering.capture.paper.curved_edges import CurvedEdges, curved_edges
from lettering.capture.paper.edges import paper_corners
from lettering.capture.paper.photo import laid_flat
from lettering.capture.read import read_page
from lettering.geometry.rect import Rect
from lettering.units import MM_PER_INCH
from tests.bent_page import Bend, BentPhoto, bent_photo, off_in_best_plane, off_their_places
from tests.capture.test_read import PAGE, misplaced
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface

ROWS = PAGE[1:7]
PPI = 200.0
BENDS = {
    "much": Bend(lean_degrees=20, radius=0.6, fill=0.72, desk=0.12),
    "from the side": Bend(lean_degrees=12, swing_degrees=5, radius=0.8, fill=0.72, desk=0.12),
    "wide, white desk": Bend(lean_degrees=-15, radius=1.0, fold=0.6, fill=0.72, desk=0.95),
    "a little": Bend(lean_degrees=20, radius=2.0, fill=0.72, desk=0.12),
    "near lens": Bend(lean_degrees=20, radius=0.6, fill=0.72, focal=0.8, desk=0.3),
}


@cache
def lettered(face: str = "indie-flower") -> SimulatedPage:
    """Return a page of six rows; by default in a face that no constant of the bend was chosen on."""
    lettering = Lettering(x_height_mm=5, spacing=0.06, wander=0.04, jitter=0.02, seed=3)
    return simulated_page(typeface(face), ROWS, lettering, Scan(ppi=PPI, grain=0))


@cache
def seen(bend: Bend) -> tuple[BentPhoto, CurvedEdges | None]:
    """Return a photo of the page and the edges that were followed in it."""
    photo = bent_photo(lettered(), bend, 1600)
    light = linear(photo.page.pixels)
    corners = paper_corners(light)
    assert corners is not None
    return photo, curved_edges(light, corners)


def size_mm(sim: SimulatedPage) -> tuple[float, float]:
    """Return the shorter and the longer side of the paper."""
    short, long = sorted(side / PPI * MM_PER_INCH for side in sim.coverage.shape)
    return short, long


@pytest.mark.parametrize("bend", BENDS.values(), ids=BENDS)
def test_curved_edges_are_followed_to_a_fraction_of_a_pixel(bend: Bend) -> None:
    """Each point of the upper and lower edge lies within a pixel of the true one, a fifth on average."""
    photo, edges = seen(bend)
    assert edges is not None
    height, width = photo.sim.coverage.shape
    for points, down in ((edges.upper, 0.0), (edges.lower, float(height))):
        true = np.stack(photo.seen(np.linspace(0, width, 4000), np.full(4000, down)), axis=-1)
        off = np.hypot(*(points[:, None] - true).transpose(2, 0, 1)).min(axis=1)

        assert off.mean() < 0.2
        assert off.max() < 1.0


@pytest.mark.parametrize("bend", BENDS.values(), ids=BENDS)
def test_points_of_a_bent_sheet_come_to_their_places(bend: Bend) -> None:
    """Points are off by 0.2 px on average and 0.7 at most; in the best plane by ten times as much."""
    photo, edges = seen(bend)
    assert edges is not None
    sheet = bent_sheet(edges, photo.page.pixels.shape)
    assert sheet is not None
    off = off_their_places(photo, sheet.laid_out())
    height, width = photo.sim.coverage.shape

    assert off.mean < 0.2
    assert off.most < 0.7
    assert off_in_best_plane(photo).mean > 10 * off.mean
    assert sheet.proportion == pytest.approx(width / height, rel=0.01)


@pytest.mark.parametrize(
    ("bend", "quarters"), [("much", 0), ("wide, white desk", 1)], ids=["rows", "columns"]
)
def test_letters_of_a_bent_sheet_are_read_at_their_size(bend: str, quarters: int) -> None:
    """Bent along rows or across: 98 % of letters right, none mislabelled, rows 17 mm apart (1 %)."""
    sim = lettered()
    photo = bent_photo(sim, BENDS[bend], 1800).page
    turned = replace(photo, pixels=np.rot90(photo.pixels, quarters).copy())
    flat = laid_flat(turned, size_mm(sim))
    page = read_page(replace(flat, pixels=np.rot90(flat.pixels, -quarters).copy()), Reading(ROWS))
    assert flat.ppi
    assert page.px_per_mm
    assert page.row_pitch_px
    k = flat.ppi / PPI
    letters = tuple(
        replace(a, box=Rect(a.box.x0 * k, a.box.y0 * k, a.box.x1 * k, a.box.y1 * k)) for a in sim.letters
    )

    assert misplaced(page, replace(sim, letters=letters, x_height_px=sim.x_height_px * k)) == []
    assert len(page.letters) >= 0.98 * len(sim.letters)
    assert page.row_pitch_px / page.px_per_mm == pytest.approx(3.4 * 5, rel=0.01)


def test_a_flat_sheet_has_no_curved_edges() -> None:
    """Straight edges are left to perspective alone."""
    assert seen(Bend(lean_degrees=20, fill=0.72, desk=0.12))[1] is None


def test_edges_that_no_single_bend_explains_are_told_apart() -> None:
    """A sheet whose lower edge alone is wavy is no cylinder, and is not taken for one."""
    photo, edges = seen(BENDS["much"])
    assert edges is not None
    wave = 12 * np.sin(np.linspace(0, 60, len(edges.lower)))
    wavy = replace(edges, lower=edges.lower + np.stack([0 * wave, wave], axis=-1))

    assert bent_sheet(wavy, photo.page.pixels.shape) is None
