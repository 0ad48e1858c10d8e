"""The page of a photo laid flat by corners that the illustrator gives, against a camera of known place."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.errors import ImageError
from lettering.steps.page_corners import laid_by_corners, seen_corners
from lettering.storage.images import read_page_image
from tests.capture.paper.test_photo import lettered
from tests.simulated_photo import Phone, SimulatedPhoto, photographed


@cache
def photo() -> SimulatedPhoto:
    """Return a page before a camera, all of it in the picture."""
    return photographed(lettered(), phone=Phone(width_px=1300, height_px=1000, fill=0.76))


def true_corners() -> np.ndarray:
    """Return where the camera sees the corners of the page, clockwise from the upper left (closed form)."""
    width, height = photo().size_mm
    seen = photo().to_picture @ np.array([[0, width, width, 0], [0, 0, height, height], [1, 1, 1, 1]])
    return np.asarray((seen[:2] / seen[2]).T)


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """Return the photo as a file."""
    path = tmp_path / "photo.png"
    Image.fromarray(photo().page.pixels).save(path)
    return path


def test_the_corners_are_offered_where_they_are(picture: Path) -> None:
    """The corners that the illustrator may correct lie within a pixel of where the camera sees them."""
    seen = seen_corners(picture)

    assert seen["size"] == [1300, 1000]
    assert np.abs(np.array(seen["corners"]) - true_corners()).max() < 1.0


def test_given_corners_lay_the_page_flat(picture: Path) -> None:
    """The flat page has the proportion of the true one, and its ink where the page itself has it."""
    flat = read_page_image(laid_by_corners(picture, true_corners().tolist(), None))
    rows, columns = flat.pixels.shape[:2]
    width, height = photo().size_mm
    truth = np.asarray(
        Image.fromarray((255 * (1 - lettered().coverage)).astype(np.uint8)).resize((columns, rows))
    )
    grey = flat.pixels.mean(axis=2) if flat.pixels.ndim == 3 else flat.pixels

    assert columns / rows == pytest.approx(width / height, rel=0.01)
    assert grey[truth < 60].mean() < 0.5 * np.median(grey[truth > 250])


@pytest.mark.parametrize(
    "corners",
    [
        [[0, 0], [1, 0], [1, 1]],
        [[0, 0], [1000, 900], [1000, 0], [0, 900]],
        [[0, 0], [0, 900], [1000, 900], [1000, 0]],
        [[10, 10], [12, 10], [12, 12], [10, 12]],
        [[0, 0], [float("nan"), 0], [900, 900], [0, 900]],
    ],
    ids=["three", "crossed", "the wrong way round", "tiny", "no number"],
)
def test_corners_round_no_page_are_refused(picture: Path, corners: list[list[float]]) -> None:
    """Corners that are too few, crossed, mirrored or all in one place are refused and nothing is written."""
    with pytest.raises(ImageError):
        laid_by_corners(picture, corners, None)

    assert [path.name for path in picture.parent.iterdir()] == ["photo.png"]
