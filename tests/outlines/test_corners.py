"""Corners against bends of known radius, and against the corners of open typefaces."""

import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from lettering.outlines.arms import straighten, strain, turned
from lettering.outlines.corners import Corners, corners_of
from lettering.outlines.doubts import doubtful
from lettering.outlines.edge import Edge, edges_of
from lettering.outlines.nodes import Nodes, following
from lettering.outlines.pieces import Division, divided
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scan, Scanner, scans
from tests.outlines.test_trace import NOISE, kinks, noisy
from tests.outlines.textured import pencilled, textured

CIRCLE = 4 / 3 * math.tan(math.pi / 8)
"""Handle of a quarter of the unit circle: the cubic that meets it in its middle, within 0.03 %."""


def round_nodes(radius: float, corner: bool = False) -> Nodes:
    """Return a circle of four nodes, of which the first may turn freely."""
    turn = np.arange(4) * np.pi / 2
    return Nodes(
        places=radius * np.stack([np.cos(turn), np.sin(turn)], axis=1),
        leave=turn + np.pi / 2,
        arrive=turn + np.pi / 2,
        first=np.full(4, CIRCLE * radius),
        second=np.full(4, CIRCLE * radius),
        corner=np.array([corner, False, False, False]),
        after=following([4]),
    )


def polygon_nodes(corners: NDArray[np.float64]) -> Nodes:
    """Return a polygon, all of whose nodes are corners."""
    ends = np.roll(corners, -1, axis=0)
    pieces = np.stack([corners + (ends - corners) * k / 3 for k in range(4)], axis=1)
    return Nodes.of([Division(np.arange(len(corners)), np.ones(len(corners), dtype=bool), pieces)])


def one(nodes: Nodes, unknown: int, change: float) -> NDArray[np.float64]:
    """Return the change of one unknown of the first piece."""
    step = np.zeros(nodes.unknowns)
    step[nodes.columns[0, unknown]] = change
    return step


@pytest.mark.parametrize("radius", [2.0, 5.0, 30.0])
def test_a_circle_turns_by_its_arc_over_its_radius(radius: float) -> None:
    """Both ways from every node, across other nodes too: the closed form, within a hundredth."""
    before, after = turned(round_nodes(radius), 4.0)

    assert before == pytest.approx(4.0 / radius, rel=0.01)
    assert after == pytest.approx(4.0 / radius, rel=0.01)


def test_another_corner_is_met_half_way() -> None:
    """A blunt end 4 px wide that bulges evenly: half of what it turns belongs to each of its corners."""
    nodes = polygon_nodes(np.array([(0.0, 0), (4, 0), (4, 30), (0, 30)]))

    before, after = turned(nodes.moved(one(nodes, 2, -0.3) + one(nodes, 6, 0.3)), 4.0)

    assert after[0] == pytest.approx(0.3, rel=1e-3)
    assert before[1] == pytest.approx(0.3, rel=1e-3)


def test_straight_arms_have_no_strain_and_bent_ones_are_pulled_straight() -> None:
    """A square is at rest; with a side that bulges, one step of the equations takes nearly all of it away."""
    nodes = polygon_nodes(np.array([(0.0, 0), (20, 0), (20, 20), (0, 20)]))
    bent = nodes.moved(one(nodes, 2, 0.2))
    known, pull = np.eye(nodes.unknowns) * 1e-3, np.zeros(nodes.unknowns)

    straighten(bent, known, pull)

    assert strain(nodes) == pytest.approx(0, abs=1e-12)
    assert strain(bent) > 0.5
    assert strain(bent.moved(np.asarray(np.linalg.solve(known, pull)))) < 0.05 * strain(bent)


def test_what_pulls_arms_straight_is_the_slope_of_their_strain() -> None:
    """For every unknown: against central differences of the strain."""
    turns = np.random.default_rng(2).normal(0, 0.1, 4)
    nodes = round_nodes(9.0, corner=True)
    nodes = nodes.moved(np.concatenate([np.zeros(8), turns, np.zeros(9)]))
    known, pull = np.zeros((nodes.unknowns, nodes.unknowns)), np.zeros(nodes.unknowns)

    straighten(nodes, known, pull)

    for k, step in enumerate(np.eye(nodes.unknowns) * 1e-4):
        slope = (strain(nodes.moved(step)) - strain(nodes.moved(-step))) / 2e-4
        assert -2 * pull[k] == pytest.approx(slope, rel=1e-3, abs=1e-2)


def test_a_heading_is_that_of_the_longer_piece() -> None:
    """Where 40 px meet 2 px at a smooth node, the long piece is turned by less than 0.002 degrees."""
    at = np.array([(0.0, 0), (40, 0), (42, 0.2), (20, 30)])
    ends = np.roll(at, -1, axis=0)
    pieces = np.stack([at + (ends - at) * k / 3 for k in range(4)], axis=1)

    nodes = Nodes.of([Division(np.arange(4), np.zeros(4, dtype=bool), pieces)])

    assert abs(nodes.leave[1]) < 2e-4 * math.atan(0.1)


def test_an_arc_is_doubted_and_a_wedge_is_not() -> None:
    """A corner of 40 degrees on a circle of 4 px is doubted: its arms turn more. A square has none."""
    arc = round_nodes(4.0, corner=True)
    arc = arc.moved(
        np.concatenate([np.zeros(8), [math.radians(20), 0, 0, 0], np.zeros(8), [-math.radians(20)]])
    )
    square = polygon_nodes(np.array([(0.0, 0), (20, 0), (20, 20), (0, 20)]))

    assert doubtful(arc, NOISE).tolist() == [True, False, False, False]
    assert not doubtful(square, NOISE).any()


@pytest.mark.parametrize("width", [5.0, 7.0])
def test_a_blunt_end_keeps_both_corners(width: float) -> None:
    """Two right angles a pen's width apart stay two, within what noise and blur leave of so short a side."""
    for seed in range(3):
        stroke = noisy(lambda x, y: (abs(y - 32.3) < width / 2) & (abs(x - 32.2) < 20), seed=seed)
        (outline,) = trace(stroke, noise=NOISE)

        sharp = np.abs(kinks(outline)) > 45
        wanted = np.array([(x, y) for x in (12.2, 52.2) for y in (32.3 - width / 2, 32.3 + width / 2)])
        assert sharp.sum() == 4
        apart = np.linalg.norm(outline.pieces[sharp, 0][:, None] - wanted, axis=2)
        assert apart.min(axis=0).max() < 0.5


@pytest.mark.parametrize("radius", [5.0, 8.0])
def test_a_bend_of_known_radius_is_no_corner(radius: float) -> None:
    """A right angle rounded by a circle of 5 px or more has no kink, whichever way the light falls."""

    def rounded(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        u, v = np.abs(x - 32.2) - (20 - radius), np.abs(y - 31.7) - (20 - radius)
        return np.asarray(np.hypot(np.maximum(u, 0), np.maximum(v, 0)) < radius)

    for seed in range(3):
        (outline,) = trace(noisy(rounded, seed=seed), noise=NOISE)
        assert np.abs(kinks(outline)).max() < 10


@pytest.mark.parametrize(
    ("typeface", "letters"), [("indie-flower", "lv"), ("andika", "xX"), ("delius", "tz")]
)
def test_the_corners_of_typefaces_are_kept(typeface: str, letters: str) -> None:
    """Where their own outlines turn by 50 to 150 degrees in one point, traced ones turn alike within 20."""
    for scan in scans(typeface, Scanner(ppi=300), letters):
        contours = trace(scan.coverage, noise=NOISE)
        places = np.concatenate([contour.pieces[:, 0] for contour in contours])
        found = np.concatenate([kinks(contour) for contour in contours])
        for place, turn in true_kinks(scan):
            near = np.linalg.norm(places - place, axis=1) < 2
            assert np.abs(found[near] - turn).min() < 20, (scan.char, place, turn)


def true_kinks(scan: Scan) -> list[tuple[NDArray[np.float64], float]]:
    """Return the places and turns, degrees, of a true outline where two of its straights or curves meet."""
    found = []
    for part in shapely.get_parts(shapely.boundary(scan.truth)):
        points = shapely.get_coordinates(part)[:-1]
        ahead = np.roll(points, -1, axis=0) - points
        back = np.roll(ahead, 1, axis=0)
        cross = back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0]
        turns = np.degrees(np.arctan2(cross, (back * ahead).sum(axis=1)))
        found += [(points[k], turns[k]) for k in np.flatnonzero((np.abs(turns) > 50) & (np.abs(turns) < 150))]
    return found


def test_no_two_corners_lie_in_one_place() -> None:
    """At the broken edges of pencil two corners of a nick may be led to neighbouring points: one stays."""
    bare = list(scans("delius", Scanner(ppi=300, blur=(0, 0), noise=0), "stuvwx"))
    edges = [
        edge
        for page in textured(bare, pencilled)
        for edge in edges_of(np.pad(page.scan.coverage.astype(float), 8), 0.7)
    ]
    found = [np.diff(corners_of(edge, 1.5).index) * edge.step for edge in edges]

    assert sum(len(apart) for apart in found) > 200
    assert min(apart.min() for apart in found if len(apart)) >= 1.0


@pytest.mark.parametrize("steps", [1, 2, 3, 7])
def test_an_edge_is_divided_at_corners_however_close_they_lie(steps: int) -> None:
    """Between two corners a few points apart there is one piece at least, and the corners begin pieces."""
    turn = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    edge = Edge(20 * np.stack([np.cos(turn), np.sin(turn)], axis=1), 20 * turn[1])
    index = np.array([100, 100 + steps])
    division = divided(edge, Corners(index, edge.points[index], np.full(2, 1.5)), kappa=0.02)

    assert set(index) <= set(division.starts[division.corner])
    assert np.isfinite(division.pieces).all()
