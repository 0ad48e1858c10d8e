"""The body of a bubble: a closed outline at a constant air round some ink."""

from collections.abc import Callable, Sequence

import numpy as np

from lettering.book.line import CaptionFrame, Voice
from lettering.bubbles.air import MOST_AIR
from lettering.bubbles.burst import burst
from lettering.bubbles.calm import calmest
from lettering.bubbles.chance import Chance
from lettering.bubbles.clearance import clearance
from lettering.bubbles.cloud import cloud
from lettering.bubbles.frame import STRAIGHT
from lettering.bubbles.frame import frame as framed
from lettering.bubbles.round import Floats, cubics
from lettering.geometry.contour import Contour, Points
from lettering.geometry.fit import FIT_MM
from lettering.geometry.hull import hull_of
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region

CALM = 0.95
"""How much of the allowed air the outline may use to be round: 0 hugs the rows, 1 is as calm as may be."""

HUGGING = 1.05
"""The most air, in airs, of an outline that only hugs."""

SQUARER = -0.018
"""Fourth harmonic of the hand's idea of round: a touch squarer than an ellipse."""

LIFE = 0.012
"""Spread of the slow harmonics that make each round a little its own, in half sizes."""

RESERVE = 1.006
"""The air asked for, in airs: a fitted outline strays a little, and need not be drawn again when it does."""

FIT_AIRS = 0.01
"""Farthest the drawn outline lies from the calmest one, in airs: finer than a fit on the smallest pages."""

MEASURED_MM = 0.002
"""How much clearance is kept in reserve, mm, for what lies between the points that are measured."""

MOST_DRAWN, ONWARD = 24, 1.15
"""Times that an outline is drawn with more air at most, and how much of what it wants it then gets."""

Draw = Callable[[float], Contour]
"""Draws an outline with so much more air, in airs."""


def body(
    ink: Sequence[Rect] | Region,
    *,
    air_mm: float,
    calm: float = CALM,
    voice: Voice = "plain",
    frame: CaptionFrame = "soft",
    seed: str = "",
) -> Contour:
    """Return the outline round `ink` that is nowhere nearer to it than `air_mm`, turning from x toward y.

    `ink` is a box for each letter, or any region, mm. A plain or whispered body stays within 1.6 x the air
    of the hull of the ink and its mirror image upside down, and `calm`, 0 to 1, tells how much of that it
    uses: 0 hugs the rows. A cloud's scallops and a burst's spikes stand out from such a body. Equal `seed`
    (the line's words) always draws the same; another draws as the same hand would on another day. Raises
    ValueError when there is no ink or no air.
    """
    if air_mm <= 0:
        raise ValueError("a body needs air round its ink")
    corners = hull_corners(ink)
    if voice == "caption":
        return _cleared(_framing(corners, air_mm, frame, Chance(seed)), corners, air_mm)
    draw = _pen(corners, air_mm, HUGGING + (MOST_AIR - HUGGING) * calm, voice, Chance(seed))
    return _cleared(draw, corners, air_mm)


def hull_corners(ink: Sequence[Rect] | Region) -> Points:
    """Return the corners of the convex hull of the ink, shape (n, 2), mm, turning from x toward y."""
    if isinstance(ink, Region):
        return ink.hull().exterior()
    if not ink:
        raise ValueError("a body needs ink to go round")
    boxes = np.array([(r.x0, r.y0, r.x1, r.y1) for r in ink])
    corners = boxes[:, [0, 1, 2, 1, 2, 3, 0, 3]].reshape(-1, 2)
    return hull_of(corners)


def _pen(corners: Points, air: float, most: float, voice: Voice, chance: Chance) -> Draw:
    """Return what draws a body of this voice."""
    round_ = _own_round(chance)

    stands_out = voice in ("thought", "shout")

    def core(more: float) -> Contour:
        asked = RESERVE + more
        # What stands out from its core has no most air, and room for it where it must be larger.
        limit = most if stands_out else most / asked
        ideal = calmest(corners, air=air * asked, most=limit, round_=round_)
        return cubics(ideal, min(FIT_MM, FIT_AIRS * air))

    if voice == "thought":
        return lambda more: cloud(core(more), air, chance)
    if voice == "shout":
        return lambda more: burst(core(more), air, chance)
    return core


def _framing(corners: Points, air: float, frame: CaptionFrame, chance: Chance) -> Draw:
    softness = STRAIGHT if frame == "straight" else 1.0
    return lambda more: framed(corners, air * (1 + more), chance, softness)


def _own_round(chance: Chance) -> Floats:
    """Return harmonics 2..4 (cosines, then sines) of this line's idea of round."""
    own: Floats = chance.spread("round", 6) * LIFE * np.array([1.0, 0.7, 0.35] * 2)
    own[2] += SQUARER
    return own


def _cleared(draw: Draw, corners: Points, air: float) -> Contour:
    """Return the outline, redrawn with more air until its measured clearance is at least `air`."""
    more = 0.0
    for _ in range(MOST_DRAWN):
        outline = draw(more)
        short = air + MEASURED_MM - clearance(outline, corners)
        if short <= 0:
            return outline
        more += (short / air + 1e-4) * ONWARD
    raise AssertionError("asking for the measured want ends")
