"""Paints the art of the demo book: three spreads with their bleed, quiet above, busy below.

    .venv/bin/python demo/draw_art.py [FOLDER]

The same script paints the same pictures every time.
"""

import io
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cairosvg
import numpy as np
import svgwrite
from brush import Brush, Stand
from figures import FACES, INK, MUSTARD, TERRACOTTA, TERRACOTTA_SHADE, badger, goose, hedgehog, mole, moon
from PIL import Image
from watercolour import painted

PPI = 120
WIDTH, HEIGHT, BLEED = 500, 250, 3
"""The spread and what is painted past its trim, mm."""

Hill = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Seen:
    """Where a figure came to be: what the book file says of it, mm on the spread."""

    box: tuple[float, float, float, float]
    face: tuple[float, float, float, float]
    """Left, top, width, height, as `box`."""
    mouth: tuple[float, float]


DRAWN_BY: dict[str, Callable[..., None]] = {
    "odile": goose,
    "tansy": hedgehog,
    "hob": badger,
    "plum": mole,
    "moon": moon,
}


CAST: dict[str, dict[str, tuple[Stand, dict[str, object]]]] = {
    "04-05": {
        "odile": (Stand(56, 214, 1.02), {}),
        "tansy": (Stand(206, 220, 1.08, flip=True), {}),
        "hob": (Stand(376, 218, 0.98, flip=True), {}),
    },
    "06-07": {
        "moon": (Stand(178, 178, 33.0), {}),
        "odile": (Stand(48, 218, 0.98), {"slip": False}),
        "tansy": (Stand(110, 222, 1.1), {}),
        "plum": (Stand(312, 227, 1.04, flip=True), {}),
        "hob": (Stand(428, 220, 0.98, flip=True), {}),
    },
    "08-09": {
        "moon": (Stand(386, 64, 36.0, turn=-8), {"shy": False}),
        "hob": (Stand(40, 230, 0.94), {"arms": "pull"}),
        "tansy": (Stand(160, 233, 1.12, flip=True), {"wide": False}),
        "plum": (Stand(206, 239, 0.92), {"waving": True}),
        "odile": (Stand(440, 230, 0.98, flip=True), {}),
    },
}
"""Where each of the cast stands on each spread, and how."""


def figure(b: Brush, spread: str, who: str) -> Seen:
    """Draw one of the cast; return where it came to be."""
    at, how = CAST[spread][who]
    own = b.standing(at)
    DRAWN_BY[who](own, **how)
    (left, top, width, height), mouth = FACES[who]
    corners = at.place([(left, top), (left + width, top), (left, top + height), (left + width, top + height)])
    (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
    ((x, y),) = at.place([mouth])
    return Seen(own.box, (float(x0), float(y0), float(x1 - x0), float(y1 - y0)), (float(x), float(y)))


def hill(b: Brush, crest: Hill, colour: str, foot: str) -> None:
    """Paint a hill from its crest down to the foot of the picture."""
    b.wash(
        [(-30, 275), (-30, crest[0][1] + 2), *crest, (530, crest[-1][1] + 2), (530, 275), (250, 290)],
        colour,
        to=foot,
    )


def sky(b: Brush, colours: list[str]) -> None:
    """Lay the sky in, from the top down."""
    paint = b.svg.linearGradient((0, 0), (0, 1), id="sky")
    for share, colour in zip(np.linspace(0, 0.8, len(colours)), colours, strict=True):
        paint.add_stop_color(float(share), colour)
    b.svg.defs.add(paint)
    b.svg.add(b.svg.rect((-10, -10), (WIDTH + 20, HEIGHT + 20), fill=paint.get_paint_server()))


def tree(b: Brush, x: float, y: float, size: float, leaf: str, shade: str) -> None:
    """A round tree on a thin trunk."""
    b.line([(x, y + size * 0.1), (x + 0.4, y - size * 0.7)], size * 0.09, INK, even=True)
    for dx, dy, share in ((-0.2, -0.72, 0.28), (0.22, -0.76, 0.26), (0.0, -1.0, 0.36)):
        b.oval(x + dx * size, y + dy * size, size * share, size * share * 1.1, leaf, to=shade)


def clouds(b: Brush, spots: list[tuple[float, float, float]], colour: str) -> None:
    """Long thin clouds low in the sky."""
    for x, y, size in spots:
        for dx, dy, share in ((0, 0, 1.0), (0.35, -2.2, 0.55), (-0.4, 2.0, 0.6)):
            b.oval(x + dx * size, y + dy, size * share, 2.0 + size * 0.02, colour, opacity=0.35)


def grass(
    b: Brush, colour: str, count: int, low: float, high: float, avoid: tuple[tuple[float, float], ...] = ()
) -> None:
    """Scatter tufts of grass over the foreground."""
    for _ in range(count):
        x, y = b.rng.uniform(-2, 502), b.rng.uniform(high, low)
        if any(left < x < right for left, right in avoid):
            continue
        for lean in (-1.8, 0.2, 2.0):
            b.line([(x + lean * 0.3, y), (x + lean, y - 4 + abs(lean) * 0.5)], 0.55, colour)


def flowers(b: Brush, spots: list[tuple[float, float]], colour: str, stem: str) -> None:
    """Plant small round flowers."""
    for x, y in spots:
        b.line([(x, y), (x + 0.6, y - 5)], 0.5, stem)
        for dx, dy in ((0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)):
            b.oval(x + 0.6 + dx, y - 6 + dy, 1.0, 1.0, colour)
        b.oval(x + 0.6, y - 6, 0.8, 0.8, MUSTARD)


def house(
    b: Brush,
    *,
    lit: str = "#fbdc8c",
    wall: str = "#e9d2b0",
    wall_shade: str = "#c9a987",
    turf: str = "#8d9a5b",
    turf_shade: str = "#6f7f4d",
) -> None:
    """Hob's house: a door and a window under a hump of turf."""
    b.wash([(22, -88), (22, -104), (34, -105), (35, -86)], "#b9785a", to="#97593f", edge=0.6, sharp=True)
    b.wash([(20, -103), (20, -107.4), (36.4, -108), (37, -103.6)], "#a5664b", edge=0.55, sharp=True)
    b.wash(
        [(-62, 4), (-58, -38), (-40, -74), (-8, -92), (28, -92), (60, -74), (80, -30), (86, 4)],
        turf,
        to=turf_shade,
        edge=0.6,
    )
    b.wash(
        [(-41, 2), (-38, -36), (-22, -60), (4, -69), (30, -66), (50, -48), (60, -20), (62, 2)],
        wall,
        to=wall_shade,
        edge=0.7,
    )
    b.wash(
        [(-25, 1), (-25, -36), (-16, -49), (-6, -50), (4, -40), (6, -22), (6, 1)],
        "#7f8f5c",
        to="#62724a",
        edge=0.8,
    )
    for x in (-15, -5):
        b.line([(x, -1), (x + 0.3, -44)], 0.45)
    b.oval(1.4, -20, 1.4, 1.4, MUSTARD, edge=0.4)
    b.wash([(20, -25), (20, -43), (31, -48), (42, -42), (43, -25)], lit, to="#f3b95f", edge=0.9)
    b.line([(31.5, -47), (31.5, -25)], 0.8, even=True)
    b.line([(20, -34), (43, -34.4)], 0.8, even=True)
    b.wash([(18, -24.6), (45, -25), (44.6, -21.4), (18.4, -21)], "#a5664b", edge=0.5, sharp=True)


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


def stars(b: Brush, count: int, floor: float, colour: str) -> None:
    """Prick a few small stars into the sky."""
    for _ in range(count):
        x, y = b.rng.uniform(0, 500), b.rng.uniform(-2, floor)
        b.oval(x, y, *([float(b.rng.uniform(0.3, 0.62))] * 2), colour, opacity=0.75)


def village(b: Brush, x: float, y: float, wall: str, roof: str) -> None:
    """A few far roofs with a light in one window."""
    for dx, w, h in ((0, 9, 7), (10, 7, 9), (18, 11, 6), (32, 8, 8)):
        b.wash([(x + dx, y), (x + dx, y - h), (x + dx + w, y - h), (x + dx + w, y)], wall, sharp=True)
        b.wash(
            [(x + dx - 1, y - h), (x + dx + w / 2, y - h - 5.4), (x + dx + w + 1, y - h)], roof, sharp=True
        )
    for dx, dy in ((3, -4), (12, -6), (24, -4), (35, -5)):
        b.wash(
            [(x + dx, y + dy), (x + dx + 2, y + dy), (x + dx + 2, y + dy + 2.4), (x + dx, y + dy + 2.4)],
            "#fbdc8c",
            sharp=True,
        )


def delivery(b: Brush) -> None:
    """Pages 4-5: something round arrives at dusk."""
    sky(b, ["#e9c3b4", "#f2cfae", "#f8dcb0", "#fae6c0"])
    clouds(b, [(36, 128, 40), (232, 118, 56), (330, 130, 38)], "#fdf0d6")
    hill(
        b,
        [(0, 158), (60, 146), (130, 152), (210, 140), (300, 150), (390, 138), (500, 150)],
        "#c9b48f",
        "#b3a27a",
    )
    village(b, 232, 143, "#e3c5a4", "#b98468")
    for x, y, size in ((20, 154, 22), (38, 152, 17), (212, 143, 16), (300, 151, 20), (316, 150, 14)):
        tree(b, x, y, size, "#a9a06c", "#8f8a5f")
    hill(
        b,
        [(0, 186), (80, 180), (180, 184), (260, 190), (340, 182), (430, 176), (500, 180)],
        "#a8a968",
        "#84904f",
    )
    house(b.standing(Stand(446, 200)))
    washing(b.standing(Stand(288, 198)))
    hill(b, [(0, 208), (110, 203), (240, 208), (360, 203), (500, 207)], "#8f9a58", "#66763f")
    grass(b, "#5d6d3c", 70, 248, 214)
    flowers(
        b,
        [(16, 236), (30, 242), (86, 238), (226, 232), (304, 238), (330, 244), (466, 238), (484, 230)],
        "#f6e3c6",
        "#5d6d3c",
    )
    parcel(b.standing(Stand(136, 158)), 33)
    cart(b.standing(Stand(136, 212, 1.05)))
    figure(b, "04-05", "odile")
    figure(b, "04-05", "tansy")
    figure(b, "04-05", "hob")


def unwrapped(b: Brush) -> None:
    """Pages 6-7: no cake."""
    sky(b, ["#8c86a0", "#b196a0", "#d3a99d", "#ebc3a0"])
    stars(b, 26, 90, "#fdf0d0")
    clouds(b, [(40, 138, 46), (262, 128, 52), (380, 136, 44)], "#f3d3bb")
    hill(b, [(0, 166), (90, 152), (190, 160), (300, 148), (410, 158), (500, 146)], "#a58f83", "#8c7c70")
    village(b, 436, 152, "#b79a8c", "#84625c")
    for x, y, size in ((16, 166, 20), (274, 153, 20), (290, 152, 15), (486, 150, 18)):
        tree(b, x, y, size, "#86805f", "#6f6c55")
    hill(b, [(0, 198), (120, 190), (250, 196), (380, 188), (500, 194)], "#8a8f5c", "#5f6d42")
    grass(b, "#4f5f3a", 80, 248, 210)
    flowers(b, [(14, 240), (70, 244), (228, 238), (276, 244), (352, 240), (482, 236)], "#efdcc4", "#4f5f3a")
    torn(b.standing(Stand(178, 216)))
    figure(b, "06-07", "moon")
    torn(b.standing(Stand(178, 216)), front=True)
    figure(b, "06-07", "odile")
    figure(b, "06-07", "tansy")
    figure(b, "06-07", "plum")
    figure(b, "06-07", "hob")


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


def homeward(b: Brush) -> None:
    """Pages 8-9: up."""
    sky(b, ["#3b486c", "#4c597c", "#69708f", "#968ca0"])
    b.glow(386, 64, 170, "#fbe6a8", 0.38)
    stars(b, 60, 150, "#fdf0d0")
    clouds(b, [(60, 160, 44), (236, 152, 50), (462, 150, 40)], "#8d8ba4")
    hill(b, [(0, 184), (90, 172), (200, 180), (310, 170), (420, 178), (500, 170)], "#66717a", "#55625f")
    village(b, 196, 178, "#7e8087", "#4c4a58")
    for x, y, size in ((14, 182, 20), (182, 180, 15), (352, 175, 17), (366, 175, 13), (488, 174, 20)):
        tree(b, x, y, size, "#566a62", "#435350")
    house(
        b.standing(Stand(304, 208, 0.62)),
        wall="#b3a08f",
        wall_shade="#8a7c76",
        turf="#64765a",
        turf_shade="#4c5f4c",
    )
    hill(b, [(0, 212), (120, 204), (250, 210), (380, 203), (500, 208)], "#61745a", "#3e5142")
    grass(b, "#364a3a", 80, 249, 220)
    flowers(b, [(12, 244), (118, 243), (236, 241), (292, 240), (372, 242), (486, 243)], "#d9d2c0", "#364a3a")
    whoosh(b)
    figure(b, "08-09", "moon")
    figure(b, "08-09", "hob")
    blanket(b)
    figure(b, "08-09", "tansy")
    figure(b, "08-09", "plum")
    figure(b, "08-09", "odile")


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


SPREADS: dict[str, Callable[[Brush], None]] = {"04-05": delivery, "06-07": unwrapped, "08-09": homeward}


PICTURE = (WIDTH + 2 * BLEED, HEIGHT + 2 * BLEED)
"""What is painted, mm."""


def scene(name: str) -> Brush:
    """Draw one spread; the brush holds the clean picture."""
    brush = _brush(name)
    SPREADS[name](brush)
    return brush


def seen(name: str) -> dict[str, Seen]:
    """Return where the figures of a spread are, within the wobble of the brush (half a millimetre)."""
    brush = _brush(name)
    return {who: figure(brush, name, who) for who in CAST[name]}


def _brush(name: str) -> Brush:
    window = f"{-BLEED} {-BLEED} {PICTURE[0]} {PICTURE[1]}"
    svg = svgwrite.Drawing(size=PICTURE, viewBox=window, preserveAspectRatio="none", debug=False)
    return Brush(svg, np.random.default_rng([7, int(name[:2])]), INK)


def art(name: str) -> Image.Image:
    """Paint one spread."""
    brush = scene(name)
    pixels = [round(side / 25.4 * PPI) for side in PICTURE]
    png = cairosvg.svg2png(
        brush.svg.tostring().encode(), output_width=2 * pixels[0], output_height=2 * pixels[1]
    )
    clean = Image.open(io.BytesIO(png)).convert("RGB").resize(pixels, Image.Resampling.BOX)
    return painted(np.asarray(clean, dtype=np.float32) / 255, brush.rng)


def main(folder: Path) -> None:
    """Paint all spreads."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in SPREADS:
        art(name).save(folder / f"{name}.png", dpi=(PPI, PPI), optimize=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "art")
