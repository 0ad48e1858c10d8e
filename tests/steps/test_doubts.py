"""What a reading is not sure of: kept with its paper, where it truly stands."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.steps.gather import Gathered, gather
from lettering.steps.hand import describe
from lettering.storage.images import crop_pixels
from lettering.storage.ufo import read_hand
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface

ROWS = (
    "who left a cello here",
    "we see no hen today",
    "hen, then a new one",
    "the moon is on the sea",
    "a hand in the sand",
)
"""What is on the paper: letters that touch, and some that are seen only once."""
LOST = (4, 7)
"""Row and place of the i of `in`, which was rubbed out."""
SLIP = (1, 4)
"""Row and place of an e of `see` that the reading calls an a."""
PPI = 200.0


@pytest.fixture(scope="module")
def simulated() -> SimulatedPage:
    """The page with what is truly on it."""
    lettering = Lettering(x_height_mm=5, spacing=-0.06, jitter=0.02, wander=0.03)
    return simulated_page(typeface("gochi-hand"), ROWS, lettering, Scan(ppi=PPI))


@pytest.fixture(scope="module")
def page(simulated: SimulatedPage, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page on disk, and beside it a reading with a slip that also leaves out the e of `then`."""
    path = tmp_path_factory.mktemp("doubts") / "page.png"
    pixels, gone = simulated.page.pixels.copy(), true_box(simulated, *LOST)
    pixels[int(gone.y0) - 4 : int(gone.y1) + 4, int(gone.x0) - 4 : int(gone.x1) + 4] = 235
    Image.fromarray(pixels).save(path, dpi=(PPI, PPI))
    reading = [ROWS[0], ROWS[1].replace("see", "sae"), ROWS[2].replace("then", "thn"), *ROWS[3:]]
    path.with_suffix(".txt").write_text("\n".join(reading) + "\n", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def came(page: Path) -> Gathered:
    """What came of gathering it."""
    return gather([page], [page.with_suffix(".txt")], page.with_name("hand.ufo"))


def true_box(simulated: SimulatedPage, row: int, place: int) -> Rect:
    """Return where a letter truly is, page px."""
    return next(one.box for one in simulated.letters if (one.row, one.place) == (row, place))


def doubts(hand: Hand) -> dict[tuple[int, int], Take]:
    """Return what the reading was not sure of by row and place."""
    every = (take for takes in hand.aside.values() for take in takes if take.doubtful)
    return {(take.source.row, take.source.place): take for take in every if take.source}


def test_every_letter_is_a_take_or_seen_aside_or_has_no_ink(came: Gathered, page: Path) -> None:
    """Of the reading's letters only the one that was rubbed out has no drawing; the hand on disk has all."""
    hand = read_hand(page.with_name("hand.ufo"))
    lost = [(one.row - 1, one.place - 1) for one in came.left_out if not one.kept]
    reading = page.with_suffix(".txt").read_text("utf-8").split("\n")
    every = [take for takes in (*hand.takes.values(), *hand.aside.values()) for take in takes]
    places = {
        (take.source.row, take.source.place + step)
        for take in every
        if take.source
        for step in range(len(take.char))
    }

    assert lost == [LOST]
    assert places | {LOST} >= {(r, i) for r, row in enumerate(reading) for i, c in enumerate(row) if c != " "}
    assert came.letters == sum(map(len, hand.takes.values()))


def test_what_is_aside_shows_its_own_ink(came: Gathered, simulated: SimulatedPage) -> None:
    """The kept crop of the slip is that of the letter truly there (the simulator's own record), and dark."""
    slip = doubts(came.hand)[SLIP]
    true = true_box(simulated, *SLIP)
    assert slip.source
    assert slip.picture
    box = slip.source.box

    assert (slip.char, slip.aside) == ("a", "touches its neighbour")
    assert np.hypot(box.centre.x - true.centre.x, box.centre.y - true.centre.y) < 0.1 * true.width
    assert crop_pixels(slip.picture).shape == (box.height, box.width)
    assert crop_pixels(slip.picture).min() < 80


def test_the_description_lists_what_is_aside(came: Gathered, page: Path) -> None:
    """Each drawing by its name, with its place and the reason."""
    told = describe(page.with_name("hand.ufo"), None)

    assert "(page.png, row 2, place 5): touches its neighbour" in told
    assert all(take.name in told for take in doubts(came.hand).values())
