"""The land of the demo book: sky, hills, trees, Hob's house and what grows there."""

import numpy as np
from brush import Brush
from figures import INK, MUSTARD

WIDTH, HEIGHT = 500, 250
"""The spread, mm."""

Hill = list[tuple[float, float]]


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
