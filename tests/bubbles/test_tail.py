"""Tails spring from the facing side, bend once, aim at the mouth and leave the face alone."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lettering.bubbles.axis import tail_axis
from lettering.bubbles.body import body
from lettering.bubbles.bubble import Tail
from lettering.bubbles.tail import POLYGON_MM, tail
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from tests.bubbles.mock_rows import X_HEIGHT, rows, stacks

LINE = 0.6
AIM_DEGREES = 10.0
"""A tail aims within 10 degrees of the mouth (common practice, no source)."""

STACK = rows([7, 10, 7])


def mouth_round(outline: Contour, angle: float, away: float) -> Point:
    """Return a point outside the body, `away` mm beyond the circle round it, in a direction."""
    box = outline.bounds
    radius = math.hypot(box.width, box.height) / 2 + away
    return box.centre + Vector(math.cos(angle), math.sin(angle)) * radius


def aim_degrees(drawn: Tail, target: Point) -> float:
    """Return the angle between where a tail's end points and the way from its tip to the mouth.

    The end is measured on the drawn outline: the middle line over its last fifth.
    """
    points = drawn.outline.flattened(0.005)
    from_tip = np.hypot(points[:, 0] - drawn.tip.x, points[:, 1] - drawn.tip.y)
    tip = int(from_tip.argmin())
    reach = 0.2 * (drawn.tip - drawn.root).length
    before = next(p for p, d in zip(points[tip::-1], from_tip[tip::-1], strict=True) if d >= reach)
    after = next(p for p, d in zip(points[tip:], from_tip[tip:], strict=True) if d >= reach)
    end = Vector(*(np.array([drawn.tip.x, drawn.tip.y]) - (before + after) / 2))
    wanted = target - drawn.tip
    turn = math.atan2(end.x * wanted.y - end.y * wanted.x, end.x * wanted.x + end.y * wanted.y)
    return abs(math.degrees(turn))


def shape(outline: Contour) -> shapely.Polygon:
    """Return a fine polygon of an outline."""
    return shapely.Polygon(outline.flattened(0.002))


@given(stacks(), st.floats(0, 2 * math.pi), st.floats(8, 80), st.sampled_from(["plain", "shout"]))
@settings(max_examples=40)
def test_a_tail_aims_at_the_mouth_and_ends_on_the_way(
    ink: list[Rect], angle: float, away: float, voice: str
) -> None:
    """A tail's end points within 10 degrees of the mouth, 50 to 70 % of the way, and never crosses itself."""
    outline = body(ink, air_mm=X_HEIGHT, voice=voice, seed="a")  # type: ignore[arg-type]
    target = mouth_round(outline, angle, away)
    drawn = tail(outline, target=target, x_height_mm=X_HEIGHT, line_mm=LINE, voice=voice)  # type: ignore[arg-type]

    assert aim_degrees(drawn, target) <= AIM_DEGREES
    share = 1 - (target - drawn.tip).length / (target - drawn.root).length
    assert 0.5 <= share <= 0.7
    assert shape(drawn.outline).is_valid
    assert shape(outline).exterior.distance(
        shapely.Point(drawn.root.x, drawn.root.y)
    ) < 2 * POLYGON_MM + 3.0 * (voice == "shout")


@given(stacks(), st.floats(0, 2 * math.pi), st.floats(12, 60))
@settings(max_examples=30)
def test_a_tail_never_touches_the_face(ink: list[Rect], angle: float, away: float) -> None:
    """However near the speaker stands, no part of the tail lies in the face."""
    outline = body(ink, air_mm=X_HEIGHT, seed="a")
    target = mouth_round(outline, angle, away)
    face = Rect(target.x - 8, target.y - 8, target.x + 6, target.y + 4)
    drawn = tail(outline, target=target, face=face, x_height_mm=X_HEIGHT, line_mm=LINE)

    face_shape = shapely.box(face.x0, face.y0, face.x1, face.y1)
    if shape(outline).distance(face_shape) > 0.5 * X_HEIGHT:
        assert shape(drawn.outline).distance(face_shape) > LINE


@pytest.mark.parametrize("degrees", range(0, 360, 30))
def test_the_root_lies_on_the_side_that_faces_the_mouth(degrees: int) -> None:
    """From the root the mouth lies outward of the body, in every direction."""
    outline = body(STACK, air_mm=X_HEIGHT, seed="a")
    target = mouth_round(outline, math.radians(degrees), 30)
    drawn = tail(outline, target=target, x_height_mm=X_HEIGHT, line_mm=LINE)

    way = shapely.LineString([(drawn.root.x, drawn.root.y), (target.x, target.y)])
    assert way.intersection(shape(outline)).length < 0.2


def test_a_tail_bends_once() -> None:
    """The middle line of a tail turns one way only, by more than a ruled line and less than a hook."""
    outline = body(STACK, air_mm=X_HEIGHT)
    axis = tail_axis(outline.flattened(0.05), np.array([[-40.0, 60.0], [0.0, 60.0]]), x_height_mm=X_HEIGHT)

    first, last = axis.elbow - axis.root, axis.tip - axis.elbow
    turn = np.degrees(
        np.arctan2(first[:, 0] * last[:, 1] - first[:, 1] * last[:, 0], (first * last).sum(axis=1))
    )
    assert (np.abs(turn) > 10).all()
    assert (np.abs(turn) < 70).all()


def test_a_root_is_one_to_one_and_a_half_x_heights_wide() -> None:
    """Past its flare a tail is 1 to 1.5 x-heights wide, a little less where it has begun to thin."""
    outline = body(STACK, air_mm=X_HEIGHT)
    drawn = tail(outline, target=Point(-5, 90), x_height_mm=X_HEIGHT, line_mm=LINE)

    near = shape(drawn.outline).intersection(
        shapely.LineString([(-60, drawn.root.y + 3), (60, drawn.root.y + 3)])
    )
    assert 0.85 * X_HEIGHT <= near.length <= 1.5 * X_HEIGHT


def test_a_tail_thins_steadily_to_the_pen() -> None:
    """Cuts across a tail get shorter all the way, and at its tip about one pen remains with its line."""
    outline = body(STACK, air_mm=X_HEIGHT)
    drawn = tail(outline, target=Point(0, 90), x_height_mm=X_HEIGHT, line_mm=LINE)

    inked, cuts = shape(drawn.outline).buffer(LINE / 2), []
    for share in np.linspace(0.25, 0.97, 12):
        y = drawn.root.y + share * (drawn.tip.y - drawn.root.y)
        cuts.append(inked.intersection(shapely.LineString([(-60, y), (60, y)])).length)
    assert cuts == sorted(cuts, reverse=True)
    assert LINE <= cuts[-1] <= 2.5 * LINE


def test_the_axis_for_placing_is_the_tail_that_is_drawn() -> None:
    """Many axes found at once have the roots and tips of the tails drawn one by one."""
    outline = body(STACK, air_mm=X_HEIGHT, seed="a")
    mouths = np.array([(60.0, 10.0), (-30.0, 55.0), (4.0, -50.0)])
    axis = tail_axis(outline.flattened(POLYGON_MM), mouths, x_height_mm=X_HEIGHT)

    for i, (x, y) in enumerate(mouths):
        drawn = tail(outline, target=Point(float(x), float(y)), x_height_mm=X_HEIGHT, line_mm=LINE)
        assert (drawn.root.x, drawn.root.y) == pytest.approx(axis.root[i])
        assert (drawn.tip.x, drawn.tip.y) == pytest.approx(axis.tip[i])
        again = tail(
            outline, target=Point(float(x), float(y)), x_height_mm=X_HEIGHT, line_mm=LINE, tip=drawn.tip
        )
        assert np.allclose(again.outline.knots, drawn.outline.knots)


def test_a_tail_ends_where_the_illustrator_drew_its_tip() -> None:
    """A given tip is kept to the letter, and the tail there still aims at the mouth."""
    outline = body(STACK, air_mm=X_HEIGHT)
    target, tip = Point(-20, 80), Point(-22, 50)
    drawn = tail(outline, target=target, x_height_mm=X_HEIGHT, line_mm=LINE, tip=tip)

    assert drawn.tip == tip
    assert aim_degrees(drawn, target) <= AIM_DEGREES
    assert shape(drawn.outline).exterior.distance(shapely.Point(tip.x, tip.y)) < 0.2


def test_a_tail_to_the_edge_goes_all_the_way() -> None:
    """Speech from outside the picture has a tail that reaches the given place on the edge."""
    outline = body(STACK, air_mm=X_HEIGHT)
    drawn = tail(outline, target=Point(-60, 12), share=1.0, x_height_mm=X_HEIGHT, line_mm=LINE)

    assert (drawn.tip - Point(-60, 12)).length < 0.1
    assert shape(drawn.outline).is_valid


@pytest.mark.parametrize("away", [0.3, 1.0, 3.0])
def test_a_mouth_close_to_the_body_still_gets_a_sound_tail(away: float) -> None:
    """A mouth right under the body gives a short tail that does not cross itself."""
    outline = body(STACK, air_mm=X_HEIGHT)
    target = Point(3, outline.bounds.y1 + away)
    drawn = tail(outline, target=target, x_height_mm=X_HEIGHT, line_mm=LINE)

    assert shape(drawn.outline).is_valid
    assert (drawn.tip - drawn.root).length > 0


@pytest.mark.parametrize(("far", "count"), [(45, 3), (70, 4), (110, 5), (250, 9)])
def test_a_thought_has_puffs_that_shrink_toward_the_head(far: float, count: int) -> None:
    """Puffs, each smaller than the one before, none touching another or the body, end at the tip.

    There are three, and more where three would be strewn; only very far away are nine strewn all the same.
    """
    outline = body(STACK, air_mm=X_HEIGHT, voice="thought", seed="a")
    drawn = tail(outline, target=Point(40, far), x_height_mm=X_HEIGHT, line_mm=LINE, voice="thought")

    puffs = [shape(p) for p in (*drawn.puffs, drawn.outline)]
    areas = [p.area for p in puffs]
    assert len(puffs) == count
    assert areas == sorted(areas, reverse=True)
    clear = [a.distance(b) for a, b in zip([shape(outline), *puffs], puffs, strict=False)]
    assert min(clear) > LINE
    assert max(clear[1:]) < 2 * X_HEIGHT or count == 9
    assert puffs[-1].distance(shapely.Point(drawn.tip.x, drawn.tip.y)) < 0.5 * LINE
