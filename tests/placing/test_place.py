"""Placing a spread: hard rules by an independent checker, held lines, spreads that cannot be clean."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from lettering.book.page import PageFormat, frame
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.placing.look import MOST, MOST_OF_ALL, STEP_MM, look_at
from lettering.placing.place import place
from lettering.placing.placement import LineToPlace, Placement, Shape, Speaker, SpreadToPlace
from lettering.placing.weights import HOUSE
from tests.independent_checker import violations
from tests.placing.spreads import as_layout, oval, random_spread
from tests.reading_order import reading_order


@pytest.mark.parametrize("seed", range(20))
def test_no_hard_rule_is_broken_on_a_feasible_spread(seed: int) -> None:
    """On spreads with a planted clean layout an independent checker finds every hard rule kept."""
    planted, spread = random_spread(seed, 2 + seed % 4)
    placed = place(spread)

    assert placed.broken == ()
    assert violations(*as_layout(spread, placed, planted)) == []


@pytest.mark.parametrize("seed", range(20))
def test_the_bubbles_are_read_in_order_by_a_published_rule(seed: int) -> None:
    """The recursive X-Y cut reads the placed bubbles of up to five lines in their speaking order."""
    planted, spread = random_spread(seed, 2 + seed % 4)
    layout, _ = as_layout(spread, place(spread), planted)

    assert reading_order(layout["spreads"][0]) == [line.line for line in spread.lines]


def test_the_published_rule_tells_bubbles_in_the_wrong_order() -> None:
    """With the words of its first and last bubble exchanged a spread is read in another order."""
    planted, spread = random_spread(3, 4)
    layout, _ = as_layout(spread, place(spread), planted)
    lines = layout["spreads"][0]["lines"]
    lines[0]["body"], lines[-1]["body"] = lines[-1]["body"], lines[0]["body"]

    assert reading_order(layout["spreads"][0]) == [4, 2, 3, 1]


def test_the_same_spread_gives_the_same_layout() -> None:
    """Equal input gives equal placements, score and bound."""
    _, spread = random_spread(5, 4)
    _, again = random_spread(5, 4)

    assert place(spread) == place(again)


def test_the_bound_is_below_the_score() -> None:
    """The proven bound never exceeds the score, and meets it on a spread of few lines."""
    placed = place(random_spread(3, 3)[1])

    assert placed.bound == pytest.approx(placed.score, abs=1e-6)


def test_a_spread_without_lines_is_placed() -> None:
    """Nothing to say costs nothing."""
    _, spread = random_spread(0, 2)
    placed = place(replace(spread, lines=()))

    assert placed.placements == ()
    assert placed.score == 0.0


def held_at(line: LineToPlace, x: float, y: float) -> LineToPlace:
    """Return `line` fixed with its first shape at a place."""
    tips = (Point(x, y + 30),)
    return replace(line, held=Placement(line=line.line, shape=0, centre=Point(x, y), tips=tips, held=True))


def test_held_lines_never_move() -> None:
    """A held placement comes back as it was, and the others make way."""
    _, spread = random_spread(2, 4)
    free = place(spread)
    taken = free.placements[1].centre
    lines = list(spread.lines)
    lines[0] = held_at(lines[0], taken.x, taken.y)
    placed = place(replace(spread, lines=tuple(lines)))

    assert placed.placements[0] == lines[0].held
    assert placed.placements[1].centre != taken
    assert not [b for b in placed.broken if b.rule == "overlap"]


def test_two_held_lines_that_overlap_are_named() -> None:
    """Lines held on top of each other stay, and the overlap is reported."""
    _, spread = random_spread(2, 2)
    lines = tuple(held_at(line, 120.0, 60.0) for line in spread.lines)
    placed = place(replace(spread, lines=lines))

    assert [p.centre for p in placed.placements] == [Point(120.0, 60.0)] * 2
    assert ("overlap", (1, 2)) in [(b.rule, b.lines) for b in placed.broken]


def test_staying_near_the_former_place_is_preferred() -> None:
    """A line placed elsewhere before is drawn toward that place."""
    _, spread = random_spread(7, 2)
    free = place(spread)
    was = replace(free.placements[0], centre=free.placements[0].centre + (Point(0, -40) - Point(0, 0)))
    line = replace(spread.lines[0], former=was)
    calm = place(replace(spread, lines=(line, spread.lines[1])))

    def away(point: Point) -> float:
        return (point - was.centre).length

    assert away(calm.placements[0].centre) < away(free.placements[0].centre)


def crowd(count: int) -> SpreadToPlace:
    """Return a page far too small for its lines."""
    box = Rect(20, 60, 90, 100)
    speaker = Speaker(who="toad", target=Point(50, 70), box=box)
    shape = Shape(body=oval(70, 40), cost=0.0)
    return SpreadToPlace(
        frame=frame(PageFormat(width_mm=110, height_mm=110), 1),
        lines=tuple(LineToPlace(line=n + 1, shapes=(shape,), speakers=(speaker,)) for n in range(count)),
        figures=(("toad", box),),
        x_height_mm=3.5,
    )


def test_a_crowded_spread_is_drawn_and_its_broken_rules_named() -> None:
    """Where no clean layout exists the least bad is returned, with the rules and lines concerned."""
    placed = place(crowd(4))

    assert [p.line for p in placed.placements] == [1, 2, 3, 4]
    assert placed.broken
    assert all(b.detail and set(b.lines) <= {1, 2, 3, 4} for b in placed.broken)


def test_the_work_on_a_crowd_is_bounded() -> None:
    """Fourteen lines on a page for one share the candidates, and their layout has an honest bound."""
    spread = crowd(14)
    look = look_at(spread, HOUSE, STEP_MM, MOST, lenient=True)
    placed = place(spread)

    assert sum(len(found) for found in look.found) <= MOST_OF_ALL
    assert len(placed.placements) == 14
    assert {"overlap", "tail"} & {b.rule for b in placed.broken}
    assert placed.bound <= placed.score


def test_a_bubble_larger_than_its_page_is_drawn_in_the_middle() -> None:
    """A body wider than the safe area gets a place all the same, and the rule it breaks is named."""
    spread = crowd(1)
    huge = replace(spread.lines[0], shapes=(Shape(body=oval(160, 150), cost=0.0),))
    placed = place(replace(spread, lines=(huge,)))

    assert placed.placements[0].centre == Point(55.0, 55.0)
    assert "safe" in {b.rule for b in placed.broken}


def alone(detail: NDArray[np.float64] | None = None, **speaker: object) -> SpreadToPlace:
    """Return a single page with one line said by one speaker."""
    who = Speaker(who="wren", **({"target": Point(100.0, 150.0)} | speaker))  # type: ignore[arg-type]
    return SpreadToPlace(
        frame=frame(PageFormat(width_mm=200, height_mm=200), 1),
        lines=(LineToPlace(line=1, shapes=(Shape(body=oval(50, 24), cost=0.0),), speakers=(who,)),),
        figures=(),
        x_height_mm=3.5,
        detail=detail,
    )


def test_quiet_art_is_preferred() -> None:
    """A bubble that may stand on either side of its speaker leaves the busy half of the art."""
    busy = np.zeros((20, 20))
    busy[:, :10] = 1.0
    left, right = place(alone(busy)), place(alone(busy[:, ::-1]))

    assert left.placements[0].centre.x > 125.0
    assert right.placements[0].centre.x < 75.0


@pytest.mark.parametrize(
    ("off", "axis", "sign"), [("left", 0, -1), ("right", 0, 1), ("top", 1, -1), ("bottom", 1, 1)]
)
def test_a_tail_leaves_toward_the_side_of_an_unseen_speaker(off: str, axis: int, sign: int) -> None:
    """For a speaker outside the picture the tip lies beyond the body on that side, inside the trim."""
    placed = place(alone(target=None, off=off)).placements[0]
    way = placed.tips[0] - placed.centre
    along, across = ((way.x, way.y), (way.y, way.x))[axis]

    assert along * sign > abs(across)
    assert 0 <= placed.tips[0].x <= 200
    assert 0 <= placed.tips[0].y <= 200


def test_a_tip_stops_short_of_the_face() -> None:
    """The tail ends outside the face by nearly half an x-height."""
    face = Rect(85, 135, 115, 160)
    tip = place(alone(target=Point(100, 150), face=face, box=Rect(80, 130, 120, 190))).placements[0].tips[0]

    assert (tip - face.nearest(tip)).length >= 0.45 * 3.5


def test_a_caption_has_no_tail() -> None:
    """A line without a speaker gets a place and no tip."""
    spread = alone()
    placed = place(replace(spread, lines=(replace(spread.lines[0], speakers=()),)))

    assert placed.placements[0].tips == ()


def test_a_tail_goes_round_a_place_to_keep_clear() -> None:
    """The bubble leaves the place right above the mouth when its tail would cross what lies there."""
    free = place(replace(alone(), keep_clear=(Rect(80, 100, 120, 130),)))

    assert free.broken == ()
    assert abs(free.placements[0].centre.x - 100.0) > 20.0


@pytest.mark.parametrize(("off", "axis"), [("left", 0), ("right", 0), ("top", 1), ("bottom", 1)])
def test_a_tail_to_a_far_edge_points_and_is_short(off: str, axis: int) -> None:
    """Wherever a bubble is held, its tail toward an unseen speaker is no longer than 45 mm."""
    spread = alone(target=None, off=off)
    held = Placement(line=1, shape=0, centre=Point(100.0, 100.0), held=True)
    tip = place(replace(spread, lines=(replace(spread.lines[0], held=held),))).placements[0].tips[0]
    way = (tip.x - 100.0, tip.y - 100.0)

    assert abs(way[1 - axis]) < 12.0
    assert 12.0 < abs(way[axis]) < 25.0 + 45.0


def test_a_bubble_stands_near_the_edge_that_its_speaker_is_beyond() -> None:
    """Said from beyond the left edge a line stands at the left, said from beyond the right at the right."""
    left, right = (place(alone(target=None, off=side)).placements[0].centre.x for side in ("left", "right"))

    assert left < 80.0
    assert right > 120.0


def test_a_tail_ends_on_nobody_else() -> None:
    """With another character beside its speaker a line's tail ends nearer to its own all the same."""
    other = Rect(60, 60, 130, 100)
    spread = replace(alone(target=Point(170.0, 120.0), box=Rect(150, 100, 190, 190)), figures=())
    crowded = replace(spread, figures=(("toad", other),))
    placed = place(crowded).placements[0]
    tip = placed.tips[0]

    assert (tip - Point(170.0, 120.0)).length < (tip - other.nearest(tip)).length


def test_a_tail_keeps_off_a_likely_face() -> None:
    """Where no face is known the tail hardly enters the head that it is given instead, by a tenth at most."""
    head = Rect(85, 130, 115, 160)
    spread = alone(target=Point(100, 150), head=head, box=Rect(70, 120, 130, 190))
    tip = place(spread).placements[0].tips[0]
    core = head.inset(0.1 * head.width)

    assert (tip - core.nearest(tip)).length > 1.0


def test_a_tail_near_a_mouth_alone_goes_on_until_it_points() -> None:
    """Held close to a likely face a tail enters it and goes 40 % of the way; a known face it never enters."""
    head, held = Rect(85, 130, 115, 160), Placement(line=1, shape=0, centre=Point(100, 113), held=True)
    box = Rect(70, 120, 130, 190)
    ends = []
    for face in (None, head):
        spread = alone(target=Point(100, 150), box=box, head=head, face=face)
        spread = replace(spread, lines=(replace(spread.lines[0], held=held),))
        ends.append(place(spread).placements[0].tips[0].y)

    foot = 113 + 12
    assert ends[0] == pytest.approx(foot + 0.4 * (150 - foot), abs=0.3)
    assert ends[1] < head.y0 - 0.4 * 3.5


def test_a_bubble_stands_off_a_face_so_that_its_tail_points() -> None:
    """Free to move, a bubble leaves its tail half of the way (common practice: 50-70 %), or 4 x-heights."""
    spread = alone(target=Point(100, 150), face=Rect(85, 130, 115, 160), box=Rect(70, 120, 130, 190))
    placed = place(spread).placements[0]
    foot = placed.centre.y + 12
    length = placed.tips[0].y - foot

    assert length > min(0.45 * (150 - foot), 0.9 * 14)


def test_a_caption_may_close_a_spread_at_its_foot() -> None:
    """Narration that ends a spread is not drawn up to the head of the page, other lines are."""
    spoken = alone().lines[0]
    caption = replace(spoken, line=2, speakers=())
    both = replace(alone(), lines=(spoken, caption))
    first = replace(alone(), lines=(replace(caption, line=1),))

    assert place(both).placements[1].centre.y > place(first).placements[0].centre.y + 20.0
