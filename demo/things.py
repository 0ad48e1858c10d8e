"""Things that stand about in the demo book: the cart, the parcel, washing, paper, a blanket."""

import numpy as np
from brush import Brush
from figures import INK, MUSTARD, TERRACOTTA, TERRACOTTA_SHADE


def cart(b: Brush) -> None:
    """A hand cart with one large wheel in front; the shafts reach to the left."""
    b.line([(-46, -24), (-30, -20), (34, -15)], 3.4, INK, even=True)
    b.line([(-46, -24), (-30, -20), (34, -15)], 2.4, "#9b6a4a", even=True)
    b.wash([(-31, -22), (35, -16), (34, -9.6), (-30, -14)], "#b07d55", to="#8b5c41", edge=0.7, sharp=True)
    b.line([(-26, -14), (-27, -1)], 2.6, "#7d5440", even=True)
    b.oval(8, -11, 12.6, 12.6, "#8b5c41", edge=0.6)
    b.oval(8, -11, 10, 10, "#c7b083")
    for number in range(4):
        angle = np.pi * number / 4 + 0.2
        dx, dy = 10.6 * np.cos(angle), 10.6 * np.sin(angle)
        b.line([(8 - dx, -11 - dy), (8 + dx, -11 + dy)], 1.3, "#8b5c41", even=True)
    b.oval(8, -11, 2.6, 2.6, "#7d5440", edge=0.5)


def parcel(b: Brush, radius: float) -> None:
    """Something round in brown paper and string, with light at the seams; centre at 0, 0."""
    r = radius
    b.glow(0, 0, r * 1.75, "#ffe9a6", 0.55)
    b.oval(0, 0, r, r * 0.985, "#cf9a63", to="#a97347", edge=0.8)
    for seam in (
        [(-0.72, -0.55), (-0.3, -0.25), (-0.12, 0.3), (-0.3, 0.84)],
        [(0.2, -0.92), (0.42, -0.4), (0.74, -0.18)],
        [(0.3, 0.86), (0.5, 0.42), (0.86, 0.24)],
    ):
        b.line([(x * r, y * r) for x, y in seam], 0.9, "#8d5d3b")
    for wedge in (
        [(-0.76, -0.5), (-0.44, -0.4), (-0.28, -0.2), (-0.5, -0.28)],
        [(0.3, -0.62), (0.42, -0.36), (0.7, -0.2), (0.5, -0.42)],
    ):
        b.wash([(x * r, y * r) for x, y in wedge], "#ffeeb4")
    for string in (
        [(-0.98, 0.1), (-0.4, 0.24), (0.3, 0.22), (0.98, -0.02)],
        [(0.06, -0.99), (0.16, -0.4), (0.14, 0.3), (0, 0.98)],
    ):
        b.line([(x * r, y * r) for x, y in string], 1.5, "#f3e3c4", even=True)
    for loop in (
        [(0.14, 0.2), (-0.1, 0.02), (-0.24, 0.1), (-0.08, 0.24)],
        [(0.16, 0.2), (0.34, -0.02), (0.5, 0.04), (0.36, 0.22)],
    ):
        b.line([(x * r, y * r) for x, y in [*loop, loop[0]]], 1.3, "#f3e3c4", even=True)
    b.line([(0.14 * r, 0.22 * r), (0.02 * r, 0.5 * r)], 1.2, "#f3e3c4", even=True)
    b.line([(0.16 * r, 0.22 * r), (0.32 * r, 0.48 * r)], 1.2, "#f3e3c4", even=True)
    for x, y, colour in ((-0.55, 0.42, TERRACOTTA), (-0.3, 0.56, "#7d93a0")):
        b.wash(
            [
                (x * r, y * r),
                ((x + 0.22) * r, (y + 0.05) * r),
                ((x + 0.19) * r, (y + 0.31) * r),
                ((x - 0.03) * r, (y + 0.26) * r),
            ],
            "#fbf1df",
            edge=0.4,
            sharp=True,
        )
        b.wash(
            [
                ((x + 0.035) * r, (y + 0.045) * r),
                ((x + 0.185) * r, (y + 0.08) * r),
                ((x + 0.16) * r, (y + 0.265) * r),
                ((x + 0.01) * r, (y + 0.225) * r),
            ],
            colour,
            sharp=True,
        )


def washing(b: Brush) -> None:
    """A washing line with Hob's biggest blanket on it; the left post at 0, 0."""
    for x in (0, 62):
        b.line([(x, 2), (x + 0.6, -46)], 2.0, "#7d5440", even=True)
    b.line([(0.4, -44), (18, -41), (44, -41), (62.4, -44)], 0.6)
    b.wash(
        [(12, -41.6), (50, -41.4), (51.4, -12), (40, -9.6), (26, -11.4), (11, -9.6)],
        "#f1dfc3",
        to="#dcc09b",
        edge=0.6,
        sharp=True,
    )
    checks(b, [(12, -41.6), (50, -41.4), (51.4, -11), (11, -10.4)], 5, 4)
    for x in (14, 47):
        b.line([(x, -43.4), (x + 0.2, -39.4)], 1.1, MUSTARD, even=True)


def checks(b: Brush, corners: list[tuple[float, float]], across: int, down: int) -> None:
    """Weave coloured bands into a four-cornered cloth (corners clockwise from the upper left)."""
    a, c, d, e = (np.array(corner) for corner in corners)
    for number in range(1, across):
        share = number / across
        top, foot = a + (c - a) * share, e + (d - e) * share
        b.line(
            [tuple(top), tuple((top + foot) / 2), tuple(foot)],
            2.4,
            TERRACOTTA if number % 2 else "#7d93a0",
            even=True,
        )
    for number in range(1, down):
        share = number / down
        left, right = a + (e - a) * share, c + (d - c) * share
        b.line(
            [tuple(left), tuple((left + right) / 2), tuple(right)],
            1.7,
            TERRACOTTA_SHADE if number % 2 else MUSTARD,
            even=True,
        )


def torn(b: Brush, *, front: bool = False) -> None:
    """Brown paper, torn open round what was in it."""
    if front:
        b.wash(
            [
                (-40, 4),
                (-30, -7),
                (-21, -1),
                (-12, -8),
                (-3, -1),
                (7, -7),
                (15, -1),
                (24, -8),
                (33, -2),
                (42, 5),
                (26, 9),
                (0, 11),
                (-26, 9),
            ],
            "#cf9a63",
            to="#a97347",
            edge=0.6,
            sharp=True,
        )
        b.line([(-36, 8), (-44, 12), (-52, 9), (-58, 12.6)], 1.2, "#f3e3c4", even=True)
        return
    b.wash(
        [
            (-38, 2),
            (-46, -18),
            (-37, -14),
            (-34, -28),
            (-26, -16),
            (0, -22),
            (26, -16),
            (35, -27),
            (38, -13),
            (47, -17),
            (40, 3),
            (0, 8),
        ],
        "#a97347",
        to="#8d5d3b",
        edge=0.6,
        sharp=True,
    )


def whoosh(b: Brush) -> None:
    """Three short lines that say how fast the moon went by."""
    for spots in (
        [(340, 112), (346, 106), (350, 99)],
        [(352, 122), (359, 114), (363, 107)],
        [(330, 98), (335, 92), (339, 86)],
    ):
        b.line(spots, 1.1, "#f4e2b4")


FAR_EDGE = np.array([(79, 190), (94, 180), (110, 182), (124, 196), (138, 211)], dtype=float)


NEAR_EDGE = np.array([(76, 200), (92, 203), (108, 210), (122, 219), (136, 219)], dtype=float)


def blanket(b: Brush) -> None:
    """Hob's biggest blanket, held between two and just snapped upward."""
    cloth = [(float(x), float(y)) for x, y in np.concatenate([FAR_EDGE, NEAR_EDGE[::-1]])]
    b.wash(cloth, "#f1dfc3", to="#cdb291", edge=0.65)
    for share, colour in ((0.14, TERRACOTTA), (0.38, "#7d93a0"), (0.62, TERRACOTTA), (0.86, "#7d93a0")):
        top, foot = (
            np.array([np.interp(share * 4, range(5), edge[:, i]) for i in (0, 1)])
            for edge in (FAR_EDGE, NEAR_EDGE)
        )
        b.line([tuple(top + (foot - top) * step) for step in (0.04, 0.5, 0.96)], 2.2, colour, even=True)
    for share, colour in ((0.33, MUSTARD), (0.68, TERRACOTTA_SHADE)):
        b.line([tuple(spot) for spot in FAR_EDGE + (NEAR_EDGE - FAR_EDGE) * share], 1.5, colour, even=True)
