"""What a letter was before its page was brought to the hand's size, as it is kept in a glyph's `lib`."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.take import AsDrawn


def as_drawn_facts(before: AsDrawn) -> dict[str, Any]:
    """Return it as text and numbers: a text of coordinates for each contour, six for each of its pieces."""
    facts: dict[str, Any] = {
        "contours": [" ".join(map(repr, c.knots.ravel().tolist())) for c in before.outline.contours]
    }
    return facts if before.units_per_px is None else facts | {"units_per_px": before.units_per_px}


def as_drawn_in(facts: Mapping[str, Any]) -> AsDrawn:
    """Return what such facts say; raises ValueError, KeyError or TypeError when they say nothing."""
    contours = [np.array(text.split(), dtype=float).reshape(-1, 3, 2) for text in facts["contours"]]
    if not all(np.isfinite(knots).all() and len(knots) for knots in contours):
        raise ValueError("a contour is without extent")
    scale = facts.get("units_per_px")
    return AsDrawn(Outline(tuple(map(Contour, contours))), None if scale is None else float(scale))
