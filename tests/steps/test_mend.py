"""Letters split and joined: traced again from the kept crop, against the typeface that was lettered with."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.errors import HandError
from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.aside import called_back
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.hand.word import word_takes
from lettering.steps.gather import X_HEIGHT_UNITS
from lettering.steps.mend import join, split
from lettering.storage.ufo import read_hand, write_hand
from tests.simulated_page import Lettering, Scan, SimulatedPage, TrueLetter, scanned, simulated_page, typeface
from tests.steps.test_gather import files, gathered, region
from tests.typeface_hand import typeface_hand

ROWS = ("the barn hen ran", "a hen bit mab", "rum at noon in may")
"""What is on the paper; in the first row an r runs into its n."""
SCAN = Scan(ppi=300)


@pytest.fixture(scope="module")
def simulated() -> SimulatedPage:
    """The page before the two letters met."""
    lettering = Lettering(x_height_mm=5, spacing=0.12)
    return simulated_page(typeface("patrick-hand"), ROWS, lettering, SCAN)


@pytest.fixture(scope="module")
def ufo(simulated: SimulatedPage, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A hand in which two touching letters, set aside, were taken back as one."""
    folder = tmp_path_factory.mktemp("mended")
    r, n = both(simulated)
    coverage = simulated.coverage.copy()
    top = round(r.box.y0)
    coverage[top : top + 8, round(r.box.x1) - 4 : round(n.box.x0) + 4] = 1.0
    path = folder / "page.png"
    Image.fromarray(scanned(coverage, SCAN)).save(path, dpi=(300, 300))
    path.with_suffix(".txt").write_text("\n".join(ROWS) + "\n", encoding="utf-8")
    right = gathered(path, folder / "hand.ufo")
    (run,) = (one.name for one in right.aside["rn"])
    write_hand(called_back(right, run, "m"), folder / "hand.ufo")
    return folder / "hand.ufo"


@pytest.fixture
def hand(ufo: Path) -> Hand:
    """The hand as it is read."""
    return read_hand(ufo)


@pytest.fixture
def cut(simulated: SimulatedPage, hand: Hand) -> float:
    """The column of the crop of both that lies midway between the typeface's r and its n, px."""
    r, n = both(simulated)
    take = at(hand, "m", 0, 6)
    assert take.source
    return (r.box.x1 + n.box.x0) / 2 - take.source.box.x0


def both(simulated: SimulatedPage) -> tuple[TrueLetter, ...]:
    """Return where the r and the n that touch really are."""
    places = {letter.place: letter for letter in simulated.letters if letter.row == 0}
    return places[6], places[7]


def at(hand: Hand, char: str, row: int, place: int) -> Take:
    """Return the take of a letter at a place."""
    return next(t for t in hand.takes[char] if t.source and (t.source.row, t.source.place) == (row, place))


def in_common(outline: Outline, char: str, *, left: bool) -> float:
    """Return the share of ink that an outline has in common with the typeface's own of a letter.

    Both are laid with their `left` or their right edges on each other, at one size, on one baseline.
    """
    truth = typeface_hand("patrick-hand")
    scale = X_HEIGHT_UNITS / truth.metrics.x_height
    own = truth.takes[char][0].outline
    edge = (lambda box: box.x0) if left else (lambda box: box.x1)
    shift = edge(outline.bounds) - edge(own.bounds) * scale
    moved = region(tuple(Contour(c.knots * scale + (shift, 0.0)) for c in own.contours))
    traced = region(outline.contours)
    both = traced.intersection(moved).area
    return both / (traced.area + moved.area - both)


def test_a_letter_that_is_two_is_split_along_a_stroke(hand: Hand, cut: float) -> None:
    """Both parts are the typeface's own r and n (SIL OFL, tests/typefaces), on the baseline, in their row."""
    wrong = at(hand, "m", 0, 6)
    after = split(hand, wrong.name, [[cut + 1, -5], [cut, 30], [cut + 1, 400]], ("r", "n"))
    r, n = at(after, "r", 0, 6), at(after, "n", 0, 7)

    assert in_common(r.outline, "r", left=True) > 0.85  # its share of the bridge is more than a typeface has
    assert in_common(n.outline, "n", left=False) > 0.85
    assert r.source
    assert n.source
    assert n.source.start
    assert r.source.start is not None
    assert abs(n.outline.bounds.y0) < 12
    assert r.source.box.x1 > n.source.box.x0 > r.source.box.x0  # each has its own crop, margins overlapping
    stood = n.source.start + n.outline.bounds.x0 - r.source.start - r.outline.bounds.x1
    assert stood == pytest.approx(0.0, abs=12)  # they touched where the stroke parted them


def test_what_is_split_has_the_room_that_its_kind_has(hand: Hand, cut: float) -> None:
    """Sidebearings of the new takes are near those of the others of their letter; the word is known."""
    wrong = at(hand, "m", 0, 6)
    after = split(hand, wrong.name, [[cut, 0], [cut, 300]], ("r", "n"))

    r, n = at(after, "r", 0, 6), at(after, "n", 0, 7)
    left = np.median([t.outline.bounds.x0 for t in after.takes["r"] if t.name != r.name])
    right = np.median([t.advance - t.outline.bounds.x1 for t in after.takes["n"] if t.name != n.name])
    assert r.outline.bounds.x0 == pytest.approx(left, abs=8)  # the sides that are clear of the other letter
    assert n.advance - n.outline.bounds.x1 == pytest.approx(right, abs=8)
    assert r.called_back
    assert n.called_back
    assert word_takes(after, "barn")
    assert not word_takes(after, "bam")


def test_letters_behind_a_split_one_move_up_a_place_and_nothing_else(
    hand: Hand, cut: float, ufo: Path, tmp_path: Path
) -> None:
    """Every other take is kept to the byte but for its place in that row, and words there are kept."""
    wrong = at(hand, "m", 0, 6)
    write_hand(split(hand, wrong.name, [[cut, 0], [cut, 300]], ("r", "n")), tmp_path / "hand.ufo")
    before, after = files(ufo), files(tmp_path / "hand.ufo")
    behind = {t.name for g in hand.takes.values() for t in g if t.source and t.source.row == 0}
    changed = {
        name
        for name in before.keys() & after.keys()
        if name.endswith((".glif", ".png")) and before[name] != after[name]
    }
    now = read_hand(tmp_path / "hand.ufo")

    assert {at(now, "h", 0, 9).name, at(now, "r", 0, 13).name} <= behind
    assert all(name.startswith("glyphs/") for name in changed)
    assert len(changed) <= len("hen ran") - 1 + 1  # and the m whose usual take it was
    for name in changed:
        lines = [set(part[name].decode().splitlines()) for part in (before, after)]
        assert all("<integer>" in line for line in lines[0] ^ lines[1])
    assert len(word_takes(now, "hen")) == len(word_takes(hand, "hen"))
    assert now.metrics == hand.metrics


def test_two_drawings_that_are_one_letter_are_joined_as_they_stood(hand: Hand, cut: float) -> None:
    """Split and joined again it is the outline it was, but for the seam."""
    wrong = at(hand, "m", 0, 6)
    parted = split(hand, wrong.name, [[cut, 0], [cut, 300]], ("r", "n"))
    again = join(parted, at(parted, "r", 0, 6).name, at(parted, "n", 0, 7).name, "m")
    back = at(again, "m", 0, 6)
    traced, was = region(back.outline.contours), region(wrong.outline.contours)
    both = traced.intersection(was).area

    assert both / (traced.area + was.area - both) > 0.94
    assert back.source
    assert wrong.source
    assert back.source.box == wrong.source.box
    after = at(again, "h", 0, 8).source
    assert after
    assert replace(after, place=9) == at(hand, "h", 0, 9).source
    assert len(again.takes["r"]) == len(hand.takes["r"])


@pytest.mark.parametrize(
    ("stroke", "said"),
    [([[-20, 0], [-20, 300]], "all ink on one side"), ([[5, 5], [5, 5]], "no stroke")],
    ids=["beside the ink", "a point"],
)
def test_a_stroke_that_parts_nothing_is_refused(hand: Hand, stroke: list[list[float]], said: str) -> None:
    """It must go through the ink; the hand is untouched."""
    with pytest.raises(HandError, match=said):
        split(hand, at(hand, "m", 0, 6).name, stroke, ("r", "n"))


def test_what_cannot_be_mended_says_why() -> None:
    """A take without its paper cannot be traced again, nor letters of two rows be one."""
    bare = typeface_hand("patrick-hand")
    with pytest.raises(HandError, match="too little was kept"):
        split(bare, bare.takes["m"][0].name, [[0, 0], [9, 9]], ("r", "n"))


def test_letters_of_two_rows_are_not_one(hand: Hand) -> None:
    """A join across rows is refused, and so is a letter with itself."""
    with pytest.raises(HandError, match="one row"):
        join(hand, at(hand, "h", 0, 1).name, at(hand, "h", 1, 2).name, "m")
    with pytest.raises(HandError, match="one row"):
        join(hand, at(hand, "h", 0, 1).name, at(hand, "h", 0, 1).name, "m")


def test_of_a_run_that_was_set_aside_a_part_may_be_several_letters(hand: Hand, cut: float) -> None:
    """The part that is one letter is a take; the other stays aside, a place farther on, to be split again."""
    take = at(hand, "m", 0, 6)
    run = replace(take, name="r_n_o.aside1", char="rno", aside="touches its neighbour", doubtful=True)
    left = tuple(one for one in hand.takes["m"] if one is not take)
    hand = replace(hand, takes={**hand.takes, "m": left}, aside={"rno": (run,)}, words={})
    after = split(hand, run.name, [[cut, 0.0], [cut, 80.0]], ("r", "no"))
    (rest,) = after.aside["no"]

    assert at(after, "r", 0, 6).called_back
    assert rest.source
    assert (rest.name, rest.aside, rest.doubtful) == ("n_o.aside1", run.aside, True)
    assert (rest.source.row, rest.source.place) == (0, 7)
    assert list(after.aside) == ["no"]
