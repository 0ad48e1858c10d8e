"""One letter found on a page: its ink, its name and how sure we are."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class InkLetter:
    """The ink of one letter, cut free of its neighbours."""

    char: str
    """The character, or cluster of a base and marks, that the reading names (NFC)."""
    row: int
    """Row of the reading, counted from 0."""
    place: int
    """Index of the character in that row's text, spaces counted, from 0."""
    coverage: NDArray[np.float32]
    """Shape (h, w), 0 paper to 1 full ink in linear light; its own ink only, >= 4 px of paper round it."""
    picture: NDArray[np.uint8]
    """Shape (h, w), the same crop of the grey page as it looks, neighbours and all."""
    left: int
    """Page column of the crop's first column; pixel j of the crop covers x from left + j to left + j + 1."""
    top: int
    """Page row of the crop's first row."""
    baseline: float
    """y of the baseline under the letter, page px."""
    slope: float
    """dy/dx of the baseline under the letter."""
    noise: float
    """Standard deviation of coverage on blank paper nearby."""
    confidence: float
    """0..1, from the margin between the best and the second-best reading of the ink."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SetAside:
    """A letter of the reading that was not taken, or was doubtful, and why."""

    char: str
    """Empty for ink that looks like a letter and that the reading does not name."""
    row: int
    place: int
    """Index of the character in that row's text, or of the one before which the unnamed ink stands."""
    box: Rect | None
    """Where on the page, px; none when no ink answers to it."""
    reason: str
    """What she should know: 'touches its neighbour', 'no ink found', 'could be another letter' …"""
    ink: InkLetter | None = None
    """Its ink, by which it can be seen and taken after all; of letters that run together the first has that
    of all, and all their names. None when no ink answers to it, or when it is with a letter before."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LetteredPage:
    """What was understood of one page."""

    name: str
    letters: tuple[InkLetter, ...]
    """In reading order."""
    set_aside: tuple[SetAside, ...]
    x_height_px: float
    """Height of a flat lower-case x, px (from capitals when there are no small letters)."""
    cap_height_px: float | None
    """Height of a flat capital above the baseline, px; none when there are no capitals or figures."""
    px_per_mm: float | None
    """Scale on paper, from the file's ppi or the given x-height; none when unknown."""
    row_pitch_px: float | None
    """Usual distance between baselines, px; none for one row."""
    remarks: tuple[str, ...] = ()
    """What she should know of the page as a whole, in sentences."""
