"""Moving the nodes so that the outline passes through the points of the edge as well as it can."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

from lettering.geometry.contour import Points
from lettering.outlines.edge import Edge
from lettering.outlines.nodes import Nodes
from lettering.outlines.pieces import Division

TIGHTEST = 2.9
"""Least radius, px, for which the pull of blur on a bend is undone: tighter bends are left to the grey."""

LEAP = 2.0
"""Farthest an unknown may go in one step, as a multiple of a change that is no news."""


@dataclass(frozen=True, slots=True, eq=False)
class Footing:
    """Edge points with the place on the outline that each belongs to."""

    points: Points
    """Shape (q, 2), px."""
    piece: NDArray[np.intp]
    """Shape (q,): the piece of the outline."""
    t: NDArray[np.float64]
    """Shape (q,): the parameter on it, 0..1."""
    weight: NDArray[np.float64]
    """Shape (q,): 0 where the point is not believed."""

    @classmethod
    def of(
        cls, edges: list[Edge], divisions: list[Division], weights: list[NDArray[np.float64]]
    ) -> "Footing":
        """Return the points of all edges, spread over their pieces by arc length."""
        pieces, parameters, offset = [], [], 0
        for edge, division in zip(edges, divisions, strict=True):
            here = np.arange(len(edge.points))
            which = np.searchsorted(division.starts, here, side="right") - 1
            start = division.starts[which]
            following = np.roll(division.starts, -1)[which]
            span = (following - start - 1) % len(here) + 1
            pieces.append(which % len(division.starts) + offset)
            parameters.append(((here - start) % len(here)) / span)
            offset += len(division.starts)
        return cls(
            np.concatenate([edge.points for edge in edges]),
            np.concatenate(pieces),
            np.concatenate(parameters),
            np.concatenate(weights),
        )


def settled(nodes: Nodes, footing: Footing, *, sigma: float, spread: float, rounds: int = 2) -> Nodes:
    """Return the nodes with the outline on the edge, the pull of blur on bends undone.

    `sigma`: standard deviation of an edge point, px. `spread`: total blur of the edge, px; an edge
    of radius R blurred so lies about spread² / 2R too far toward its centre.
    """
    for turn in range(2 * rounds):
        footing = replace(footing, t=_feet(nodes, footing))
        targets = footing.points
        if turn >= rounds:
            targets = targets + _pull(nodes, footing, spread)
        nodes = nodes.moved(_step(nodes, footing, targets, sigma))
    return nodes


def priors(nodes: Nodes) -> NDArray[np.float64]:
    """Return for each unknown the standard deviation, px or radians, of a change that is no news."""
    n = len(nodes)
    chord = np.linalg.norm(nodes.places[nodes.after] - nodes.places, axis=1)
    place = np.where(nodes.corner, 0.6, 1.5)
    before = np.empty(n)
    before[nodes.after] = chord
    # A short piece says little of its heading: without this tie a round end is drawn out to a spike.
    heading = np.clip(0.1 * np.minimum(chord, before), 0.08, 0.5)
    handles = 0.35 * np.maximum(chord / 3, 0.5)
    return np.concatenate([place, place, heading, handles, handles, heading[nodes.corner]])


def _step(nodes: Nodes, footing: Footing, targets: Points, sigma: float) -> NDArray[np.float64]:
    """Return the Gauss-Newton step toward the target points, by distance across the outline."""
    places, normals, _ = curve(nodes, footing.piece, footing.t)
    # The standard deviation of each point is taken into its normal, so that the rows come out weighed.
    normals = normals * (np.sqrt(footing.weight) / sigma)[:, None]
    off = _dot(targets - places, normals)
    rows = nodes.across(footing.piece, footing.t, normals)
    usual = priors(nodes)
    matrix = (rows.T @ rows).toarray() + np.diag(usual**-2)
    step = linalg.solve(matrix, rows.T @ off, assume_a="pos", check_finite=False)
    # Where a handle is short the equations are far from linear, and a whole step would overshoot.
    return np.asarray(np.clip(step, -LEAP * usual, LEAP * usual))


def _feet(nodes: Nodes, footing: Footing) -> NDArray[np.float64]:
    """Return the parameters moved to the foot of each point on its piece."""
    t = footing.t
    for _ in range(2):
        places, velocity = nodes.at(footing.piece, t)
        speed = np.maximum(_dot(velocity, velocity), 1e-9)
        t = np.clip(t + _dot(footing.points - places, velocity) / speed, 0, 1)
    return t


def _pull(nodes: Nodes, footing: Footing, spread: float) -> Points:
    """Return how far blur has drawn each point toward the centre of its bend, to be given back."""
    _, normals, velocity = curve(nodes, footing.piece, footing.t)
    p, t = nodes.pieces, footing.t[:, None]
    early, late = 6 * (p[:, 0] - 2 * p[:, 1] + p[:, 2]), 6 * (p[:, 1] - 2 * p[:, 2] + p[:, 3])
    bend = (1 - t) * early[footing.piece] + t * late[footing.piece]
    speed = np.maximum(np.hypot(velocity[:, 0], velocity[:, 1]), 1e-9)
    curvature = (velocity[:, 0] * bend[:, 1] - velocity[:, 1] * bend[:, 0]) / speed**3
    pull = (spread**2 / 2 * np.clip(curvature, -1 / TIGHTEST, 1 / TIGHTEST))[:, None]
    return np.asarray(normals * pull)


def curve(nodes: Nodes, which: NDArray[np.intp], t: NDArray[np.float64]) -> tuple[Points, Points, Points]:
    """Return points, outward unit normals and velocities, (q, 2) each, at `t` of pieces `which`."""
    places, velocity = nodes.at(which, t)
    speed = np.maximum(np.hypot(velocity[:, 0], velocity[:, 1]), 1e-9)
    # Ink lies on the side toward which x turns to y, so that outward is the heading turned back.
    normals = np.stack([velocity[:, 1], -velocity[:, 0]], axis=1) / speed[:, None]
    return places, normals, velocity


def _dot(a: Points, b: Points) -> NDArray[np.float64]:
    return np.asarray(a[:, 0] * b[:, 0] + a[:, 1] * b[:, 1])
