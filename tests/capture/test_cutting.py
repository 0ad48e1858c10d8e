"""Touching ink cut where the join is thin."""

import numpy as np

from lettering.capture.cutting import cut_apart


def two_blocks(bridge: int) -> np.ndarray:
    """Return two blocks of 40 px joined by a bridge 4 px long and `bridge` px thick."""
    own = np.zeros((40, 84), dtype=np.bool_)
    own[:, :40] = own[:, 44:] = True
    own[20 : 20 + bridge, 40:44] = True
    return own


def test_a_thin_join_is_cut_through_its_bridge() -> None:
    """Each block comes out whole, give or take the bridge."""
    cut = cut_apart(two_blocks(4), (1.0, 1.0), 5.0, lambda number, ink: abs(int(ink.sum()) - 1600) / 1600)

    assert cut is not None
    left, right = cut[0]
    assert 1600 <= left.sum() <= 1616
    assert left.sum() + right.sum() == two_blocks(4).sum()


def test_a_thick_join_is_left_alone() -> None:
    """Ink joined over far more than a stroke's width is not cut."""
    assert cut_apart(two_blocks(30), (1.0, 1.0), 5.0, lambda number, ink: 0.0) is None
