"""Path data as this program writes it, read back: absolute M, L, C and Z, millimetres."""

import re

import numpy as np

from lettering.geometry.contour import Contour
from lettering.geometry.path import Path

_STEP = re.compile(r"([MLCZ])([^MLCZ]*)")


def path_of(data: str) -> Path:
    """Return the outlines written in `data`; raises ValueError for what `svg.path_data` does not write."""
    contours: list[Contour] = []
    pieces: list[list[tuple[float, float]]] = []
    start = here = (0.0, 0.0)
    for letter, text in _STEP.findall(data):
        numbers = [float(part) for part in text.split()]
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        if letter == "M":
            (start,) = points
            here, pieces = start, []
        elif letter == "Z":
            if here != start:
                pieces.append(_straight(here, start))
            contours.append(Contour(np.array(pieces)))
        else:
            pieces.append(_straight(here, points[-1]) if letter == "L" else [here, points[0], points[1]])
            here = points[-1]
    return Path(tuple(contours))


def _straight(a: tuple[float, float], b: tuple[float, float]) -> list[tuple[float, float]]:
    across, down = b[0] - a[0], b[1] - a[1]
    return [a, (a[0] + across / 3, a[1] + down / 3), (a[0] + across * 2 / 3, a[1] + down * 2 / 3)]
