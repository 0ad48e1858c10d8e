"""Bodies keep their air, stay calm, and are the same every time."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from lettering.book.line import Voice
from lettering.bubbles.air import MOST_AIR, air_mm, line_mm
from lettering.bubbles.body import body, hull_corners
from lettering.bubbles.calm import calmest
from lettering.bubbles.clearance import clearance
from lettering.geometry.contour import Contour, at
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region
from tests.bubbles.mock_rows import evened, rows, stacks

AIR = 4.0
BUBBLE_VOICES: tuple[Voice, ...] = ("plain", "whisper", "thought", "shout", "caption")


def ink_shape(ink: list[Rect]) -> shapely.Geometry:
    """Return the ink as shapely sees it: the outside measure of every clearance here."""
    return shapely.union_all([shapely.box(r.x0, r.y0, r.x1, r.y1) for r in ink])


def polygon(outline: Contour) -> shapely.Polygon:
    """Return a fine polygon of an outline."""
    return shapely.Polygon(outline.flattened(0.001))


@given(stacks(), st.sampled_from(BUBBLE_VOICES), st.text(max_size=5))
@settings(max_examples=30)
def test_no_ink_is_nearer_to_the_outline_than_the_air(ink: list[Rect], voice: Voice, seed: str) -> None:
    """A body holds all ink at the asked air or more, is simple, and turns from x toward y."""
    outline = body(ink, air_mm=AIR, voice=voice, seed=seed)

    shape, drawn = polygon(outline), ink_shape(ink)
    assert shape.is_valid
    assert shape.covers(drawn)
    assert shape.exterior.distance(drawn) >= AIR
    assert outline.area > 0


@given(stacks(), st.text(max_size=5))
@settings(max_examples=20)
def test_the_air_is_nowhere_more_than_the_most(ink: list[Rect], seed: str) -> None:
    """A plain body strays no further from the evened hull of its ink than 1.6 airs, and a fit tolerance."""
    outline = body(ink, air_mm=AIR, seed=seed)

    hull = evened(ink_shape(ink))
    assert shapely.distance(shapely.points(outline.flattened()), hull).max() <= MOST_AIR * AIR + 0.03


@pytest.mark.parametrize("widths", [[12, 8], [14, 5], [12, 9, 5], [12, 8, 4, 2]])
def test_a_stack_that_narrows_gets_a_round_not_a_bucket(widths: list[float]) -> None:
    """A quarter down and a quarter up, the body is as wide within an eighth; its ink is far from it."""
    outline = polygon(body(rows(widths), air_mm=AIR, seed="a"))
    x0, y0, x1, y1 = outline.bounds

    wide = [
        outline.intersection(shapely.LineString([(x0, y), (x1, y)])).length
        for y in (y0 + (y1 - y0) * share for share in (0.25, 0.75))
    ]
    assert wide[0] / wide[1] == pytest.approx(1, abs=1 / 8)


@given(stacks())
@settings(max_examples=20)
def test_a_plain_body_is_convex_flat_nowhere_and_pointed_nowhere(ink: list[Rect]) -> None:
    """Curvature keeps one sign and never vanishes, and within a millimetre no pen turns by half a radian."""
    outline = body(ink, air_mm=AIR, seed="a")

    assert sampled_curvature(outline).min() > 0
    ring = polygon(outline).exterior
    places = np.arange(0, ring.length - 1, 0.25)
    step = [
        np.diff(shapely.get_coordinates(shapely.line_interpolate_point(ring, places + k)), axis=0)
        for k in (0, 1)
    ]
    turn = step[0][:, 0] * step[1][:, 1] - step[0][:, 1] * step[1][:, 0]
    assert np.arctan2(turn, (step[0] * step[1]).sum(axis=1)).max() < 0.5


def test_curvature_runs_on_without_jumps() -> None:
    """Across the joints of a body's pieces the turn is continuous and the curvature nearly so."""
    outline = body(rows([7.5, 10, 7]), air_mm=AIR, seed="calm")

    p = outline.pieces
    arrive, leave = p[:, 3] - p[:, 2], np.roll(p[:, 1] - p[:, 0], -1, axis=0)
    turn = (
        np.abs(arrive[:, 0] * leave[:, 1] - arrive[:, 1] * leave[:, 0])
        / np.linalg.norm(arrive, axis=1)
        / np.linalg.norm(leave, axis=1)
    )
    assert turn.max() < 1e-9
    before, after = curvature(p, 1.0), np.roll(curvature(p, 0.0), -1)
    assert np.abs(before - after).max() < 0.5 * np.maximum(before, after).max()


def curvature(pieces: np.ndarray, t: float) -> np.ndarray:
    """Return the signed curvature of each piece at parameter `t`."""
    d1, d2 = np.diff(pieces, axis=1), np.diff(pieces, n=2, axis=1)
    first = 3 * ((1 - t) ** 2 * d1[:, 0] + 2 * t * (1 - t) * d1[:, 1] + t * t * d1[:, 2])
    second = 6 * ((1 - t) * d2[:, 0] + t * d2[:, 1])
    cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    return np.asarray(cross / np.hypot(first[:, 0], first[:, 1]) ** 3)


def sampled_curvature(outline: Contour) -> np.ndarray:
    """Return the curvature at nine places of every piece."""
    return np.concatenate([curvature(outline.pieces, t) for t in np.linspace(0, 1, 9)])


@pytest.mark.parametrize("widths", [[3.0], [6, 8], [7.5, 10, 7], [7, 11, 12, 7.5]])
def test_a_lens_of_rows_needs_few_pieces(widths: list[float]) -> None:
    """A body round one to four rows is drawn in at most sixteen cubic pieces."""
    assert len(body(rows(widths), air_mm=AIR, seed="a")) <= 16


@given(stacks(), st.floats(-200, 200), st.floats(0.3, 3.0))
@settings(max_examples=15)
def test_a_body_moves_and_grows_with_its_ink(ink: list[Rect], shift: float, factor: float) -> None:
    """Ink that is displaced and enlarged with its air gets the same body, displaced and enlarged."""
    other = [
        Rect(*(factor * v + s for v, s in zip((r.x0, r.y0, r.x1, r.y1), (shift, -shift) * 2, strict=True)))
        for r in ink
    ]

    plain = polygon(body(ink, air_mm=AIR))
    moved = polygon(body(other, air_mm=AIR * factor))
    placed = shapely.transform(plain, lambda xy: xy * factor + (shift, -shift))
    assert shapely.hausdorff_distance(placed, moved) < 0.06 * max(1.0, factor)


@pytest.mark.parametrize("voice", BUBBLE_VOICES)
def test_a_seed_always_draws_the_same_and_another_draws_anew(voice: Voice) -> None:
    """Equal words give equal outlines; other words give the same kind of outline a little different."""
    ink = rows([7, 9])
    one = body(ink, air_mm=AIR, voice=voice, seed="Who left a cello in the compost?")

    assert one == body(ink, air_mm=AIR, voice=voice, seed="Who left a cello in the compost?")
    other = body(ink, air_mm=AIR, voice=voice, seed="Not me!")
    assert one != other
    assert shapely.hausdorff_distance(polygon(one), polygon(other)) < 1.8 * AIR


def test_calm_uses_more_of_the_allowed_air_than_hugging() -> None:
    """A hugging body is smaller than a calm one and still keeps the air."""
    ink = rows([7, 9, 6])
    hugging, calm = body(ink, air_mm=AIR, calm=0.2), body(ink, air_mm=AIR, calm=1.0)

    assert hugging.area < calm.area
    assert polygon(hugging).exterior.distance(ink_shape(ink)) >= AIR


def test_a_body_goes_round_any_region() -> None:
    """Ink may be a region instead of boxes: round a disc the body is nearly a circle."""
    disc = Region.polygon(np.array([(9 * math.cos(a), 9 * math.sin(a)) for a in np.linspace(0, 6.2, 60)]))
    outline = body(disc, air_mm=AIR)

    assert outline.bounds.width == pytest.approx(outline.bounds.height, rel=0.06)
    assert polygon(outline).exterior.distance(disc.shape) >= AIR


def test_a_body_without_ink_or_air_is_refused() -> None:
    """No ink, or no air, is a mistake of the caller."""
    with pytest.raises(ValueError, match="ink"):
        body([], air_mm=AIR)
    with pytest.raises(ValueError, match="air"):
        body(rows([3]), air_mm=0)


def test_measured_clearance_equals_the_steiner_offset() -> None:
    """Round a convex hull offset by d the clearance measured is d, and area and length are Steiner's.

    Steiner's formula: area A + P d + pi d squared, length P + 2 pi d.
    """
    corners = hull_corners(rows([7, 10, 6]))
    hull = shapely.Polygon(corners)
    offset = hull.buffer(AIR, quad_segs=256)

    ring = np.asarray(offset.exterior.coords)[:-1]
    outline = Contour.polygon(ring)
    assert clearance(outline, corners) == pytest.approx(AIR, rel=1e-4)
    assert abs(outline.area) == pytest.approx(hull.area + hull.length * AIR + math.pi * AIR**2, rel=1e-4)
    assert offset.length == pytest.approx(hull.length + 2 * math.pi * AIR, rel=1e-4)


def test_the_calmest_outline_is_longer_than_the_shortest_possible() -> None:
    """No outline at the air is shorter than the hull's offset; a linear programme confirms the bound.

    Least perimeter over support functions h: minimise the integral of h subject to h >= hull + d. Its
    optimum is P + 2 pi d (Cauchy's formula: the length is the integral of h).
    """
    corners = hull_corners(rows([7, 10, 6]))
    hull = shapely.Polygon(corners)
    shortest = hull.length + 2 * math.pi * AIR
    n = 720
    angles = np.arange(n) * 2 * math.pi / n
    reach = (np.stack([np.cos(angles), np.sin(angles)], axis=1) @ corners.T).max(axis=1) + AIR
    programme = linprog(np.full(n, 2 * math.pi / n), bounds=[(value, None) for value in reach])

    assert programme.fun == pytest.approx(shortest, rel=1e-4)
    calm = polygon(body(rows([7, 10, 6]), air_mm=AIR))
    assert shortest < calm.length < 1.15 * shortest


def test_without_ink_to_mind_the_calmest_outline_is_an_ellipse() -> None:
    """A wide band round a wide diamond leaves an ellipse: area pi a b, from the half axes alone."""
    diamond = np.array([(-20.0, 0.0), (0.0, -8.0), (20.0, 0.0), (0.0, 8.0)])
    outline = calmest(diamond, air=3.0, most=4.0)

    points = outline.points(np.linspace(0, 2 * math.pi, 2000, endpoint=False))
    a, b = np.ptp(points, axis=0) / 2
    assert shapely.Polygon(points).area == pytest.approx(math.pi * a * b, rel=0.02)


def test_a_body_is_a_touch_squarer_than_an_ellipse() -> None:
    """A lens of rows gets a body that fills more of its box than an ellipse, less than a rounded box."""
    outline = body(rows([7.5, 10, 7]), air_mm=AIR)

    box = outline.bounds
    assert math.pi / 4 < outline.area / (box.width * box.height) < 0.9


def test_scallops_are_even_and_grow_with_the_body() -> None:
    """A cloud's scallops differ by less than half from their mean, and a larger cloud has larger ones."""
    small, large = (body(rows(w), air_mm=AIR, voice="thought", seed="a") for w in ([4], [12, 16, 15, 11]))

    widths = [np.hypot(*(c.pieces[:, 3] - c.pieces[:, 0]).T) for c in (small, large)]
    assert all(np.abs(w / w.mean() - 1).max() < 0.5 for w in widths)
    assert widths[1].mean() > widths[0].mean()
    assert len(large) > len(small)


def test_spikes_are_of_varied_length() -> None:
    """The spikes of a burst reach out by different lengths, the longest half as far again as the shortest."""
    ink = rows([7, 9])
    outline = body(ink, air_mm=AIR, voice="shout", seed="Not me!")

    heights = shapely.distance(shapely.points(outline.knots[:, 0]), ink_shape(ink).convex_hull) - AIR
    assert heights.max() > 1.5 * heights.min()


def test_a_caption_has_a_softly_bowed_frame() -> None:
    """A caption's frame fills nearly all of its box, but its corners are cut and its sides are bowed."""
    outline = body(rows([8, 9]), air_mm=AIR, voice="caption", seed="a")

    box = outline.bounds
    assert 0.93 < outline.area / (box.width * box.height) < 0.995
    assert not outline.straight.any()
    middles = at(outline.pieces, np.full(len(outline), 0.5))
    assert shapely.Polygon(outline.knots[:, 0]).distance(shapely.points(middles)).max() > 0.1


@pytest.mark.parametrize("x_height", [0.6, 4.0, 24.0])
def test_bodies_scale_from_small_pages_to_large(x_height: float) -> None:
    """From a 60 mm page to a 400 mm page the air keeps its proportion and the pieces stay few."""
    ink = rows([7, 9, 6], x_height=x_height)
    outline = body(ink, air_mm=air_mm(x_height), seed="a")

    assert polygon(outline).exterior.distance(ink_shape(ink)) >= air_mm(x_height)
    assert len(outline) <= 20


def test_the_line_is_lighter_than_the_lettering() -> None:
    """A bubble's line is 0.6 to 1 of the hand's stem (common practice, no source)."""
    assert 0.6 <= line_mm(1.0) <= 1.0
