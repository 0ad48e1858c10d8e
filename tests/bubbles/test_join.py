"""Body and tails become one outline that is smooth, simple, closed and thrifty."""

import math
from itertools import pairwise

import numpy as np
import pathops
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lettering.bubbles.body import body
from lettering.bubbles.bubble import Bubble
from lettering.bubbles.join import bubble
from lettering.bubbles.tail import tail
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.geometry.walk import Walk
from tests.bubbles.mock_rows import X_HEIGHT, rows, stacks
from tests.bubbles.test_tail import mouth_round

LINE = 0.6
STACK = rows([7, 10, 7])


def plain(*targets: Point) -> Bubble:
    """Return a plain bubble round the usual stack with a tail to each target."""
    outline = body(STACK, air_mm=X_HEIGHT, seed="a")
    tails = [tail(outline, target=t, x_height_mm=X_HEIGHT, line_mm=LINE) for t in targets]
    return bubble(outline, tails, line_mm=LINE)


def shape(outline: Contour) -> shapely.Polygon:
    """Return a fine polygon of an outline."""
    return shapely.Polygon(outline.flattened(0.001))


def pathops_area(*outlines: Contour) -> float:
    """Return the area of the union of outlines after skia-pathops, an independent boolean engine."""
    path = pathops.Path()
    pen = path.getPen()
    for outline in outlines:
        pieces = outline.pieces
        pen.moveTo(tuple(pieces[0, 0]))
        for piece in pieces:
            pen.curveTo(*(tuple(p) for p in piece[1:]))
        pen.closePath()
    path.simplify()
    return abs(float(path.area))


@given(stacks(), st.floats(0, 2 * math.pi), st.floats(6, 80), st.sampled_from(["plain", "whisper", "shout"]))
@settings(max_examples=40)
def test_a_bubble_is_one_simple_outline_round_its_ink(
    ink: list[Rect], angle: float, away: float, voice: str
) -> None:
    """Whatever the stack and wherever the mouth, the outline is one simple curve and keeps the air."""
    outline = body(ink, air_mm=X_HEIGHT, voice=voice, seed="a")  # type: ignore[arg-type]
    target = mouth_round(outline, angle, away)
    drawn = tail(outline, target=target, x_height_mm=X_HEIGHT, line_mm=LINE, voice=voice)  # type: ignore[arg-type]
    joined = bubble(outline, [drawn], line_mm=LINE, voice=voice)  # type: ignore[arg-type]

    (only,) = joined.outline.contours
    ink_shape = shapely.union_all([shapely.box(r.x0, r.y0, r.x1, r.y1) for r in ink])
    assert shape(only).is_valid
    assert only.area > 0
    assert shape(only).exterior.distance(ink_shape) >= X_HEIGHT - 0.002
    # A splice adds seven pieces at most; where a spike runs into the tail the outline is fitted anew.
    assert len(only) <= len(outline) + 9


def test_the_outline_is_the_union_of_body_and_tail() -> None:
    """The spliced outline encloses what skia-pathops makes of body and tail, both being cubics."""
    joined = plain(Point(-25, 60))

    (only,) = joined.outline.contours
    assert only.area == pytest.approx(pathops_area(joined.body, joined.tails[0].outline), abs=0.05)


def test_the_outline_has_no_corner_but_flows_from_body_to_tail() -> None:
    """Every joint of a plain bubble is tangent-continuous within a degree."""
    (only,) = plain(Point(-25, 60)).outline.contours

    p = only.pieces
    arrive, leave = p[:, 3] - p[:, 2], np.roll(p[:, 1] - p[:, 0], -1, axis=0)
    turn = np.arctan2(arrive[:, 0] * leave[:, 1] - arrive[:, 1] * leave[:, 0], (arrive * leave).sum(axis=1))
    assert np.degrees(np.abs(turn)).max() < 1.0


def test_the_bodys_own_curves_are_kept() -> None:
    """Away from the root the outline's pieces are the body's, number for number."""
    joined = plain(Point(-25, 60))

    own = {piece.tobytes() for piece in joined.body.pieces}
    (only,) = joined.outline.contours
    assert sum(piece.tobytes() in own for piece in only.pieces) >= len(joined.body) - 4


def test_several_speakers_have_a_tail_each_on_one_outline() -> None:
    """Two tails that stand apart are both spliced into the one outline."""
    joined = plain(Point(-40, 60), Point(45, 55))

    (only,) = joined.outline.contours
    union = shapely.union_all([shape(joined.body), *(shape(t.outline) for t in joined.tails)])
    assert shape(only).is_valid
    assert shape(only).symmetric_difference(union).area < 0.1


def test_tails_that_share_a_root_become_one_shape() -> None:
    """Two speakers close together still give one simple outline with both tips."""
    joined = plain(Point(-8, 70), Point(4, 70))

    (only,) = joined.outline.contours
    union = shapely.union_all([shape(joined.body), *(shape(t.outline) for t in joined.tails)])
    assert shape(only).is_valid
    assert shapely.hausdorff_distance(shape(only).exterior, union.exterior) < 0.05
    for drawn in joined.tails:
        assert shape(only).exterior.distance(shapely.Point(drawn.tip.x, drawn.tip.y)) < 0.1


def test_a_bubble_without_tails_is_its_body() -> None:
    """A caption's outline is the body itself."""
    frame = body(STACK, air_mm=X_HEIGHT, voice="caption")
    joined = bubble(frame, [], line_mm=LINE, voice="caption")

    assert joined.outline.contours == (frame,)
    assert joined.tails == ()
    assert joined.dash_mm == ()


def test_a_thoughts_puffs_are_outlines_of_their_own() -> None:
    """A thought is drawn as its cloud and its puffs, all turning the same way."""
    cloud = body(STACK, air_mm=X_HEIGHT, voice="thought", seed="a")
    trail = tail(cloud, target=Point(40, 70), x_height_mm=X_HEIGHT, line_mm=LINE, voice="thought")
    joined = bubble(cloud, [trail], line_mm=LINE, voice="thought")

    assert len(joined.outline.contours) == 1 + len(trail.puffs) + 1
    assert all(contour.area > 0 for contour in joined.outline.contours)
    shapes = [shape(contour) for contour in joined.outline.contours]
    assert all(not a.intersects(b) for a, b in pairwise(shapes))


def test_a_whispers_dashes_make_up_its_outline_and_cover_its_tip() -> None:
    """A whole number of dashes and gaps goes round, and the first dash lies over the tail's tip."""
    outline = body(STACK, air_mm=X_HEIGHT, voice="whisper", seed="a")
    drawn = tail(outline, target=Point(-25, 60), x_height_mm=X_HEIGHT, line_mm=LINE, voice="whisper")
    joined = bubble(outline, [drawn], line_mm=LINE, voice="whisper")

    (only,) = joined.outline.contours
    count = shape(only).length / sum(joined.dash_mm)
    assert count == pytest.approx(round(count), abs=0.02)
    walk = Walk.along(only)
    assert walk.way(walk.nearest(drawn.tip)) == pytest.approx(joined.dash_mm[0] / 2, abs=0.1)


def test_a_whispers_line_lives_and_its_dashes_stay_together() -> None:
    """Both edges of the pen's line are as long as the outline within a third of a gap: dashes stay whole."""
    outline = body(STACK, air_mm=X_HEIGHT, voice="whisper", seed="a")
    drawn = tail(outline, target=Point(-25, 60), x_height_mm=X_HEIGHT, line_mm=LINE, voice="whisper")
    joined = bubble(outline, [drawn], line_mm=LINE, voice="whisper", life=0.1, seed="Shh.")
    whole = shape(joined.outline.contours[0]).length

    assert len(joined.inked) == 2
    assert joined.pen_mm < LINE
    for edge in joined.inked:
        assert shape(edge).length == pytest.approx(whole, abs=joined.dash_mm[1] / 3)


def test_a_trail_begins_clear_of_its_cloud() -> None:
    """Whichever way a thought's head lies, no puff touches the cloud or another puff (shapely)."""
    outline = body(STACK, air_mm=X_HEIGHT, voice="thought", seed="a")
    box = outline.bounds
    for turn in np.arange(0, 2 * math.pi, 0.5):
        away = 0.5 * math.hypot(box.width, box.height) + 30
        head = Point(box.centre.x + away * math.cos(turn), box.centre.y + away * math.sin(turn))
        drawn = tail(outline, target=head, x_height_mm=X_HEIGHT, line_mm=LINE, voice="thought")
        areas = [shape(outline), *(shape(puff) for puff in (*drawn.puffs, drawn.outline))]

        assert all(a.distance(b) > LINE for a, b in pairwise(areas))
