"""Lines whose bubbles meet are placed as one and parted again."""

from itertools import product
from pathlib import Path

import numpy as np
import shapely

from lettering.book.line import Joint
from lettering.bubbles.body import body
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.region import Region
from lettering.placing.placement import LineToPlace, Placement, Shape, Speaker
from lettering.steps.meeting import Bodies, meetings, parted, to_place
from lettering.steps.place import place_book
from lettering.storage.placements import placements_path
from tests.bubbles.mock_rows import X_HEIGHT, rows
from tests.steps.books import BOOK, book_on_disk


def line(number: int, joint: Joint | None, mouth_x: float) -> Bodies:
    """Return a line of one stack whose speaker's mouth lies at `mouth_x` mm."""
    outline = body(rows([6, 7]), air_mm=X_HEIGHT, seed=str(number))
    wanted = LineToPlace(
        line=number,
        shapes=(Shape(body=outline.flattened(), cost=1.0),),
        speakers=() if joint == "neck" else (Speaker(who="wren", target=Point(mouth_x, 200.0)),),
    )
    return Bodies(joint=joint, bodies=(outline,), to_place=wanted)


def area(outline: Contour, centre: Point) -> Region:
    """Return a body at its place."""
    return Region.polygon(outline.moved(centre - Point(0, 0)).flattened())


def test_a_pair_is_placed_as_one_and_keeps_its_distance() -> None:
    """Placing sees the hull of both; afterwards the second hangs a neck's length from the first."""
    lines = [line(1, None, 50), line(2, "neck", 50), line(3, None, 90)]
    met = meetings(lines, X_HEIGHT)
    one, other = to_place(lines, met)
    tips = (Point(1.0, 2.0),)
    first, second = parted(Placement(line=1, shape=0, centre=Point(60, 70), tips=tips), met)
    bodies = [area(lines[i].bodies[0], p.centre) for i, p in enumerate((first, second))]

    assert (one.line, other.line) == (1, 3)
    assert (first.line, second.line, first.tips, second.tips) == (1, 2, tips, ())
    assert 0 < bodies[0].distance(bodies[1]) < 1.2 * X_HEIGHT
    hull = Region.polygon(np.asarray(one.shapes[0].body) + (60, 70)).buffered(0.1)
    assert all(hull.contains(each) for each in bodies)


def test_a_reply_lies_on_its_own_speakers_side() -> None:
    """A reply from the left lies lower on the left, lapping over, so that the tails do not cross."""
    lines = [line(1, None, 300), line(2, "touching", 40)]
    met = meetings(lines, X_HEIGHT)

    for shape in range(len(met[1].ways)):
        first, second = parted(Placement(line=1, shape=shape, centre=Point(99, 70), tips=()), met)
        bodies = [area(lines[i].bodies[0], p.centre) for i, p in enumerate((first, second))]

        assert second.centre.x < first.centre.x
        assert second.centre.y > first.centre.y
        assert 0 < bodies[0].intersection(bodies[1]).area < 0.1 * bodies[0].area


def test_three_in_a_row_are_placed_as_one() -> None:
    """A neck and a reply in one chain: each lies against the one before, the ends clear of each other."""
    lines = [line(1, None, 50), line(2, "neck", 50), line(3, "touching", 300), line(4, None, 300)]
    met = meetings(lines, X_HEIGHT)
    wanted = list(to_place(lines, met))

    assert [one.line for one in wanted] == [1, 4]
    assert len(wanted[0].speakers) == 2
    for shape in range(len(wanted[0].shapes)):
        tips = (Point(1.0, 2.0), Point(3.0, 4.0))
        whole = Placement(line=1, shape=shape, centre=Point(60, 70), tips=tips)
        first, second, third = parted(whole, met)
        bodies = [area(lines[i].bodies[0], p.centre) for i, p in enumerate((first, second, third))]

        assert (first.tips, second.tips, third.tips) == (tips[:1], (), tips[1:])
        assert 0 < bodies[0].distance(bodies[1]) < X_HEIGHT
        assert bodies[1].overlaps(bodies[2])
        assert bodies[0].distance(bodies[2]) > 0
        assert first.centre.y < second.centre.y < third.centre.y


STANDING = (
    (
        "wren: {box: [38, 150, 60, 70], mouth: [70, 168]}",
        "toad: {box: [140, 160, 70, 80], mouth: [170, 185]}",
    ),
    (
        "wren: {box: [140, 150, 60, 70], mouth: [165, 168]}",
        "toad: {box: [30, 150, 70, 80], mouth: [60, 172]}",
    ),
)
"""Two who stand beside each other, the first speaker left and then right, in the words of the book file."""

SAID = (
    ("wren: Who left a cello?", "toad: {says: Not me!, joint: touching}"),
    ("wren: Who left it?", "wren: {says: It is wet., joint: neck}", "toad: {says: Not me!, joint: touching}"),
    (
        "wren: Who left it?",
        "toad: {says: It was not me!, joint: touching}",
        "wren: {says: Then go., joint: touching}",
    ),
)
"""A reply, a reply to two on a neck, and a reply to a reply."""


def meeting_book(folder: Path) -> Path:
    """Return a book on disk with a spread for each way of standing and of answering."""
    text = [BOOK[: BOOK.index("spreads:")] + "spreads:"]
    for page, (figures, lines) in enumerate(product(STANDING, SAID), 2):
        text += [f"  - pages: {2 * page}-{2 * page + 1}", "    figures:"]
        text += [*(f"      {one}" for one in figures), "    lines:", *(f"      - {one}" for one in lines)]
    return book_on_disk(folder, "\n".join(text) + "\n")


def test_bubbles_that_meet_hide_no_tail_and_are_read_in_order(tmp_path: Path) -> None:
    """With all the room they could want, chains are placed without an error, all tails in sight.

    Areas are shapely's: what a tail adds to all bodies on its neck lies under or over no other bubble.
    """
    path = meeting_book(tmp_path)
    result = place_book(path)

    assert [found for found in result.findings if found.severity == "error"] == []
    for spread in result.spreads:
        bubbles = [line.bubble for line in spread.lines if line.bubble]
        bodies = [shapely.Polygon(one.body.flattened(0.01)) for one in bubbles]
        necks = [line.line.joint == "neck" for line in spread.lines]
        for i, one in enumerate(bubbles):
            own = i + 1 if i + 1 < len(necks) and necks[i + 1] else i
            bearing = shapely.union_all(bodies[i : own + 1])
            for tail in one.tails:
                seen = shapely.Polygon(tail.outline.flattened(0.01)).difference(bearing)
                others = shapely.union_all([*bodies[:i], *bodies[own + 1 :]])
                assert seen.intersection(others).area < 0.05
                assert bearing.distance(shapely.Point(tail.root.x, tail.root.y)) < 0.1

    before = placements_path(path).read_bytes()
    place_book(path)
    assert placements_path(path).read_bytes() == before
