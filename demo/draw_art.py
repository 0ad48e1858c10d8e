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
from figures import FACES, INK, badger, goose, hedgehog, mole, moon
from landscape import HEIGHT, WIDTH, clouds, flowers, grass, hill, house, sky, stars, tree, village
from PIL import Image
from things import blanket, cart, parcel, torn, washing, whoosh
from watercolour import painted

PPI = 120
BLEED = 3
"""What is painted past the trim, mm."""


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
