"""How well lettered pages are read: flat scans, phone photos and touching letters, with known truth.

    python -m benchmarks.capture [--all] [--typefaces DIR]

Pages are rendered from open typefaces; the simulator's own record says where each letter is. A letter is
right when the ink taken for it reaches no farther than 0.2 x-heights past its glyph's own bounds on any side,
and mislabelled otherwise. Expected shapes (capture/letters/letter_shapes.json) were measured on other faces.
By default three typefaces are read; --all reads every face found, in tests/typefaces or in DIR.
"""

import argparse
import time
from collections.abc import Callable, Set
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.photo import laid_flat
from lettering.capture.paper.unbent import unbending_of
from lettering.capture.read import read_page
from lettering.capture.turned import read_any_way_up
from lettering.errors import LetteringError
from lettering.geometry.rect import Rect
from lettering.storage.images import png_bytes
from lettering.storage.scans import read_scan
from tests.bent_page import Bend, bent_photo, flat_truth
from tests.capture.test_read import PAGE, misplaced
from tests.simulated_page import (
    TYPEFACES,
    Lettering,
    Scan,
    SimulatedPage,
    covers,
    simulated_page,
    touching,
)
from tests.simulated_photo import Phone, photographed

FEW = ("gochi-hand", "indie-flower", "schoolbell")
APART = Lettering(x_height_mm=4.0, spacing=0.06, wander=0.04, jitter=0.02)
UNSTEADY = replace(APART, unsteady=0.03)
MANY = 0.25
"""Share of letters that touch on the page of touching letters: it is set closer until so many do."""
PHOTO_ROWS = PAGE[2:6]
TILTED = Bend(lean_degrees=16, swing_degrees=-10, turn_degrees=-3, fill=0.9)
CURLED = Bend(lean_degrees=20, radius=0.6, fill=0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """What became of the letters of a page."""

    letters: int
    right: int
    aside: int
    wrong: int
    seconds: float
    refused: str = ""


def main() -> None:
    """Print the tables."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--all", action="store_true")
    options.add_argument("--typefaces", type=Path, default=TYPEFACES)
    chosen = options.parse_args()
    faces = sorted(path for path in chosen.typefaces.iterdir() if path.is_dir())
    if not chosen.all:
        faces = [face for face in faces if face.name in FEW] or faces[:3]
    report("flat scans, 300 ppi, lettered apart", faces, lambda face: flat(face, APART))
    report("flat scans, a quarter of the letters touch, no two alike: the touching ones", faces, crowded)
    report("phone photos: tilt, hard shadow, warm lamp, JPEG 85, sharpening", faces, photo)
    report("photos without an edge of the page in sight, tilted", faces, lambda face: edgeless(face, TILTED))
    report("the same, the page bent toward the spine", faces, lambda face: edgeless(face, CURLED))
    large()


def report(title: str, faces: list[Path], measure: Callable[[Path], Score]) -> None:
    """Print one table and its total."""
    print(f"\n{title}\n{'typeface':18}letters   right  set aside  mislabelled   CPU s")
    scores = []
    for face in faces:
        score = measure(_font(face))
        scores.append(score)
        print(_row(face.name, score))
    sums = [sum(getattr(s, field) for s in scores) for field in ("letters", "right", "aside", "wrong")]
    letters, right, aside, wrong = sums
    seconds = sum(s.seconds for s in scores)
    print(_row("all", Score(letters=letters, right=right, aside=aside, wrong=wrong, seconds=seconds)))


def _row(name: str, score: Score) -> str:
    if score.refused:
        return f"{name:18}{score.letters:7}  refused: {score.refused}"
    shares = [100 * count / score.letters for count in (score.right, score.aside, score.wrong)]
    return (
        f"{name:18}{score.letters:7}{shares[0]:7.2f}%{shares[1]:10.2f}%{shares[2]:12.2f}%{score.seconds:8.1f}"
    )


def _font(folder: Path) -> Path:
    return sorted(folder.glob("*.ttf"), key=lambda path: (-covers(path, "a"), path.name))[0]


def _rows(font: Path, rows: tuple[str, ...]) -> tuple[str, ...]:
    kept = ("".join(char for char in row if char == " " or covers(font, char)) for row in rows)
    return tuple(" ".join(row.split()) for row in kept)


def flat(font: Path, lettering: Lettering) -> Score:
    """Return how a flat scan is read."""
    rows = _rows(font, PAGE)
    sim = simulated_page(font, rows, lettering, Scan(ppi=300))
    return scored(sim.page, sim, rows)


def crowded(font: Path) -> Score:
    """Return how the letters are read that run together; mislabelled are those of the whole page."""
    rows = _rows(font, PAGE)
    for closer in range(40):
        sim = simulated_page(font, rows, replace(UNSTEADY, spacing=-0.02 * closer), Scan(ppi=300))
        together = {(letter.row, letter.place) for letter in touching(font, sim)}
        if len(together) >= MANY * len(sim.letters):
            break
    return scored(sim.page, sim, rows, together)


def photo(font: Path) -> Score:
    """Return how a photo of a page is read."""
    rows = _rows(font, PHOTO_ROWS)
    sim = simulated_page(font, rows, replace(APART, x_height_mm=5.0), Scan(ppi=250, grain=0))
    height, width = sim.coverage.shape
    phone = Phone(width_px=2800, height_px=1600, fill=min(0.8, 0.8 * 2800 / 1600 * height / width))
    taken = photographed(sim, phone=phone)
    page = laid_flat(taken.page, (min(taken.size_mm), max(taken.size_mm)))
    assert sim.page.ppi
    assert page.ppi, "the whole page is in the picture, so its edges are found"
    scale = page.ppi / sim.page.ppi
    letters = tuple(replace(a, box=_scaled(a.box, scale)) for a in sim.letters)
    return scored(page, replace(sim, letters=letters, x_height_px=sim.x_height_px * scale), rows)


def edgeless(font: Path, bend: Bend) -> Score:
    """Return how a photo is read whose page, flat or bent, fills the picture."""
    rows = _rows(font, PAGE[1:7])
    sim = simulated_page(font, rows, replace(APART, x_height_mm=5.0), Scan(ppi=250, grain=0))
    taken = bent_photo(sim, bend)
    unbending = unbending_of(taken.page)
    if unbending is None:
        count = len(sim.letters)
        return Score(letters=count, right=0, aside=count, wrong=0, seconds=0.0, refused="not made flat")
    feet = np.array([[letter.box.x0, letter.baseline] for letter in sim.letters]).T
    height = float(np.ptp(unbending.flat(*taken.seen(*feet))[1]))
    x_height_px = height / ((len(rows) - 1) * APART.row_pitch)
    return scored(laid_flat(taken.page), flat_truth(taken, unbending, x_height_px), rows)


def _scaled(box: Rect, scale: float) -> Rect:
    return Rect(box.x0 * scale, box.y0 * scale, box.x1 * scale, box.y1 * scale)


def large() -> None:
    """Print how much memory and time a colour scan of A4 at 600 ppi takes, in a process of its own."""
    face = _font(TYPEFACES / "patrick-hand")
    rows = _rows(face, PAGE)
    scan = Scan(ppi=600, grain=0.01, paper=(0.83, 0.82, 0.8))
    sim = simulated_page(face, rows, replace(APART, x_height_mm=4.5), scan)
    sheet = np.full((7016, 4960, 3), 235, dtype=np.uint8)
    height, width = (min(pair) for pair in zip(sim.coverage.shape, sheet.shape[:2], strict=True))
    sheet[:height, :width] = sim.page.pixels[:height, :width]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "a4.png"
        path.write_bytes(png_bytes(sheet))
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as workers:
            letters, megabytes, seconds = workers.submit(read_alone, path, rows).result()
    print(
        f"\nA4 in colour, 600 ppi: {letters} letters, peak {megabytes:.0f} MB (goal 1200), "
        f"{seconds:.1f} s of CPU"
    )


def read_alone(path: Path, rows: tuple[str, ...]) -> tuple[int, float, float]:
    """Return how many letters are read, the process's peak memory in MB, and its CPU seconds."""
    page = read_page(replace(read_scan(path), ppi=600.0), Reading(rows))
    return len(page.letters), peak_megabytes(), time.process_time()


def peak_megabytes() -> float:
    """Return the most memory that this process ever held.

    Linux's own count of it (proc(5), VmHWM): that of getrusage(2) begins with what the process that started
    this one held, which here is a benchmark full of pages.
    """
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return float(status.split("VmHWM:")[1].split()[0]) / 1024


def scored(
    page: PageImage, sim: SimulatedPage, rows: tuple[str, ...], asked: Set[tuple[int, int]] = frozenset()
) -> Score:
    """Read a page and hold what was read against what is on it; of the letters `asked` for, else of all."""
    asked = asked or {(letter.row, letter.place) for letter in sim.letters}
    began = time.process_time()
    try:
        read = read_any_way_up(page, Reading(rows))
    except LetteringError as error:
        return Score(
            letters=len(asked), right=0, aside=len(asked), wrong=0,
            seconds=time.process_time() - began, refused=error.message,
        )  # fmt: skip
    wrong = {(letter.row, letter.place) for letter in misplaced(read, sim)}
    taken = {(letter.row, letter.place) for letter in read.letters} & asked
    return Score(
        letters=len(asked),
        right=len(taken - wrong),
        aside=len(asked) - len(taken),
        wrong=len(wrong),
        seconds=time.process_time() - began,
    )


if __name__ == "__main__":
    main()
