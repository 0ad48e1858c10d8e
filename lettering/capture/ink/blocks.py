"""A value that changes slowly over a page, known at the middle of every block of pixels."""

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box


def between_blocks(level: NDArray[np.float32], side: int, box: Box) -> NDArray[np.float32]:
    """Return the value at every pixel of a box, between the middles of blocks of `side` px.

    `level` has shape (block rows, block columns); the answer has that of the box.
    """
    rows, down = _shares(box.top, box.bottom, side, level.shape[0])
    columns, across = _shares(box.left, box.right, side, level.shape[1])
    return np.asarray((down @ level[rows, columns]) @ across.T, dtype=np.float32)


def _shares(first: int, last: int, side: int, count: int) -> tuple[slice, NDArray[np.float32]]:
    """Return the blocks that pixels first..last - 1 lie between, and each one's share, (pixels, blocks)."""
    place = np.clip((np.arange(first, last) + 0.5) / side - 0.5, 0, count - 1)
    near = slice(int(place[0]), min(int(place[-1]) + 2, count))
    away = np.abs(place[:, None] - np.arange(near.start, near.stop))
    return near, np.asarray(np.maximum(1 - away, 0), dtype=np.float32)
