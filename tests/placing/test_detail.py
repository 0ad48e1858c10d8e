"""The map of detail knows washes from drawing."""

import numpy as np
import pytest
from numpy.typing import NDArray

from lettering.placing.detail import CELL_MM, detail_of

Art = NDArray[np.uint8]


def wash(rows: int = 300, columns: int = 600, grey: int = 200) -> Art:
    """Return art of one colour: 300 x 600 px, for 100 x 200 mm."""
    return np.full((rows, columns, 3), grey, np.uint8)


def test_a_flat_wash_is_quiet_everywhere() -> None:
    """One colour has no detail at all, and the map has a cell for every 2 mm."""
    found = detail_of(wash(), 200.0, 100.0)

    assert found.shape == (round(100 / CELL_MM), round(200 / CELL_MM))
    assert found.max() == pytest.approx(0.0, abs=1e-9)


def test_flat_art_beside_a_figure_has_a_map_of_numbers() -> None:
    """Far from a figure's outline rounding may leave less than nothing: it counts as nothing."""
    art = wash(1024, 2024)
    art[560:920, 260:580] = 80
    found = detail_of(art, 500.0, 250.0)

    assert np.isfinite(found).all()
    assert found[-1, -1] == 0.0


def test_hatching_is_busy_where_it_is_and_quiet_elsewhere() -> None:
    """Black hatching on the left half is busy there; the right half stays quiet away from it."""
    art = wash()
    art[:, :300:6] = 0
    art[:, 1:300:6] = 0
    found = detail_of(art, 200.0, 100.0)

    assert found[:, 5:45].min() > 0.9
    assert found[:, 60:].max() < 0.02


def test_a_soft_gradient_is_quieter_than_an_outline() -> None:
    """A sky from white to mid grey is quiet; one drawn line across the page is not."""
    sky = np.repeat(np.linspace(255, 120, 300)[:, None, None].round().astype(np.uint8), 600, axis=1).repeat(
        3, axis=2
    )
    drawn = wash()
    drawn[148:152] = 0

    assert detail_of(sky, 200.0, 100.0).max() < 0.05
    assert detail_of(drawn, 200.0, 100.0)[25].min() > 0.5


def test_the_resolution_of_the_art_does_not_matter() -> None:
    """The same drawing in twice the pixels gives nearly the same map."""
    rng = np.random.default_rng(4)
    blots = (rng.random((25, 50)) > 0.7).astype(np.uint8) * 180 + 40
    small = blots.repeat(12, axis=0).repeat(12, axis=1)[:, :, None].repeat(3, axis=2)
    large = small.repeat(2, axis=0).repeat(2, axis=1)

    assert np.abs(detail_of(small, 200.0, 100.0) - detail_of(large, 200.0, 100.0)).max() < 0.12


def test_a_mirrored_page_has_a_mirrored_map() -> None:
    """Left and right are treated alike."""
    rng = np.random.default_rng(5)
    art = rng.integers(0, 255, (30, 60, 3), np.uint8).repeat(10, axis=0).repeat(10, axis=1)

    assert np.abs(detail_of(art[:, ::-1], 200.0, 100.0) - detail_of(art, 200.0, 100.0)[:, ::-1]).max() < 1e-9


@pytest.mark.parametrize("size", [(1, 1), (2, 700), (700, 2)])
def test_odd_art_gives_a_map(size: tuple[int, int]) -> None:
    """Art of a few pixels still has a map without gaps."""
    found = detail_of(wash(*size), 200.0, 100.0)

    assert np.isfinite(found).all()
