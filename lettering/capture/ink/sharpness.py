"""How sharp the edges of ink are, and whether strokes are wide enough for their blur."""

import numpy as np

from lettering.capture.ink.ink import Ink
from lettering.capture.ink.pieces import Pieces, boundary
from lettering.capture.page import PageImage
from lettering.errors import ReadingError

SAMPLED = 24
"""Pieces of ink, spread over the page, whose edges are measured."""
MOST_EDGE = 0.5
"""Edges may be at most this share of a stroke wide; past that strokes and counters run together."""
SHARP_PX = 2.5
"""Edges of every sharp picture are up to this wide (a blur of 1 px): a fine pen is then thin, not blurred."""

INSIDE = 0.25
"""An edge is followed from this share of full ink to the rest: nearer to paper, grain would pass for blur."""
WHOLE_EDGE = 1.9
"""From a tenth to nine tenths is so many times as wide as from a quarter to three (Gaussian, closed form)."""

STEPPED_STRAY_PX = 0.8
"""Without greys outlines stray so far where they stray most: 0.8 px on strokes of 4 to 8 px, 0.64 on 16
(medians over letters of two typefaces, traced as the program does, against their own outlines; with greys
0.3 to 0.15). On average it is 0.15, 0.13 and 0.10 px."""
MOST_STRAY = 0.1
"""Share of a stroke by which outlines may stray at worst: past that the edge is seen to wobble."""
LEAST_STEPPED_PX = STEPPED_STRAY_PX / MOST_STRAY
"""Strokes of a picture without greys are at least this wide."""


def demand_grey(page: PageImage, pieces: Pieces) -> tuple[str, ...]:
    """Return a remark on a picture without greys; raises ReadingError when its strokes are too narrow."""
    seen = np.bincount(page.pixels[::3, ::3].ravel(), minlength=2)
    if np.count_nonzero(seen) > 2:
        return ()
    if pieces.stroke_px < LEAST_STEPPED_PX:
        raise ReadingError(
            f"the picture is black and white without greys, and its strokes are {pieces.stroke_px:.1f} px "
            f"wide: outlines would stray by {STEPPED_STRAY_PX / pieces.stroke_px:.0%} of a stroke; "
            f"strokes of {LEAST_STEPPED_PX:.0f} px are needed, which keep within {MOST_STRAY:.0%}",
            page.name,
            "Scan in grey or colour, or in black and white at 600 ppi or more.",
        )
    return ("black and white without greys: outlines are rougher than those of a scan in grey or colour",)


def edge_px(ink: Ink, pieces: Pieces) -> float:
    """Return how wide edges are, from a tenth to nine tenths of full ink: their area over their length, px.

    A Gaussian blur's edge is 2.56 times its standard deviation wide (closed form).
    """
    whole = [piece for piece in pieces.all if piece.box.height > 2 * pieces.stroke_px]
    widths = []
    for piece in whole[:: max(1, len(whole) // SAMPLED)]:
        coverage = ink.coverage(piece.box.grown(int(pieces.stroke_px), ink.shape))
        between = np.count_nonzero((coverage > INSIDE) & (coverage < 1 - INSIDE))
        widths.append(WHOLE_EDGE * between / max(boundary(coverage >= 0.5), 1.0))
    return float(np.median(widths)) if widths else 0.0


def demand_sharp(ink: Ink, pieces: Pieces, name: str) -> None:
    """Raise ReadingError when the strokes are too narrow for the blur."""
    edge, most = edge_px(ink, pieces), max(MOST_EDGE * pieces.stroke_px, SHARP_PX)
    if edge > most:
        raise ReadingError(
            f"the picture is blurred: edges are {edge:.1f} px wide; strokes of "
            f"{pieces.stroke_px:.1f} px need edges under {most:.1f} px",
            name,
            "Hold the camera still and nearer, with more light, or scan the page.",
        )
