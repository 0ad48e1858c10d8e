"""Bubbles that meet, and the pen's life in their line."""

import numpy as np
import pytest
import shapely

from lettering.bubbles.body import body
from lettering.bubbles.inked import inked
from lettering.bubbles.join import bubble
from lettering.bubbles.joined import LAP_X_HEIGHTS, NECK_X_HEIGHTS, beside, necked
from lettering.bubbles.tail import tail
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point, Vector
from tests.bubbles.mock_rows import X_HEIGHT, rows

LINE = 0.6


def pair(gap_mm: float) -> tuple[Contour, Contour]:
    """Return two bodies, the second below the first, `gap_mm` apart."""
    first, second = (body(rows(widths), air_mm=X_HEIGHT, seed="a") for widths in ([8, 9], [5]))
    return first, second.moved(beside(first, second, Vector(0.4, 1.0), gap_mm=gap_mm))


def shape(outline: Contour) -> shapely.Polygon:
    """Return an outline as shapely sees it."""
    return shapely.Polygon(outline.flattened(0.002))


def test_bodies_come_as_near_as_asked() -> None:
    """Their clear distance is the gap, and a body that laps over reaches as deep as asked (shapely)."""
    first, second = map(shape, pair(3.6))
    over, under = map(shape, pair(-LAP_X_HEIGHTS * X_HEIGHT))
    deep = over.intersection(under).bounds

    assert first.distance(second) == pytest.approx(3.6, abs=0.02)
    assert 0.5 * LAP_X_HEIGHTS * X_HEIGHT < deep[3] - deep[1] < 1.5 * LAP_X_HEIGHTS * X_HEIGHT


def test_a_neck_joins_two_bodies_smoothly() -> None:
    """One simple outline holds both bodies, and turns nowhere sharply but at the tail's tip."""
    first, second = pair(NECK_X_HEIGHTS * X_HEIGHT)
    pointing = tail(second, target=Point(5, 70), x_height_mm=X_HEIGHT, line_mm=LINE)
    outline = necked([first, second], [pointing], x_height_mm=X_HEIGHT)
    whole = shape(outline)
    bare = shape(necked([first, second], [], x_height_mm=X_HEIGHT)).exterior
    xy = shapely.get_coordinates(shapely.line_interpolate_point(bare, np.arange(0, bare.length, 0.2)))
    steps = np.diff(xy, axis=0)
    turns = np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))

    assert whole.is_valid
    assert whole.buffer(0.05).covers(shapely.union_all([shape(first), shape(second)]))
    assert whole.distance(shapely.Point(pointing.tip.x, pointing.tip.y)) < 0.1
    assert np.abs(turns).max() < 0.6


@pytest.mark.parametrize("life", [0.05, 0.12])
def test_the_line_is_as_thick_and_as_varied_as_asked(life: float) -> None:
    """Measured across the stroke all round, its width has the mean asked for and the hand's variation."""
    outline = body(rows([8, 10, 7]), air_mm=X_HEIGHT, seed="a")
    (outer, inner), pen = inked([outline], line_mm=LINE, life=life, seed="Who?")
    ring = shape(outline).exterior
    middle = shapely.line_interpolate_point(ring, np.arange(0, ring.length, 1.0))
    widths = pen + sum(shapely.distance(middle, shape(edge).exterior) for edge in (outer, inner))

    assert widths.mean() == pytest.approx(LINE, rel=0.03)
    assert widths.std() / LINE == pytest.approx(life, rel=0.35)
    assert pen > max(shape(outer).exterior.hausdorff_distance(shape(inner).exterior), 0.0)


def test_the_line_closes_without_a_joint_and_is_always_the_same() -> None:
    """Along each edge the turn is continuous at every knot, first and last alike; equal words, equal line."""
    outline = body(rows([8, 10, 7]), air_mm=X_HEIGHT, seed="a")
    pointing = tail(outline, target=Point(0, 80), x_height_mm=X_HEIGHT, line_mm=LINE)
    made = bubble(outline, [pointing], line_mm=LINE, life=0.1, seed="Who?")
    p, whole = made.inked[0].pieces, made.outline.contours[0].pieces

    for before, after in ((p, np.roll(p, -1, axis=0)), (whole, np.roll(whole, -1, axis=0))):
        assert np.allclose(before[:, 3], after[:, 0])
    assert turns(p) == pytest.approx(turns(whole), abs=1e-6)
    assert made.inked == bubble(outline, [pointing], line_mm=LINE, life=0.1, seed="Who?").inked
    assert made.inked != bubble(outline, [pointing], line_mm=LINE, life=0.1, seed="Me!").inked


def turns(pieces: np.ndarray) -> np.ndarray:
    """Return the turn at the end of each piece, radians."""
    arrive, leave = pieces[:, 3] - pieces[:, 2], np.roll(pieces[:, 1] - pieces[:, 0], -1, axis=0)
    cross = arrive[:, 0] * leave[:, 1] - arrive[:, 1] * leave[:, 0]
    return np.asarray(np.arctan2(cross, (arrive * leave).sum(axis=1)))


def test_a_hand_without_variation_draws_an_even_line() -> None:
    """Without life the outline is stroked once."""
    outline = body(rows([8]), air_mm=X_HEIGHT)

    assert inked([outline], line_mm=LINE, life=0.0, seed="a") == ((outline,), LINE)


def test_necks_join_three_bodies() -> None:
    """Three bodies one below the other are one simple outline that holds them all (shapely)."""
    first, second = pair(NECK_X_HEIGHTS * X_HEIGHT)
    third = body(rows([6, 7]), air_mm=X_HEIGHT, seed="b")
    third = third.moved(beside(second, third, Vector(-0.4, 1.0), gap_mm=NECK_X_HEIGHTS * X_HEIGHT))
    whole = shape(necked([first, second, third], [], x_height_mm=X_HEIGHT))

    assert whole.is_valid
    assert whole.buffer(0.05).covers(shapely.union_all([shape(one) for one in (first, second, third)]))
