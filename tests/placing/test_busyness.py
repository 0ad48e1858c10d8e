"""Mean detail under boxes, against plain means."""

import numpy as np
import pytest

from lettering.geometry.rect import Rect
from lettering.placing.busyness import busyness


def test_boxes_on_cells_get_the_mean_of_their_cells() -> None:
    """A box that covers whole cells gets their plain mean."""
    detail = np.random.default_rng(1).random((10, 20))
    boxes = np.array([(10.0, 20.0, 60.0, 50.0), (0.0, 0.0, 200.0, 100.0)])

    assert busyness(detail, Rect(0, 0, 200, 100), boxes) == pytest.approx(
        [detail[2:5, 1:6].mean(), detail.mean()]
    )


def test_parts_of_cells_count_by_their_area() -> None:
    """A box over halves of a busy and of a quiet cell is half busy."""
    assert busyness(
        np.array([[1.0, 0.0]]), Rect(0, 0, 2, 1), np.array([(0.5, 0.2, 1.5, 0.8)])
    ) == pytest.approx([0.5])
