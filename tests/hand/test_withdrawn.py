"""A page is withdrawn, and the hand is as if it had never been gathered."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from lettering.geometry.affine import Affine
from lettering.hand.aside import called_back
from lettering.hand.gathered import gathering
from lettering.hand.grid import gridded
from lettering.hand.hand import GatheredPage, Hand
from lettering.hand.take import Drawn
from lettering.hand.withdrawn import size_on_paper, with_pages, without_page
from lettering.storage.ufo import read_hand, write_hand
from tests.hand.drawn_rows import UNITS_PER_PX, drawn_rows
from tests.steps.test_gather import files

ROWS = {
    "first": ("so quick a toad and the wet leaf", "hens at noon"),
    "second": ("the rain in a cello case", "two odd hats and quiet nets"),
    "larger": ("an old heron sat on the queen", "not a seed"),
    "heavier": ("at dusk a snail eats the letters", "one hound heard it"),
}
"""What four pages say: one is lettered a fifth larger, one in another pen."""
IN_DOUBT = 5
"""Which letter of each page its reading is not sure of."""
MM_PER_UNIT = {"first": 0.008, "second": None, "larger": 0.0095, "heavier": 0.0081}


@cache
def page(name: str) -> list[Drawn]:
    """Return a page's letters, no two drawn alike, for a drawing that is there twice is kept once."""
    face, size = "schoolbell" if name == "heavier" else "andika", 1.2 if name == "larger" else 1.0
    letters = drawn_rows(face, ROWS[name], page=name, seed=len(name))
    unsteady = np.random.default_rng(len(name)).normal(1, 0.03, len(letters))
    return [
        replace(
            letter,
            outline=letter.outline.transformed(Affine.scaling(size, size * more)),
            source=replace(letter.source, units_per_px=UNITS_PER_PX * size),
            doubt="could be another letter" if number == IN_DOUBT else None,
        )
        for number, (letter, more) in enumerate(zip(letters, unsteady.tolist(), strict=True))
    ]


def gathered(*batches: tuple[str, ...], into: Path) -> Hand:
    """Return the hand gathered from batches of pages, one batch after the other, by way of the disk."""
    hand = None
    for batch in batches:
        sizes = [GatheredPage(name, MM_PER_UNIT[name]) for name in batch]
        drawn = [letter for name in batch for letter in page(name)]
        hand = gathering(drawn, name="hers", mm_per_unit=size_on_paper(sizes), previous=hand).hand
        write_hand(with_pages(hand, sizes), into)
        hand = read_hand(into)
    assert hand is not None
    return hand


HISTORIES = [
    (("first",), ("second",)),
    (("heavier",), ("first",)),
    (("first", "larger"), ("second", "heavier")),
]


@pytest.mark.parametrize("batches", HISTORIES, ids=str)
def test_a_hand_without_a_page_is_the_one_that_never_knew_it(
    batches: tuple[tuple[str, ...], ...], tmp_path: Path
) -> None:
    """Whichever page goes, on disk the hand is byte for byte the one gathered from the others."""
    hand = gathered(*batches, into=tmp_path / "all.ufo")
    for gone in {name for batch in batches for name in batch}:
        left = [tuple(name for name in batch if name != gone) for batch in batches]
        gathered(*filter(None, left), into=tmp_path / "never.ufo")
        write_hand(without_page(hand, gone), tmp_path / "without.ufo")

        assert files(tmp_path / "without.ufo") == files(tmp_path / "never.ufo"), gone
        doubts = [take for takes in read_hand(tmp_path / "without.ufo").aside.values() for take in takes]
        assert sum(take.doubtful for take in doubts) == sum(map(len, left))


def test_what_she_changed_since_is_kept(tmp_path: Path) -> None:
    """Where an outline was edited, or a drawing called back, what is left of the hand stays as it was."""
    hand = gathered(("first", "larger"), ("second", "heavier"), into=tmp_path / "hand.ufo")
    edited = replace(hand.takes["q"][0], outline=gridded(hand.takes["q"][0].outline, 7.0))
    changed = replace(hand, takes={**hand.takes, "q": (edited, *hand.takes["q"][1:])})
    wanted = next(take.name for takes in hand.aside.values() for take in takes if not take.doubtful)
    for one in (changed, called_back(hand, wanted)):
        left = without_page(one, "second")
        names = {t.name: t.source for takes in one.takes.values() for t in takes if t.source}
        kept = {t.name: t.source for takes in left.takes.values() for t in takes if t.source}

        assert {source.page for source in kept.values()} == {"first", "larger", "heavier"}
        assert all(names[name].box == source.box for name, source in kept.items() if name in names)
    assert without_page(changed, "second").takes["q"][0].outline.bounds.width == edited.outline.bounds.width
