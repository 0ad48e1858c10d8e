"""A small book whose hand was gathered from a page, for the tests of what is done to letters on the table."""

import time
from dataclasses import replace
from pathlib import Path

from PIL import Image

from lettering.errors import HandError
from lettering.hand.hand import Hand
from lettering.hand.names import aside_name
from lettering.hand.take import Take
from lettering.steps.gather import gather
from lettering.steps.mend import join
from lettering.storage.ufo import read_hand, write_hand
from tests.simulated_page import Lettering, Scan, simulated_page, typeface
from tests.steps.test_gather import files
from tests.table.conftest import Served

ROWS = ("we see no hen", "who then? not he.", "hen, then new")
"""What is lettered: all that the book says, and an n beside an o that are taken for an m."""
BOOK = """\
title: The Hen
language: en
reader_age: 7
hand: hand.ufo
page: {width: 250 mm, height: 250 mm}
cast:
  wren: {name: Wren}
  toad: {name: Toad, hand: toad.ufo}
spreads:
  - pages: 2-3
    figures:
      wren: {box: [60, 150, 60, 70], mouth: [90, 168]}
    lines:
      - wren: We see no hen.
"""


def book_with_gathered_hand(folder: Path) -> Path:
    """Write the book and return the path of its file; in its hand `no` of row 1 is one letter, named m."""
    folder.mkdir(parents=True, exist_ok=True)
    page_at(folder / "page.png", ROWS)
    gather([folder / "page.png"], [folder / "page.txt"], folder / "hand.ufo")
    hand = read_hand(folder / "hand.ufo")
    n, o = at(hand, "n", 0, 7), at(hand, "o", 0, 8)
    hand = join(hand, n.name, o.name, "m")
    write_hand(_with_doubt(hand), folder / "hand.ufo")
    path = folder / "book.yaml"
    path.write_text(BOOK.replace("We see", "we see"), encoding="utf-8")
    return path


def page_at(path: Path, rows: tuple[str, ...]) -> None:
    """Write a scan of rows in an open typeface, and its reading beside it."""
    sim = simulated_page(
        typeface("patrick-hand"), rows, Lettering(x_height_mm=5, spacing=0.12), Scan(ppi=200)
    )
    Image.fromarray(sim.page.pixels).save(path, dpi=(200, 200))
    path.with_suffix(".txt").write_text("\n".join(rows) + "\n", encoding="utf-8")


def at(hand: Hand, char: str, row: int, place: int) -> Take:
    """Return the take of a letter at a place of the page."""
    return next(t for t in hand.takes[char] if t.source and (t.source.row, t.source.place) == (row, place))


def _with_doubt(hand: Hand) -> Hand:
    """Return the hand with its last h set aside."""
    *others, last = hand.takes["h"]
    odd = replace(
        last, name=aside_name("h", 1), aside="it leans 30 degrees farther to the right than the others"
    )
    return replace(hand, takes={**hand.takes, "h": tuple(others)}, aside={"h": (odd,)}, words={})


def on_disk(served: Served, name: str = "hand.ufo") -> Hand:
    """Return a hand as it is on disk now, as the commands read it; once more while it is being exchanged."""
    for _ in range(20):
        try:
            return read_hand(served.path.parent / name)
        except HandError:
            time.sleep(0.05)
    return read_hand(served.path.parent / name)


def whole(served: Served) -> dict[str, bytes] | None:
    """Return the files of the hand, or none while they are being exchanged."""
    try:
        return files(served.path.parent / "hand.ufo")
    except OSError:
        return None
