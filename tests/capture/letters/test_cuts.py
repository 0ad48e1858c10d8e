"""Letters that run together: laid out by their takes, divided at the join, and never named wrongly."""

import numpy as np
import pytest

from lettering.capture.letters.dividing import divided
from lettering.capture.letters.laying import Model, Run, laid
from lettering.capture.page import Reading
from lettering.capture.read import read_page
from tests.capture.test_read import PAGE, misplaced
from tests.simulated_page import Lettering, Scan, simulated_page, touching, typeface

NOBODY: frozenset[int] = frozenset()


def ring(radius: int, thick: int = 6) -> np.ndarray:
    """Return a round letter."""
    down, across = np.ogrid[-radius : radius + 1, -radius : radius + 1]
    away = np.hypot(down, across)
    return np.asarray((away <= radius) & (away > radius - thick))


def stem(high: int, thick: int = 6) -> np.ndarray:
    """Return an upright letter."""
    return np.ones((high, thick), dtype=np.bool_)


def run_of(gap: int) -> Run:
    """Return a ring, a tall stem and a ring on one baseline, `gap` px between (below 0: overlapping)."""
    ink = np.zeros((70, 49 + 6 + 49 + 2 * gap), dtype=np.bool_)
    ink[21:, :49] |= ring(24)
    ink[:, 49 + gap : 55 + gap] = True
    ink[21:, 55 + 2 * gap :] |= ring(24)
    return Run(ink, top=70.0, unit=49.0, stroke=6.0)


MODELS = [[Model(ring(24), 49.0, NOBODY)], [Model(stem(70), 70.0, NOBODY)], [Model(ring(24), 49.0, NOBODY)]]


def test_takes_are_laid_where_the_letters_stand() -> None:
    """Three letters that touch by two pixels are found in place, to the search's step (closed form)."""
    letters = laid(run_of(-2), MODELS, [49, 6, 49])

    assert [letter.left for letter in letters] == pytest.approx([0, 47, 51], abs=2)
    assert max(letter.off for letter in letters) < 0.1


def test_all_ink_goes_to_one_letter_and_cuts_run_through_the_joins() -> None:
    """The parts of a run add up to it, and each is its own letter but for the join."""
    run = run_of(-1)
    parts = divided(run, laid(run, MODELS, [49, 6, 49]))

    assert (np.sum(parts, axis=0) == run.ink).all()
    for part, model in zip(parts, MODELS, strict=True):
        assert part.sum() == pytest.approx(model[0].ink.sum(), rel=0.15)


def test_a_letter_seen_nowhere_else_gets_what_the_others_leave() -> None:
    """Between two letters whose takes are known, the unknown one is found, a nick at the join aside."""
    run = run_of(-1)
    parts = divided(run, laid(run, [MODELS[0], [], MODELS[2]], [49, 7, 49]))

    assert parts[1].sum() == pytest.approx(MODELS[1][0].ink.sum(), rel=0.2)


@pytest.mark.parametrize(("name", "spacing"), [("gochi-hand", -0.06), ("patrick-hand", -0.12)])
def test_nine_of_ten_touching_letters_are_cut_right_and_none_is_misnamed(name: str, spacing: float) -> None:
    """A quarter of the letters touch, no two are drawn alike: 90 % are cut right, none is named wrongly."""
    font = typeface(name)
    lettering = Lettering(x_height_mm=4.0, spacing=spacing, wander=0.04, jitter=0.02, unsteady=0.03)
    sim = simulated_page(font, PAGE, lettering, Scan(ppi=300))
    together = {(letter.row, letter.place) for letter in touching(font, sim)}
    page = read_page(sim.page, Reading(PAGE))
    found = {(letter.row, letter.place) for letter in page.letters}

    assert len(together) >= 0.25 * len(sim.letters)
    assert misplaced(page, sim) == []
    assert len(together & found) >= 0.9 * len(together)
    assert len(page.letters) + len(page.set_aside) == len(sim.letters)


def test_letters_apart_are_never_cut() -> None:
    """On a page where nothing touches, no letter is made of a part of a piece."""
    sim = simulated_page(
        typeface("delius"), PAGE[2:5], Lettering(x_height_mm=4.0, spacing=0.1), Scan(ppi=300)
    )
    page = read_page(sim.page, Reading(PAGE[2:5]))

    assert len(page.letters) == len(sim.letters)
    assert misplaced(page, sim) == []
