"""Perspective undone, against projective maps and waves of known equation."""

import numpy as np
import pytest

from lettering.capture.light import linear
from lettering.capture.page import PageImage
from lettering.capture.paper import flatten
from lettering.capture.paper.flatten import finest_scale, flattened

SIZE = (40.0, 30.0)
TILTED = np.array([[12.0, 1.5, 40.0], [-0.8, 11.0, 60.0], [0.002, 0.004, 1.0]])
"""Millimetres to pixels for a page tilted away at its lower right."""


def wave(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return linear light that swings once in 9 px across and once in 7 px down."""
    return 0.5 + 0.4 * np.sin(2 * np.pi * x / 9) * np.sin(2 * np.pi * y / 7 + 1)


def picture(colour: bool = False) -> PageImage:
    """Return a 16-bit picture of the wave, sRGB-encoded (IEC 61966-2-1), its values at pixel centres."""
    y, x = np.mgrid[0:480, 0:640] + 0.5
    light = wave(x, y)
    encoded = np.rint((1.055 * light ** (1 / 2.4) - 0.055) * 0xFFFF).astype(np.uint16)
    return PageImage(name="p", pixels=np.stack([encoded] * 3, axis=-1) if colour else encoded, ppi=None)


def seen_at(matrix: np.ndarray, shape: tuple[int, ...], scale: float) -> tuple[np.ndarray, np.ndarray]:
    """Return where in the picture each pixel centre of the flat page lies (closed form)."""
    row, column = np.mgrid[0 : shape[0], 0 : shape[1]] + 0.5
    u, v, depth = np.moveaxis(np.stack([column / scale, row / scale, np.ones(shape)], -1) @ matrix.T, -1, 0)
    return u / depth, v / depth


@pytest.mark.parametrize("colour", [False, True])
def test_each_point_of_the_paper_shows_the_light_it_had_in_the_picture(colour: bool) -> None:
    """A wave near the finest that pixels can carry comes through within 2 % of full light."""
    flat = flattened(picture(colour), TILTED, SIZE, 10.0)
    wanted = wave(*seen_at(TILTED, (300, 400), 10.0))

    assert flat.ppi == pytest.approx(254)
    assert np.abs(linear(flat.pixels) - wanted).max() < 0.02


def test_nothing_moves_when_the_picture_is_flat_already() -> None:
    """A page seen straight on at its own scale comes back pixel for pixel."""
    page = picture()
    flat = flattened(page, np.diag([10.0, 10.0, 1.0]), (64.0, 48.0))

    assert flat.pixels.shape == page.pixels.shape
    assert np.abs(flat.pixels.astype(int) - page.pixels.astype(int)).max() <= 4


def test_the_scale_is_that_of_the_nearest_part_of_the_paper() -> None:
    """The finest scale is the root of the largest growth of area, by finite differences at the corners."""
    step = 1e-4

    def place(x: float, y: float) -> np.ndarray:
        u, v, depth = TILTED @ np.array([x, y, 1.0])
        return np.array([u, v]) / depth

    grown = []
    for x, y in ((0, 0), (40, 0), (0, 30), (40, 30)):
        across, down = place(x + step, y) - place(x, y), place(x, y + step) - place(x, y)
        grown.append(abs(across[0] * down[1] - across[1] * down[0]) / step**2)

    assert finest_scale(TILTED, SIZE) == pytest.approx(np.sqrt(max(grown)), rel=1e-3)


def test_paper_past_the_picture_takes_its_edge() -> None:
    """A page that reaches out of the picture is filled without an error."""
    flat = flattened(picture(), np.array([[12.0, 0, -60.0], [0, 12.0, 400.0], [0, 0, 1.0]]), SIZE, 10.0)

    assert flat.pixels.shape == (300, 400)
    assert np.ptp(flat.pixels[-1]) > 0


def test_a_page_of_enormous_scale_is_made_as_large_as_may_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """No scale asks for more pixels than the limit, and the limit is a hundred million."""
    assert flatten.MOST_PIXELS == 100_000_000
    monkeypatch.setattr(flatten, "MOST_PIXELS", 10_000)
    flat = flattened(picture(), TILTED, SIZE, 2.0e4)

    assert 9_000 < flat.pixels.size <= 10_200
    assert flat.ppi == pytest.approx(flat.pixels.shape[1] / SIZE[0] * 25.4, rel=0.01)
