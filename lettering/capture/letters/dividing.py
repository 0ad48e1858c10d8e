"""Ink in which letters run together, divided among letters whose places are known.

Ink that is clearly nearer to one letter's own take than to any other's is that letter's; what lies between is
flooded from there along the thick of the strokes, so that the floods meet where the join is thin.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, gaussian_filter, label, watershed_ift

from lettering.capture.ink.pieces import EIGHT
from lettering.capture.letters.laying import Laid, Run

CLEAR = 0.35
"""Ink is clearly one letter's when it is nearer to its take than to others' by so many strokes' widths."""
SMOOTH = 0.4
"""A cut is smoothed over so many strokes' widths."""
UNKNOWN = 0.3
"""A letter without a take is taken to be so many strokes' widths from ink between its edges."""
SEED = 0.15
"""Smaller patches of clear ink are accidents of the outline; share of a square of the stroke's width."""


def divided(run: Run, letters: Sequence[Laid]) -> tuple[NDArray[np.bool_], ...]:
    """Return each letter's ink, shape of the run; all of the run's ink is given to one of them."""
    away = np.stack([_away(run, letter) for letter in letters])
    ranked = np.sort(away, axis=0)
    clear = run.ink & (ranked[1] - ranked[0] > CLEAR)
    nearest = away.argmin(axis=0)
    seeds = np.zeros(run.ink.shape, dtype=np.int32)
    for number in range(len(letters)):
        patches, count = label(clear & (nearest == number), EIGHT)
        large = np.bincount(patches.ravel(), minlength=count + 1) >= SEED * run.stroke**2
        large[0] = False
        seeds[large[patches]] = number + 1
    flooded = _flooded(run.ink, seeds)
    # Pieces without a seed are nobody's clearly: they go to the nearest.
    owner = np.where(flooded > 0, flooded - 1, nearest)
    parts = np.stack([run.ink & (owner == number) for number in range(len(letters))])
    # Floods meet along a ragged line; a pen's stroke ends in a smooth one.
    shares = [gaussian_filter(part.astype(np.float32), SMOOTH * run.stroke) for part in parts]
    smooth = np.argmax(shares, axis=0)
    return tuple(run.ink & (smooth == number) for number in range(len(letters)))


def _flooded(ink: NDArray[np.bool_], seeds: NDArray[np.int32]) -> NDArray[np.int32]:
    """Return the seed that reaches each pixel of ink first, the thick of strokes before their edges."""
    depth = distance_transform_edt(np.pad(ink, 1))[1:-1, 1:-1]
    height = np.where(ink, np.rint((1 - depth / max(depth.max(), 1.0)) * 1000), 0xFFFF).astype(np.uint16)
    paper = np.where(ink, seeds, -1).astype(np.int32)
    reached: NDArray[np.int32] = watershed_ift(height, paper, structure=EIGHT)
    return np.where(ink, np.maximum(reached, 0), 0)


def _away(run: Run, letter: Laid) -> NDArray[np.float64]:
    """Return how far each pixel is from a letter, strokes' widths."""
    if letter.ink is not None and letter.ink.any():
        return np.asarray(distance_transform_edt(~letter.ink) / run.stroke)
    column = np.arange(run.ink.shape[1]) + 0.5
    outside = np.maximum(np.maximum(letter.left - column, column - letter.right), 0) / run.stroke
    return np.broadcast_to(UNKNOWN + outside, run.ink.shape)
