"""Ink told from paper, and pages made flat: published measures, general libraries beside ours, real paper.

    python -m benchmarks.paper [--real]

No set of pages with true masks or true maps ships in a package, so pages are simulated with known truth: open
typefaces, rasterised exactly, seen by a scanner or by a phone. The peers are thresholds of scikit-image
(Otsu's, Sauvola's), and the best plane that there is: a projective map fitted to the truth itself. With
--real, photos of real paper are read too: two that come with scikit-image, and those in Debian's opencv-doc
and in the source of gocr, which are fetched by apt and kept nowhere.
"""

import argparse
import subprocess
import tarfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import skimage
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates
from skimage.filters import threshold_otsu, threshold_sauvola
from skimage.transform import SimilarityTransform, resize

from lettering.capture.ink.ink import find_ink
from lettering.capture.light import linear
from lettering.capture.page import PageImage, Reading
from lettering.capture.paper.curled import bent_sheet
from lettering.capture.paper.curved_edges import curved_edges
from lettering.capture.paper.edges import paper_corners
from lettering.capture.paper.photo import laid_flat
from lettering.capture.paper.unbent import unbending_of, unbent
from lettering.capture.turned import read_any_way_up
from lettering.errors import LetteringError
from lettering.geometry.rect import Rect
from lettering.storage.images import read_page_image
from lettering.units import MM_PER_INCH
from tests.bent_page import Bend, BentPhoto, bent_photo, off_in_best_plane, off_their_places, places
from tests.binarised import binarised
from tests.capture.test_read import PAGE, misplaced
from tests.capture.test_real_paper import ROWS as PRINTED
from tests.capture.test_real_paper import enlarged
from tests.dewarped import AREA_PX, ms_ssim
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface

LETTERED = Lettering(x_height_mm=4.0, spacing=0.06, wander=0.04, jitter=0.02)
SCANS = {
    "even scan": Scan(ppi=300),
    "light falls by a half": Scan(ppi=300, light_fall=0.5),
    "coarse grain": Scan(ppi=300, grain=0.06, grain_size_px=1.2),
    "soft pencil": Scan(ppi=300, ink=(0.35, 0.35, 0.35), grain=0.03),
    "blurred": Scan(ppi=300, blur_px=1.6),
}
BENDS = {
    "tilted": Bend(lean_degrees=16, swing_degrees=-10, turn_degrees=-3, fill=0.9),
    "bent to the spine": Bend(lean_degrees=20, radius=0.6, fill=0.9),
    "bent less, from the side": Bend(lean_degrees=12, swing_degrees=5, radius=0.8, fill=0.9),
    "bent wide": Bend(lean_degrees=-15, radius=1.0, fold=0.6, fill=0.9),
}
TUNED, OTHER = ("patrick-hand", "delius"), ("gochi-hand", "indie-flower")
"""Faces on which the prior of the curl was chosen, and faces that it never saw."""
SHEET_PPI = 250.0
HANDWRITING = "handwrt1.jpg"
DOCUMENTS = (
    "imageTextN.png",
    "imageTextR.png",
    "notes.png",
    "sudoku.png",
    "text_defocus.jpg",
    "text_motion.jpg",
)


def main() -> None:
    """Print the tables."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--real", action="store_true")
    chosen = options.parse_args()
    told_from_paper()
    made_flat()
    curled()
    if chosen.real:
        real_paper()


def told_from_paper() -> None:
    """Print how ink is told from paper by two general thresholds and by ours."""
    print(f"ink told from paper\n{'page':24}{'by':10}      F  pseudo-F    PSNR     DRD")
    ways: dict[str, Callable[[PageImage], NDArray[np.bool_]]] = {
        "Otsu": lambda page: page.pixels < threshold_otsu(page.pixels),
        "Sauvola": lambda page: page.pixels < threshold_sauvola(page.pixels, 51),
        "ours": lambda page: find_ink(page).mask(),
    }
    for name, scan in SCANS.items():
        sim = simulated_page(typeface("patrick-hand"), PAGE[1:7], LETTERED, scan)
        for way, found in ways.items():
            seen = binarised(found(sim.page), sim.coverage >= 0.5)
            print(f"{name:24}{way:10}{seen.f:7.2f}{seen.pseudo_f:10.2f}{seen.psnr:8.2f}{seen.drd:8.2f}")


def made_flat() -> None:
    """Print how far points are from their places, and how alike the flat page is to the true one."""
    print(
        f"\npages without an edge in sight made flat; px of a page of {AREA_PX:,} px; MS-SSIM of 1 is alike"
    )
    print(f"{'page':26}{'face':16}best plane: LD  most   ours: LD  most  MS-SSIM")
    for name, bend in BENDS.items():
        for seed, face in enumerate((*TUNED, *OTHER), 1):
            lettering = replace(LETTERED, x_height_mm=5.0, seed=seed)
            sim = simulated_page(typeface(face), PAGE[1:7], lettering, Scan(ppi=200, grain=0))
            photo = bent_photo(sim, bend, 1600)
            plane, unbending = off_in_best_plane(photo), unbending_of(photo.page)
            row = f"{name:26}{face:16}{plane.mean:14.2f}{plane.most:6.1f}"
            if unbending is None:
                print(f"{row}   left as it is")
                continue
            ours = off_their_places(photo, unbending)
            print(f"{row}{ours.mean:11.2f}{ours.most:6.1f}{_alike(photo, sim):9.3f}")


def curled() -> None:
    """Print what becomes of bent sheets on a desk whose edges are in sight, of known paper."""
    print("\nbent sheets, their edges in sight: made flat from the edges; LD and most as above")
    print(
        f"{'page':26}{'face':16}best plane: LD  ours: LD  most   letters right  set aside  mislabelled   size"
    )
    for name, bend in BENDS.items():
        for seed, face in enumerate((*TUNED, *OTHER), 11):
            lettering = replace(LETTERED, x_height_mm=5.0, seed=seed)
            sim = simulated_page(typeface(face), PAGE[1:7], lettering, Scan(ppi=SHEET_PPI, grain=0))
            photo = bent_photo(sim, replace(bend, fill=0.75, desk=0.15 if seed % 2 else 0.95), 2600)
            row = f"{name:26}{face:16}{off_in_best_plane(photo).mean:14.2f}"
            print(f"{row}{_places_of(photo)}{_letters_of(photo, sim)}")


def _places_of(photo: BentPhoto) -> str:
    light = linear(photo.page.pixels)
    corners = paper_corners(light)
    edges = None if corners is None else curved_edges(light, corners)
    sheet = None if edges is None else bent_sheet(edges, light.shape)
    if sheet is None:
        return "   seen as flat"
    off = off_their_places(photo, sheet.laid_out())
    return f"{off.mean:10.2f}{off.most:6.1f}"


def _letters_of(photo: BentPhoto, sim: SimulatedPage) -> str:
    """Return shares of letters, and how far distances along the rows are from the true ones."""
    short, long = sorted(side / SHEET_PPI * MM_PER_INCH for side in sim.coverage.shape)
    flat = laid_flat(photo.page, (short, long))
    assert flat.ppi
    try:
        read = read_any_way_up(flat, Reading(PAGE[1:7]))
    except LetteringError as refusal:
        return f"   refused: {refusal.message}"
    k = flat.ppi / SHEET_PPI
    letters = tuple(
        replace(a, box=Rect(a.box.x0 * k, a.box.y0 * k, a.box.x1 * k, a.box.y1 * k)) for a in sim.letters
    )
    wrong = len(misplaced(read, replace(sim, letters=letters, x_height_px=sim.x_height_px * k)))
    count = len(sim.letters)
    shares = (100 * n / count for n in (len(read.letters) - wrong, count - len(read.letters), wrong))
    right, aside, mislabelled = shares
    true = {(letter.row, letter.place): letter.box.centre for letter in sim.letters}
    seen = [(a.left + a.coverage.shape[1] / 2, true[a.row, a.place].x) for a in read.letters]
    size = np.polyfit([x for _, x in seen], [x / k for x, _ in seen], 1)[0] - 1
    return f"{right:15.2f}%{aside:10.2f}%{mislabelled:12.2f}%{100 * size:+7.2f}%"


def _alike(photo: BentPhoto, sim: SimulatedPage) -> float:
    """Return MS-SSIM of the lettered part of the flat page and the true one, both without turn and scale."""
    unbending = unbending_of(photo.page)
    assert unbending is not None
    flat = linear(unbent(photo.page).pixels).astype(float)
    x, y = places(sim)
    fit = SimilarityTransform.from_estimate(
        np.stack([x, y], axis=-1), np.stack(unbending.flat(*photo.seen(x, y)), axis=-1)
    )
    step = float(np.sqrt(np.ptp(x) * np.ptp(y) / AREA_PX))
    across, down = np.meshgrid(np.arange(x.min(), x.max(), step), np.arange(y.min(), y.max(), step))
    found = fit(np.stack([across.ravel(), down.ravel()], axis=-1)).reshape(*across.shape, 2)
    shown = map_coordinates(flat, (found[..., 1] - 0.5, found[..., 0] - 0.5), order=1, mode="nearest")
    part = sim.coverage[int(y.min()) : int(y.max()), int(x.min()) : int(x.max())]
    true = 0.8 - 0.77 * resize(part.astype(float), shown.shape, anti_aliasing=True)
    return ms_ssim(true, shown * np.median(true) / np.median(shown))


def real_paper() -> None:
    """Print what becomes of each photo of real paper."""
    print("\nreal paper")
    with TemporaryDirectory() as folder:
        for page, reading in _photos(Path(folder)):
            print(f"{page.name:18}{page.pixels.shape[1]:5} px across: {_said(page, reading)}")


def _said(page: PageImage, reading: tuple[str, ...]) -> str:
    try:
        read = read_any_way_up(laid_flat(page), Reading(reading))
    except LetteringError as refusal:
        return str(refusal).removeprefix(f"{page.name}: ")
    count = sum(len(row.replace(" ", "")) for row in reading)
    return f"{len(read.letters)} of {count} letters taken, {len(read.set_aside)} set aside"


def _photos(folder: Path) -> Iterator[tuple[PageImage, tuple[str, ...]]]:
    """Yield photos of real paper with what they say, as read by eye."""
    shipped = Path(skimage.__file__).parent / "data"
    for name in ("page.png", "text.png"):
        yield read_page_image(shipped / name), PRINTED
    yield replace(enlarged(read_page_image(shipped / "page.png"), 3), name="page.png, tripled"), PRINTED
    try:
        handwriting, documents = _fetched_source(folder), _fetched_documents(folder)
    except (OSError, subprocess.SubprocessError, StopIteration) as error:
        print(f"the rest could not be fetched by apt: {error}")
        return
    said = tuple((handwriting / f"{HANDWRITING}.txt").read_text().split("\n"))
    yield read_page_image(handwriting / HANDWRITING), tuple(row for row in said if row)
    for name in DOCUMENTS:
        yield read_page_image(next(documents.rglob(name))), PRINTED


def _fetched_source(folder: Path) -> Path:
    """Return the examples in the source of gocr, fetched from where the machine's own packages come from."""
    lists = folder / "lists" / "partial"
    lists.mkdir(parents=True)
    sources = folder / "sources.list"
    row = "deb-src $(REPO_URI) $(RELEASE) $(COMPONENT)"
    asked = ["apt-get", "indextargets", "--format", row, "Created-By: Packages"]
    told = subprocess.run(asked, check=True, capture_output=True, text=True).stdout.splitlines()
    sources.write_text("\n".join(dict.fromkeys(told)) + "\n")
    apt = [
        "apt-get", "-qq", "-o", f"Dir::Etc::SourceList={sources}", "-o", "Dir::Etc::SourceParts=-",
        "-o", f"Dir::State::Lists={lists.parent}",
    ]  # fmt: skip
    subprocess.run([*apt, "update"], check=True, capture_output=True)
    # The archive may lack the packaging; the authors' own archive is all that is wanted.
    subprocess.run([*apt, "source", "--download-only", "gocr"], cwd=folder, check=False, capture_output=True)
    with tarfile.open(next(folder.glob("gocr*.orig.tar.gz"))) as archive:
        archive.extractall(folder, filter="data")
    return next(folder.glob("gocr-*/examples"))


def _fetched_documents(folder: Path) -> Path:
    subprocess.run(["apt-get", "-qq", "download", "opencv-doc"], cwd=folder, check=True, capture_output=True)
    package, into = next(folder.glob("opencv-doc*.deb")), folder / "opencv-doc"
    subprocess.run(["dpkg", "-x", str(package), str(into)], check=True)
    return into


if __name__ == "__main__":
    main()
