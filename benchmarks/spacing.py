"""How well spacing is learnt from words: mean absolute error of the ink gaps of unseen words, % of the em.

Run from the project's folder: python -m benchmarks.spacing
Words are set in open typefaces with the designers' advances and kerning (HarfBuzz) and a tremor of 3 font
units at an x-height of 500; the gaps of other words are compared with the designers'. Beside ours: the white
areas alone, the sides alone, one gap for all. Goals: 1.3 / 1.1 / 0.9 / 0.75 for 10 / 20 / 40 / 80 words, and
never worse than the areas or the sides alone. Constants were chosen on other typefaces (see `hand.sides`).
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from statistics import mean, median
from tempfile import TemporaryDirectory
from time import process_time

import numpy as np

from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from lettering.hand.profile import Profile, profile
from lettering.hand.sides import Evidence, Shapes
from lettering.hand.spacing import white
from lettering.hand.take import Drawn
from lettering.storage.ufo import read_hand, write_hand
from tests.hand.drawn_rows import X_HEIGHT, drawn_rows, scale
from tests.typeface_hand import typeface_hand

FACES = ("patrick-hand", "schoolbell", "gochi-hand", "delius", "indie-flower", "andika")
COUNTS = (10, 20, 40, 80)
LEARNT = (
    "the old toad sat under a leaf and waited for the rain to stop because his cello was still out in the "
    "compost wren hopped along the wall with a worm in her beak and would not say where she had found it "
    "nobody answered so they all went home for tea and jam the moon came up over the garden like a quiet "
    "yellow button while the beetle tuned every string again just before bedtime mole dug six more tunnels"
)
UNSEEN = (
    "once upon morning grey soft little hedgehog woke hungry looked around behind could find nothing left "
    "except crumbs put boots walked past pond where frogs singing knocked badgers door opened yawning please "
    "borrow egg some flour butter sugar perhaps also your oven"
)
ALPHABET = "abcdefghijklmnopqrstuvwxyz"

FREE = 35.0
"""How far a side that knows nothing of shapes may lie from the others, font units (sd)."""
Gap = Callable[[str, str], float]


def main() -> None:
    """Print the table."""
    print(f"{'':14}" + "".join(f"{count:>28} words" for count in COUNTS))
    print(f"{'':14}" + "   ours  prior  sides  const  " * len(COUNTS))
    table = []
    for face in FACES:
        table.append([error for count in COUNTS for error in errors(face, count)])
        print(f"{face:14}" + "".join(f"{error:7.2f}" for error in table[-1]), flush=True)
    print(f"{'mean':14}" + "".join(f"{mean(column):7.2f}" for column in zip(*table, strict=True)))
    speed()


def speed() -> None:
    """Print how long letters take to become a spaced hand on disk, tracing aside; processor seconds."""
    rows = [" ".join(LEARNT.split()[start : start + 7]) for start in range(0, 42, 7)]

    def page(number: int) -> list[Drawn]:
        # Each page is a word longer at the front, so that no two pages are taken for one, scanned twice.
        return drawn_rows("delius", ["o" * number + " " + row for row in rows], page=f"{number}", seed=number)

    with TemporaryDirectory() as folder:
        path = Path(folder) / "hers.ufo"
        began = process_time()
        write_hand(gathering(page(1)[:150], name="hers", mm_per_unit=None).hand, path)
        print(f"150 letters into a spaced hand: {process_time() - began:.2f} s (goal 3)")
        many = [letter for number in range(2, 13) for letter in page(number)]
        write_hand(gathering(many, name="hers", mm_per_unit=None).hand, path)
        began = process_time()
        former = read_hand(path)
        count = sum(map(len, former.takes.values()))
        write_hand(gathering(page(14), name="hers", mm_per_unit=None, previous=former).hand, path)
        print(f"a page added to a hand of {count} takes: {process_time() - began:.2f} s (goal 2)")


def errors(face: str, count: int) -> Iterator[float]:
    """Yield the error of ours, prior only, sides only and one gap for all, after `count` words."""
    drawn = drawn_rows(face, [" ".join(LEARNT.split()[:count])])
    # Letters that the words lack stand alone, each in a row of its own, as on a page with an alphabet.
    alphabet = [replace(d, row=1 + i, place=0) for i, d in enumerate(drawn_rows(face, [ALPHABET], page="a"))]
    hand = gathering([*drawn, *alphabet], name=face, mm_per_unit=None).hand
    true = _gaps_of(typeface_hand(face), scale(face))
    seen: dict[tuple[str, str], list[float]] = {}
    boxes = [(letter, letter.outline.bounds) for letter in drawn]
    for (a, box_a), (b, box_b) in pairwise(boxes):
        if b.place == a.place + 1:
            seen.setdefault((a.char, b.char), []).append(box_b.x0 - box_a.x1)
    shapes = {char: profile(hand.takes[char][0].outline) for char in ALPHABET}
    for gap in (_gaps_of(hand, 1.0), _prior(seen, shapes), _sides(seen, shapes), _constant(seen)):
        off = [abs(gap(a, b) - true(a, b)) for word in UNSEEN.split() for a, b in pairwise(word)]
        yield mean(off) / scale(face) / 10


def _gaps_of(hand: Hand, factor: float) -> Gap:
    room = {}
    for char in ALPHABET:
        take = hand.takes[char][0]
        room[char] = (take.outline.bounds.x0, take.advance - take.outline.bounds.x1)
    return lambda a, b: (room[a][1] + room[b][0] + hand.kerning.get((a, b), 0.0)) * factor


def _prior(seen: dict[tuple[str, str], list[float]], shapes: dict[str, Profile]) -> Gap:
    area = {c: (white(p.left, X_HEIGHT), white(p.right, X_HEIGHT)) for c, p in shapes.items()}
    middle = median(gap + area[a][1] + area[b][0] for (a, b), gaps in seen.items() for gap in gaps)
    return lambda a, b: middle - area[a][1] - area[b][0]


def _sides(seen: dict[tuple[str, str], list[float]], shapes: dict[str, Profile]) -> Gap:
    """Return gaps by sides that know nothing of shapes: every side looks unlike every other."""
    sides = _Unlike(shapes).fit([Evidence(a, b, gap) for (a, b), gaps in seen.items() for gap in gaps])
    return sides.room


def _constant(seen: dict[tuple[str, str], list[float]]) -> Gap:
    middle = median(gap for gaps in seen.values() for gap in gaps)
    return lambda a, b: middle


class _Unlike(Shapes):
    """Sides of which each stands for itself."""

    def __init__(self, shapes: dict[str, Profile]) -> None:
        super().__init__(shapes)
        self._root = np.eye(2 * len(self.chars)) * FREE


if __name__ == "__main__":
    main()
