"""The clean level: what it may change and what it may not."""

from functools import cache

import numpy as np
import pytest
import shapely

from lettering.geometry.contour import Contour
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scan, Scanner, scans
from tests.outlines.test_trace import NOISE, kinks

LEVELS = (0.0, 0.5, 1.0)
LETTERS = (("schoolbell", "g"), ("andika", "E"), ("patrick-hand", "a"), ("delius", "i"))


@cache
def levels(face: str, char: str) -> tuple[Scan, tuple[tuple[Contour, ...], ...]]:
    """Return a scan and its outlines at each level."""
    (scan,) = scans(face, Scanner(ppi=300), char)
    return scan, tuple(trace(scan.coverage, noise=NOISE, clean=level) for level in LEVELS)


def line(contours: tuple[Contour, ...]) -> shapely.Geometry:
    """Return the outline as dense lines."""
    return shapely.MultiLineString(
        [np.concatenate([p, p[:1]]) for p in (c.flattened(0.01) for c in contours)]
    )


@pytest.mark.parametrize(("face", "char"), LETTERS)
def test_cleaning_gives_fewer_pieces_and_keeps_parts_and_holes(face: str, char: str) -> None:
    """A calmer outline has no more pieces, and as many parts and holes."""
    _, found = levels(face, char)

    counts = [sum(map(len, contours)) for contours in found]
    assert counts == sorted(counts, reverse=True)
    assert len({tuple(c.area > 0 for c in contours) for contours in found}) == 1


@pytest.mark.parametrize(("face", "char"), LETTERS)
def test_cleaning_moves_the_outline_less_than_a_px(face: str, char: str) -> None:
    """At every level the outline stays within a px of the pen's, and its area within one in a hundred."""
    scan, found = levels(face, char)

    for contours in found[1:]:
        assert shapely.hausdorff_distance(line(contours), line(found[0])) < 1.0
        assert sum(c.area for c in contours) == pytest.approx(scan.truth.area, rel=0.01)


def test_cleaning_keeps_corners() -> None:
    """The twelve right angles of an E stay where they are at every level."""
    _, found = levels("andika", "E")

    corners = [np.concatenate([c.pieces[np.abs(kinks(c)) > 70, 0] for c in contours]) for contours in found]
    assert [len(places) for places in corners] == [12, 12, 12]
    for places in corners[1:]:
        apart = np.linalg.norm(places[:, None] - corners[0], axis=2)
        assert apart.min(axis=1).max() < 0.3
