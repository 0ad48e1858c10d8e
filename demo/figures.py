"""The five who live in the demo book, drawn with the brush; feet at 0, 0, looking right, millimetres."""

from itertools import pairwise

from brush import Brush

INK = "#43302f"
FEATHER, FEATHER_SHADE = "#fdf3e1", "#e6d3bd"
BILL, BILL_SHADE = "#e8963c", "#cf7430"
TERRACOTTA, TERRACOTTA_SHADE = "#c9653f", "#a84c33"
MUSTARD, MUSTARD_SHADE = "#e3b04b", "#c98f38"
FUR, FUR_SHADE = "#7d6f6c", "#5d5252"
STRIPE = "#46393b"
QUILL, QUILL_SHADE = "#8a5f45", "#6a4537"
CREAM, CREAM_SHADE = "#f6dfbb", "#e3c093"
VELVET, VELVET_SHADE = "#6d4a5c", "#523747"
PINK, BLUSH = "#e9a58f", "#e58a70"
MOUTH = "#7c2f2c"
MOON, MOON_SHADE = "#fff0b8", "#f3d182"


def goose(b: Brush, *, cap: bool = True, slip: bool = True) -> None:
    """Odile, who brings the post: cap, satchel, and something to sign."""
    for x in (-5, 6):
        b.line([(x, -14), (x + 0.6, -2.5)], 1.7, BILL_SHADE, even=True)
        b.wash([(x - 2.4, -0.6), (x + 1, -4), (x + 8.5, -0.8), (x + 4, 0.4)], BILL, to=BILL_SHADE, edge=0.5)
    b.wash(
        [(-34, -47), (-27, -46), (-14, -45), (1, -49), (7.5, -58), (8, -69), (12, -76), (18, -78.5),
         (24, -76),
         (26, -71), (23.5, -66), (20, -61), (19.5, -54), (24, -45), (27, -34), (22, -20), (8, -12),
          (-10, -13),
         (-23, -23), (-29, -35)],
        FEATHER, to=FEATHER_SHADE, edge=0.75,
    )  # fmt: skip
    b.line([(20, -52), (8, -40), (-8, -31)], 1.5, TERRACOTTA_SHADE, even=True)
    b.wash(
        [(-17, -34), (-5, -35), (-3, -20), (-16, -18)], TERRACOTTA, to=TERRACOTTA_SHADE, edge=0.6, sharp=True
    )
    b.wash([(-17.4, -34.4), (-4.6, -35.4), (-7, -27.5), (-13.6, -26.6)], "#b85a3a", edge=0.5, sharp=True)
    b.oval(-10.2, -27.4, 1.1, 1.1, MUSTARD)
    if slip:
        b.wash([(37, -54), (47, -57), (50, -44), (40.5, -41)], "#fffaf0", to="#efe2cd", edge=0.45, sharp=True)
        for row in (0.0, 3.0):
            b.line([(40, -51.5 + row), (46.4, -53.4 + row)], 0.45, "#a3928a")
        b.line([(42.4, -44.8), (44.4, -46.4), (45.6, -44.8), (47.6, -46.6)], 0.5, TERRACOTTA)
    b.wash(
        [(8, -38), (18, -42), (29, -46), (39, -49), (42, -47), (40, -44), (37, -39.5), (31, -35.5),
         (22, -30.5), (11, -30)],
        "#fff8ea", to="#e9d6bf", edge=0.65,
    )  # fmt: skip
    b.line([(33, -41.4), (37.4, -43.6)], 0.45)
    b.line([(30, -38.4), (35.4, -40.4)], 0.45)
    b.wash([(24, -71.6), (29.5, -69.6), (24.2, -67.4)], MOUTH)
    b.wash(
        [(23.4, -75), (29, -74), (37, -71.2), (37.4, -69.6), (31, -69.9), (24.6, -70.4)],
        BILL,
        to=BILL_SHADE,
        edge=0.55,
    )
    b.wash(
        [(23.6, -68.6), (28, -67.8), (33.4, -65.6), (32, -64.2), (27, -64.6), (23.2, -66)],
        BILL,
        to=BILL_SHADE,
        edge=0.55,
    )
    b.oval(18.6, -71.8, 1.25, 1.6, INK)
    b.oval(19.1, -72.4, 0.42, 0.45, "#fffaf0")
    b.line([(16.6, -75.2), (18.8, -76), (20.8, -75)], 0.5)
    b.oval(17.6, -67.2, 2.6, 1.7, BLUSH, opacity=0.42)
    if cap:
        b.wash(
            [(7, -75.4), (8, -82), (16, -86), (24.4, -83.6), (25.6, -77.6), (16, -77.2)],
            TERRACOTTA,
            to=TERRACOTTA_SHADE,
            edge=0.65,
        )
        b.wash(
            [(18, -78), (26, -79.4), (33, -77.2), (32.6, -75.4), (25, -76), (18, -76.2)],
            TERRACOTTA_SHADE,
            edge=0.5,
        )
        b.oval(20, -81, 1.9, 1.9, MUSTARD, edge=0.4)


def badger(b: Brush, *, arms: str = "wide") -> None:
    """Hob, large and doubtful, in slippers."""
    for x in (-12, 10):
        b.wash(
            [(x - 8, -5), (x - 1, -8.5), (x + 9, -5.5), (x + 11, -1), (x + 2, 0.4), (x - 8, 0)],
            "#7f8f5c",
            to="#62724a",
            edge=0.65,
        )
    b.wash(
        [(-15, -66), (-25, -48), (-29, -27), (-24, -9), (-8, -4.5), (9, -4.5), (23, -9), (28, -27),
         (24, -48), (16, -66), (0, -70)],
        FUR, to=FUR_SHADE, edge=0.8,
    )  # fmt: skip
    b.wash(
        [(-3, -60), (-9, -42), (-10, -22), (-3, -9), (12, -9), (22, -22), (21, -42), (13, -60)],
        CREAM,
        to=CREAM_SHADE,
    )
    for side in ([(-16, -64), (-26, -46), (-28.6, -22), (-15, -17), (-4, -19), (1, -36), (-3, -60)],
                 [(15, -64), (24.6, -46), (27.6, -22), (24, -17.4), (19, -19), (19, -38),
                  (12, -60)]):  # fmt: skip
        b.wash(side, TERRACOTTA, to=TERRACOTTA_SHADE, edge=0.65)
    for y in (-48, -38, -28):
        b.oval(-3.2 + (y + 48) * 0.05, y, 1.25, 1.25, MUSTARD, edge=0.35)
    b.wash([(-20, -33), (-11, -32), (-11.4, -24.6), (-19.6, -25.4)], "#b4563a", edge=0.45, sharp=True)
    if arms == "wide":
        _arm(b, [(-21, -58), (-31, -47), (-34, -35)], (-34.4, -33.2))
        _arm(b, [(19, -56), (30, -49), (37, -52)], (39.4, -53))
    else:
        _arm(b, [(-19, -58), (-12, -46), (8, -42)], (10, -41.6))
        _arm(b, [(19, -57), (31, -47), (42, -42)], (44, -41))
    for x in (-15, 14):
        b.oval(x, -91, 5.2, 5, STRIPE, edge=0.6)
        b.oval(x + 0.4, -90.4, 2.7, 2.7, "#f3e6d6")
    b.wash(
        [(-20, -76), (-18, -88), (-8, -95.5), (5, -95.5), (15, -89), (20, -81), (28.5, -76.5),
         (31, -72.4), (27, -67.4), (17, -62.5), (3, -60.6), (-13, -64)],
        "#fbf1e2", to="#e8d8c4", edge=0.8,
    )  # fmt: skip
    b.wash([(-14.6, -92), (-8.4, -94.6), (-4, -84), (-2, -74), (-8, -66.4), (-15, -69), (-18.6, -79)], STRIPE)
    b.wash(
        [(9.4, -93.4), (14.6, -89), (19.4, -81.4), (24, -77.6), (21, -74.6), (15, -75.4), (10.4, -82)], STRIPE
    )
    b.oval(-7.6, -79, 2.1, 2.3, "#fbf1e2")
    b.oval(-7, -78.9, 1.3, 1.55, INK)
    b.oval(14.6, -81.4, 2.0, 2.2, "#fbf1e2")
    b.oval(15.1, -81.3, 1.25, 1.5, INK)
    b.line([(-12, -84.6), (-7.6, -86), (-3.6, -83.6)], 0.95, "#fbf1e2")
    b.oval(29.2, -73.6, 3.3, 2.7, INK)
    b.oval(28.4, -74.6, 0.9, 0.6, "#b9a5a0")
    b.wash([(14.6, -67.4), (19.6, -67.7), (24, -68.6), (21.8, -65.3), (17.2, -64.6)], MOUTH, edge=0.5)
    b.line([(12.6, -68.6), (17, -67.4), (22, -67.9), (26.8, -70)], 0.7)
    b.oval(7, -69, 3.6, 2.3, BLUSH, opacity=0.4)


def _arm(b: Brush, bones: list[tuple[float, float]], paw: tuple[float, float]) -> None:
    b.line(bones, 11.4, INK, even=True)
    b.line(bones, 10, "#6f6260", even=True)
    b.oval(*paw, 5.4, 4.8, STRIPE, edge=0.5)


def hedgehog(b: Brush, *, wide: bool = True) -> None:
    """Tansy, small, hungry and loud, with a flower behind the ear."""
    for x in (-3, 7):
        b.wash([(x - 4, -1.6), (x, -4), (x + 5.4, -2.2), (x + 5.6, 0), (x - 3.4, 0.2)], CREAM_SHADE, edge=0.5)
    tips = [
        (5, -42),
        (-1, -43.5),
        (-7, -42),
        (-13, -38.5),
        (-17.5, -33),
        (-20, -26.5),
        (-21, -19.5),
        (-19.6, -12),
        (-15.6, -5.6),
    ]
    spikes: list[tuple[float, float]] = [(8, -37)]
    for (x0, y0), (x1, y1) in pairwise(tips):
        spikes += [(x0, y0), ((x0 + x1) / 2 * 0.84 + 0.6, (y0 + y1) / 2 * 0.88 - 2.0)]
    spikes += [tips[-1], (-8, -2.6), (6, -3), (12, -18)]
    b.wash(spikes, QUILL, to=QUILL_SHADE, edge=0.65, sharp=True)
    for x, y in ((-9, -33), (-3, -37), (-13, -25), (-7, -26), (-14, -16), (-9, -17), (-10, -9), (-2, -31)):
        b.line([(x, y), (x - 2.3, y - 2.6)], 0.65, "#b98d64")
    b.wash(
        [(-1, -24), (-5, -14), (-3, -4.6), (5, -2), (13, -4.6), (15.4, -14), (12, -24)],
        CREAM,
        to=CREAM_SHADE,
        edge=0.55,
    )
    b.wash(
        [(-1.6, -32), (4, -38.2), (11, -37.6), (16, -33), (22.6, -29.4), (25, -27.6), (22.6, -25.2),
         (16, -22), (7, -20.6), (0, -23.6)],
        CREAM, to="#edcfa2", edge=0.65,
    )  # fmt: skip
    b.oval(-0.6, -34, 3.6, 3.6, "#d9ab80", edge=0.55)
    b.oval(24.6, -28.4, 2.3, 2.0, INK)
    b.oval(11.6, -32, 1.3, 1.7, INK)
    b.oval(12.1, -32.7, 0.42, 0.48, "#fffaf0")
    b.oval(8, -27.4, 2.6, 1.7, BLUSH, opacity=0.5)
    b.wash([(12.4, -26.6), (16.4, -26.4), (19.8, -27), (18.4, -22.8), (15, -22)], MOUTH, edge=0.55)
    b.wash([(14.4, -23.6), (16.4, -24), (18, -23.6), (16, -22.5)], "#d8776a")
    arms = (
        ([(9, -15.6), (16, -13.6), (22, -16.4)], [(1, -16), (5, -11.6), (11, -11)])
        if wide
        else ([(9, -17), (16, -17), (22, -17)], [(2, -16), (10, -13.6), (19, -14)])
    )
    for arm in arms:
        b.line(arm, 4.2, INK, even=True)
        b.line(arm, 3.1, "#eccb9c", even=True)
    for angle in range(5):
        x, y = _petal(angle, 2.5)
        b.oval(1.4 + x, -39.6 + y, 1.7, 1.7, MUSTARD, edge=0.3)
    b.oval(1.4, -39.6, 1.5, 1.5, TERRACOTTA)


def _petal(number: int, reach: float) -> tuple[float, float]:
    """Return where one of five petals lies round the middle of a flower."""
    return [(0.0, -1.0), (0.95, -0.31), (0.59, 0.81), (-0.59, 0.81), (-0.95, -0.31)][number][0] * reach, [
        -1.0, -0.31, 0.81, 0.81, -0.31][number] * reach  # fmt: skip


def mole(b: Brush, *, waving: bool = False) -> None:
    """Plum, who lives underneath, in spectacles and up to the waist in a molehill."""
    b.wash(
        [(-15, -4), (-14, -20), (-9, -32), (0, -37), (9, -34.6), (15, -24), (16, -10), (13, 0), (-12, 0)],
        VELVET,
        to=VELVET_SHADE,
        edge=0.7,
    )
    b.wash(
        [(4, -25), (10, -30), (19, -27.6), (25, -24.4), (24, -21), (17, -14.6), (8, -16)],
        "#a98291",
        to="#8a6474",
        edge=0.5,
    )
    b.oval(25, -23.4, 3.0, 2.6, PINK, edge=0.5)
    b.oval(24.4, -24.2, 0.8, 0.6, "#fbe3d6")
    b.wash([(12.6, -20), (16.6, -19.6), (20.8, -20.6), (19, -16.4), (15, -15.8)], MOUTH, edge=0.5)
    b.wash([(14.6, -17.2), (16.8, -18), (18.4, -17.4), (16.4, -16.2)], "#d8776a")
    for x in (3.4, 12.6):
        b.oval(x, -28.6, 4.3, 4.3, "#fdf4df", edge=0.8)
        b.oval(x + 1.2, -28.4, 1.15, 1.4, INK)
    b.line([(7.6, -29.2), (8.4, -29.6)], 0.9, even=True)
    b.line([(-0.8, -29), (-6.6, -31)], 0.7)
    b.line([(-3, -37), (-2, -40.6), (0, -42)], 0.6)
    b.line([(0, -37), (1.6, -40.4), (3.8, -41)], 0.6)
    b.oval(5, -22, 2.6, 1.6, BLUSH, opacity=0.4)
    hands = ((13, -9), (-13, -26)) if waving else ((14, -7), (-9, -6))
    for x, y in hands:
        b.wash(
            [
                (x - 4.6, y + 3),
                (x - 5, y - 2),
                (x - 1.6, y - 5.2),
                (x + 3, y - 4.6),
                (x + 5.4, y - 0.6),
                (x + 3.4, y + 3.6),
            ],
            PINK,
            to="#d98a77",
            edge=0.6,
        )
        for finger in (-2.0, 0.2, 2.4):
            b.line([(x + finger, y - 4.4), (x + finger * 0.6, y - 1.6)], 0.45)
    b.wash(
        [(-31, 2), (-24, -6), (-14, -9.4), (-4, -4.6), (6, -4.8), (17, -9.6), (26, -5.4), (33, 2), (0, 4.6)],
        "#8b6246",
        to="#6b4a38",
        edge=0.65,
    )
    for x, y in ((-20, -3), (-10, -4.6), (4, -1.6), (15, -4), (23, -1.8)):
        b.oval(x, y, 1.3, 0.9, "#a67c58")


def moon(b: Brush, *, shy: bool = True) -> None:
    """The moon, middle at 0, 0 and radius 1: round, humming, a little embarrassed."""
    b.glow(0, 0, 2.7, "#fff0b0", 0.62)
    b.oval(0, 0, 1, 1, MOON, to=MOON_SHADE, edge=0.017)
    for x, y, size in ((-0.62, -0.42, 0.13), (-0.44, -0.66, 0.07), (0.55, -0.58, 0.16), (-0.58, 0.5, 0.16),
                       (0.74, 0.18, 0.09), (-0.12, 0.76, 0.09), (0.46, 0.66, 0.07)):  # fmt: skip
        b.oval(x, y, size, size * 0.86, "#eccb85", opacity=0.6)
        b.line(
            [(x - size * 0.8, y - size * 0.25), (x, y - size * 0.8), (x + size * 0.8, y - size * 0.2)],
            0.013,
            "#cfa65c",
        )
    for x in (-0.3, 0.3):
        if shy:
            b.oval(x, -0.1, 0.055, 0.085, INK)
            b.oval(x + 0.018, -0.13, 0.02, 0.024, "#fffaf0")
            b.line([(x - 0.1, -0.28), (x, -0.325), (x + 0.09, -0.3)], 0.022)
        else:
            b.line(
                [(x - 0.1, -0.06), (x - 0.055, -0.13), (x, -0.155), (x + 0.055, -0.13), (x + 0.1, -0.06)],
                0.03,
            )
        b.oval(x * 1.75, 0.14, 0.14, 0.085, BLUSH, opacity=0.5)
    if shy:
        b.wash([(-0.09, 0.2), (0, 0.175), (0.09, 0.2), (0.05, 0.3), (-0.05, 0.3)], MOUTH, edge=0.015)
    else:
        b.wash(
            [(-0.2, 0.14), (0, 0.185), (0.2, 0.14), (0.12, 0.34), (0, 0.38), (-0.12, 0.34)], MOUTH, edge=0.017
        )
        b.wash([(-0.09, 0.32), (0, 0.28), (0.09, 0.32), (0, 0.37)], "#d8776a")


FACES = {
    "odile": ((6.0, -79.0, 32.0, 18.0), (30.0, -68.0)),
    "tansy": ((-2.0, -39.0, 29.0, 19.0), (16.0, -24.5)),
    "hob": ((-20.0, -96.0, 53.0, 36.0), (19.0, -66.5)),
    "plum": ((-6.0, -36.0, 34.0, 22.0), (16.5, -18.2)),
    "moon": ((-0.6, -0.4, 1.2, 0.85), (0.0, 0.25)),
}
"""Box of the face (left, top, width, height) and middle of the mouth, own space; the moon's in its radius."""
