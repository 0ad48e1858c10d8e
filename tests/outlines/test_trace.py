"""Tracing against shapes of known equation and against the outlines of open typefaces."""

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.outlines.glyph_space import smooth_joins
from lettering.outlines.nodes import Nodes, following
from lettering.outlines.refine import refined
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scanner, coverage_of, scans

NOISE = 6 / 210
Inside = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.bool_]]


def noisy(inside: Inside, size: int = 64, seed: int = 0, noise: float = NOISE) -> NDArray[np.float32]:
    """Return the scan of a shape with noise."""
    clean = coverage_of(inside, size)
    return (clean + np.random.default_rng(seed).normal(0, noise, clean.shape)).astype(np.float32)


def disc(radius: float, x0: float = 32.2, y0: float = 31.6) -> Inside:
    """Return a disc."""
    return lambda x, y: (x - x0) ** 2 + (y - y0) ** 2 < radius**2


def stadium(radius: float, slant: float) -> Inside:
    """Return a stroke of a round pen, 2 radius thick, 24 px from centre to centre."""

    def inside(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        u = (x - 32.3) * math.cos(slant) + (y - 31.8) * math.sin(slant)
        v = (y - 31.8) * math.cos(slant) - (x - 32.3) * math.sin(slant)
        return np.asarray((u - np.clip(u, -12, 12)) ** 2 + v**2 < radius**2)

    return inside


def wedge(degrees: float) -> Inside:
    """Return a wedge with its point at (12.3, 32.2), opening to the right as far as x = 52."""
    half = math.tan(math.radians(degrees / 2))
    return lambda x, y: (np.abs(y - 32.2) < half * (x - 12.3)) & (x < 52)


def kinks(contour: Contour) -> NDArray[np.float64]:
    """Return the turn at each start of a piece, degrees."""
    p = contour.pieces
    into, out = np.roll(p[:, 3] - p[:, 2], 1, axis=0), p[:, 1] - p[:, 0]
    cross = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0]
    return np.degrees(np.arctan2(cross, (into * out).sum(axis=1)))


def test_a_disc_is_traced_within_the_noise_and_smooth() -> None:
    """A disc comes back smooth, at its radius by closed form, from few pieces."""
    (outline,) = trace(noisy(disc(20)), noise=NOISE)

    points = outline.flattened(0.001)
    off = np.hypot(points[:, 0] - 32.2, points[:, 1] - 31.6) - 20
    # Cramér-Rao for this blur and noise: 0.047 px over the root of the px of edge that tell a number;
    # the radius has all 126, each of a score of numbers a twentieth of them. Twice and 1.6 times that:
    assert abs(off.mean()) < 0.009
    assert off.std() < 0.03
    assert len(outline) <= 6
    assert smooth_joins(outline).all()


def test_a_small_disc_is_not_shrunk_by_blur() -> None:
    """The blur's pull on a bend of 5 px is undone: the area agrees with the closed form."""
    (outline,) = trace(noisy(disc(5), noise=0.005), noise=0.005)

    assert outline.area == pytest.approx(math.pi * 25, rel=0.006)


def test_a_square_keeps_its_four_corners() -> None:
    """A square has four corners of 90 degrees at their places and straight sides."""
    (outline,) = trace(noisy(lambda x, y: (abs(x - 32.2) < 15) & (abs(y - 31.7) < 15)), noise=NOISE)

    sharp = np.abs(kinks(outline)) > 45
    found = outline.pieces[sharp, 0]
    wanted = np.array([(17.2, 16.7), (47.2, 16.7), (47.2, 46.7), (17.2, 46.7)])
    assert sharp.sum() == 4
    assert np.linalg.norm(found[:, None] - wanted, axis=2).min(axis=0).max() < 0.2
    assert np.abs(np.abs(kinks(outline)[sharp]) - 90).max() < 4
    assert outline.area == pytest.approx(900, abs=4)


def test_a_wedge_of_thirty_degrees_keeps_its_point() -> None:
    """The point of a 30 degree wedge, which blur draws back by more than a px, is found again."""
    (outline,) = trace(noisy(wedge(30)), noise=NOISE)

    tip = outline.pieces[np.argmin(outline.pieces[:, 0, 0]), 0]
    assert np.hypot(tip[0] - 12.3, tip[1] - 32.2) < 0.2


def test_a_curve_of_known_equation_is_followed() -> None:
    """The edge y = cubic(x) is traced within a thirtieth of a px on average, near the noise limit."""

    def cubic(x: NDArray[np.float64]) -> NDArray[np.float64]:
        u = (x - 32) / 20
        return 30 + 9 * u**3 - 7 * u

    (outline,) = trace(noisy(lambda x, y: (y > cubic(x)) & (y < 54) & (x > 10) & (x < 54)), noise=NOISE)

    points = outline.flattened(0.002)
    edge = points[(points[:, 0] > 15) & (points[:, 0] < 49) & (points[:, 1] < 45)]
    assert len(edge) > 20
    assert np.abs(edge[:, 1] - cubic(edge[:, 0])).mean() < 0.033


@pytest.mark.parametrize("radius", [3.5, 4.0, 5.0, 6.0, 8.0])
def test_the_ends_of_a_round_pen_stay_round(radius: float) -> None:
    """No corner is invented on a stroke with round ends, in three directions and noises."""
    for seed, slant in enumerate((0.0, 0.5, 1.2)):
        (outline,) = trace(noisy(stadium(radius, slant), seed=seed), noise=NOISE)
        assert np.abs(kinks(outline)).max() < 10, (radius, slant)


@pytest.mark.parametrize(("radius", "seed"), [(3.5, 9), (3.0, 3), (2.5, 1), (2.5, 2)])
def test_the_outline_of_a_thin_pen_never_doubles_back(radius: float, seed: int) -> None:
    """Strokes of 5 to 7 px, once drawn out to spikes that the grey hardly shows, turn nowhere back."""
    (outline,) = trace(noisy(stadium(radius, seed * 0.27), seed=seed), noise=NOISE)

    assert np.abs(kinks(outline)).max() < 75


@pytest.mark.parametrize("shove", [0.3, 1.5])
def test_no_step_makes_the_outline_explain_the_scan_worse(shove: float) -> None:
    """From nodes and handles thrown far out of place the misfit never grows, and in the end shrinks."""
    scan = np.asarray(noisy(disc(12), noise=0.01), dtype=np.float64)
    turn = np.arange(4) * np.pi / 2
    random = np.random.default_rng(3)
    nodes = Nodes(
        places=np.stack([32.2 + 12 * np.cos(turn), 31.6 + 12 * np.sin(turn)], axis=1)
        + random.normal(0, shove, (4, 2)),
        leave=turn + np.pi / 2 + random.normal(0, shove / 2, 4),
        arrive=turn + np.pi / 2,
        first=np.full(4, 6.6) * np.exp(random.normal(0, shove, 4)),
        second=np.full(4, 6.6) * np.exp(random.normal(0, shove, 4)),
        corner=np.ones(4, dtype=bool),
        after=following([4]),
    )
    misfits = [refined(nodes, scan, noise=0.01, blur=0.7, steps=steps).misfit for steps in range(7)]

    # Each step may lose no more than the tolerance of the guard, one pixel's noise, twice for the levels.
    assert all(b <= a + 2 * 0.01**2 for a, b in pairwise(misfits))
    assert misfits[-1] < misfits[0]


def test_the_corners_of_a_cut_letter_are_kept() -> None:
    """The E of a typeface with square ends keeps its twelve right angles, on its own outline."""
    (scan,) = scans("andika", Scanner(ppi=300), "E")
    (outline,) = trace(scan.coverage, noise=NOISE)

    sharp = np.abs(kinks(outline)) > 70
    assert sharp.sum() == 12
    off = shapely.distance(shapely.points(outline.pieces[sharp, 0]), shapely.boundary(scan.truth))
    assert np.median(off) < 0.06
    assert off.max() < 0.3


def test_ink_at_the_edge_of_the_crop_is_closed_there() -> None:
    """A crop without paper round the ink still gives one closed outline of the ink's area."""
    (outline,) = trace(np.ones((20, 14), dtype=np.float32), noise=NOISE)

    assert outline.area == pytest.approx(280, rel=0.02)


def test_a_small_drop_has_one_corner_and_more_than_one_piece() -> None:
    """A drop a few px long, pointed at one end, is a proper outline."""

    def drop(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        return np.asarray((np.hypot(x - 32, y - 32) < 2.5) | ((abs(y - 32) < (38 - x) / 2) & (x > 33)))

    (outline,) = trace(noisy(drop), noise=NOISE)

    assert len(outline) > 1
    assert outline.area == pytest.approx(coverage_of(drop, 64).sum(), rel=0.05)


def test_blank_paper_has_no_outline() -> None:
    """Paper without ink gives nothing, and does not fail."""
    paper = np.random.default_rng(0).normal(0, NOISE, (40, 30)).astype(np.float32)

    assert trace(paper, noise=NOISE) == ()


def test_calmer_never_means_more_pieces() -> None:
    """A higher clean level does not add pieces."""
    (scan,) = scans("schoolbell", Scanner(ppi=300), "g")

    counts = [sum(map(len, trace(scan.coverage, noise=NOISE, clean=c))) for c in (0.0, 0.5, 1.0)]

    assert all(a >= b for a, b in pairwise(counts))


@settings(max_examples=4)
@given(right=st.integers(0, 9), down=st.integers(0, 9), seed=st.integers(0, 50))
def test_whole_pixels_carry_through(right: int, down: int, seed: int) -> None:
    """A letter moved by whole pixels is traced to the same outline moved; twice gives the same twice.

    Along a stroke a node may slip, as sums of other lengths are rounded otherwise; the curve may not.
    """
    scan = noisy(stadium(4.5, 0.4), seed=seed)
    moved = np.pad(scan, ((down, 9 - down), (right, 9 - right)))

    here, there = trace(scan, noise=NOISE), trace(moved, noise=NOISE)

    assert trace(scan, noise=NOISE) == here
    assert len(here) == len(there)
    for a, b in zip(here, there, strict=True):
        assert len(a) == len(b)
        curves = [
            shapely.LinearRing(a.flattened(1e-4) + (right, down)),
            shapely.LinearRing(b.flattened(1e-4)),
        ]
        assert shapely.hausdorff_distance(*curves) < 0.005


@pytest.mark.parametrize("typeface", ["patrick-hand", "gochi-hand", "delius", "schoolbell"])
def test_letters_of_open_typefaces_are_traced_near_their_own_outlines(typeface: str) -> None:
    """Against the typeface's own outline: parts and holes right, mean within 0.03 px, no bias."""
    for scan in scans(typeface, Scanner(ppi=300), "ai"):
        contours = trace(scan.coverage, noise=NOISE)
        truth = shapely.boundary(scan.truth)
        points = np.concatenate([contour.flattened(0.01) for contour in contours])
        off = shapely.distance(shapely.points(points), truth)
        parts = shapely.get_parts(scan.truth)

        assert sum(c.area > 0 for c in contours) == len(parts)
        assert sum(c.area < 0 for c in contours) == shapely.get_num_interior_rings(parts).sum()
        assert off.mean() < 0.035
        assert off.max() < 1.0
        assert abs(sum(c.area for c in contours) - scan.truth.area) / truth.length < 0.012
