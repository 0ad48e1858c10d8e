"""The press PDF: its structure by qpdf and pdfinfo, its plates by Ghostscript; spoiled twins fail."""

import io
import subprocess
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from numpy.typing import NDArray
from PIL import Image

from lettering.drawing import Drawing
from lettering.export.condition import Profile, coated_paper
from lettering.export.press import PressArt, press_pdf
from tests.export.drawings import spread
from tests.export.icc import tiny_profile

CONDITION = Profile(data=tiny_profile(), name="Test press")

INKS = (153, 51, 26, 0)
"""Cyan 60, magenta 20, yellow 10, black 0 per cent."""

ART = PressArt(
    columns=2,
    rows=2,
    data=zlib.compress(bytes(INKS) * 4),
    jpeg=False,
    colours=4,
    profile=None,
)


def pdf(drawing: Drawing, *, spot: bool = False) -> bytes:
    """Return a drawing over flat art of three inks."""
    return press_pdf([drawing], CONDITION, title='"A" & B', art=[ART], spot=spot)


def without_lettering() -> Drawing:
    """Return the spread with its bubbles alone."""
    return replace(spread(), layers=spread().layers[:1])


def plates(data: bytes, folder: Path) -> dict[str, NDArray[np.int64]]:
    """Return the ink on each plate, 0 to 255, as Ghostscript separates the file at 50 ppi."""
    folder.mkdir()
    (folder / "in.pdf").write_bytes(data)
    command = ["gs", "-q", "-dSAFER", "-dNOPAUSE", "-dBATCH", "-r50", "-sDEVICE=tiffsep"]
    subprocess.run([*command, "-sOutputFile=p%d.tif", "in.pdf"], cwd=folder, check=True, capture_output=True)
    return {
        path.name.split("(")[1].split(")")[0]: 255
        - np.asarray(Image.open(path).convert("L")).astype(np.int64)
        for path in folder.glob("p1(*.tif")
    }


@pytest.fixture(scope="module")
def separated(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, NDArray[np.int64]]]:
    """Plates with lettering and without, in bubbles and on the art, and of a twin whose black knocks out."""
    folder = tmp_path_factory.mktemp("plates")
    bare, art = (replace(spread(), layers=layers) for layers in (spread().layers[1:], ()))
    files = {"with": pdf(spread()), "without": pdf(without_lettering()), "bare": pdf(bare), "art": pdf(art)}
    files["twin"] = spoiled(files["bare"], b"0 0 0 1 k", b"0 g")
    return {name: plates(data, folder / name) for name, data in files.items()}


def spoiled(data: bytes, before: bytes, after: bytes) -> bytes:
    """Return the file with its page's operators changed."""
    with pikepdf.open(io.BytesIO(data)) as changed:
        content = changed.pages[0].Contents.read_bytes()
        assert before in content
        changed.pages[0].Contents = changed.make_stream(content.replace(before, after))
        file = io.BytesIO()
        changed.save(file)
    return file.getvalue()


def test_lettering_is_on_the_black_plate_alone(separated: dict[str, dict[str, NDArray[np.int64]]]) -> None:
    """Ghostscript's plates of cyan, magenta and yellow are equal with and without lettering; black is not."""
    for with_, without in (("with", "without"), ("bare", "art")):
        lettered, plain = separated[with_], separated[without]

        for ink in ("Cyan", "Magenta", "Yellow"):
            assert np.array_equal(lettered[ink], plain[ink])
        assert (lettered["Black"] >= plain["Black"]).all()
        assert (lettered["Black"] - plain["Black"]).max() == 255


def test_black_that_knocks_out_is_seen(separated: dict[str, dict[str, NDArray[np.int64]]]) -> None:
    """The same letters in the grey of a screen take the art off the other plates, and it shows."""
    assert not np.array_equal(separated["twin"]["Cyan"], separated["art"]["Cyan"])


def test_bubbles_knock_the_art_out(separated: dict[str, dict[str, NDArray[np.int64]]]) -> None:
    """Art lies on three plates at its strength, and inside a bubble there is none of it."""
    cyan = separated["without"]["Cyan"]

    assert cyan[-5, -5] == pytest.approx(INKS[0], abs=2)
    assert cyan[round((40 + 3) / 25.4 * 50), round((45 + 3) / 25.4 * 50)] == 0


def test_poppler_sees_the_same_overprint(tmp_path: Path) -> None:
    """Pdftoppm, told to simulate overprint, has the art's cyan under a letter as beside the bubble."""
    bare = replace(spread(), layers=spread().layers[1:])
    for name, data in (("good", pdf(bare)), ("twin", spoiled(pdf(bare), b"0 0 0 1 k", b"0 g"))):
        (tmp_path / f"{name}.pdf").write_bytes(data)
        command = ["pdftoppm", "-overprint", "-jpegcmyk", "-r", "50", f"{name}.pdf", name]
        subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)

    def cyan(name: str) -> NDArray[np.int64]:
        (path,) = tmp_path.glob(f"{name}-*.jpg")
        values = np.asarray(Image.open(path))[:, :, 0].astype(np.int64)
        return values if values[-5, -5] < 200 else 255 - values

    assert np.ptp(cyan("good")) < np.ptp(cyan("twin"))


def test_a_plate_of_its_own_can_be_had(tmp_path: Path) -> None:
    """On request the letters are on a fifth plate, and the black plate has none of them."""
    found = plates(pdf(spread(), spot=True), tmp_path / "spot")

    assert found["Lettering"].max() == 255
    assert np.array_equal(found["Black"], plates(pdf(without_lettering()), tmp_path / "bare")["Black"])


def test_qpdf_and_pdfinfo_find_what_the_standard_wants(tmp_path: Path) -> None:
    """Qpdf passes the file; pdfinfo reads PDF/X-4, version 1.6 and nested boxes of 246, 246 and 240 mm."""
    path = tmp_path / "press.pdf"
    path.write_bytes(pdf(spread()))
    told = subprocess.run(["pdfinfo", "-box", path], capture_output=True, text=True, check=True).stdout
    boxes = {row.split(":")[0]: row.split(":")[1].split() for row in told.splitlines() if "Box:" in row}
    widths = {name: float(v[2]) - float(v[0]) for name, v in boxes.items()}

    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0
    assert "PDF/X-4" in told
    assert widths["MediaBox"] == widths["BleedBox"] == pytest.approx(246 / 25.4 * 72, abs=0.01)
    assert widths["TrimBox"] == pytest.approx(240 / 25.4 * 72, abs=0.01)
    path.write_bytes(path.read_bytes()[:-600])
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode != 0


def faults(data: bytes) -> set[str]:
    """Return what a press would stumble over: RGB, type, a black without overprint, no intent, no boxes."""
    found = set()
    with pikepdf.open(io.BytesIO(data)) as file:
        intents = file.Root.get("/OutputIntents", [])
        if len(intents) != 1 or intents[0].S != "/GTS_PDFX" or "/DestOutputProfile" not in intents[0]:
            found.add("intent")
        if "GTS_PDFXVersion>PDF/X-4<" not in file.Root.Metadata.read_bytes().decode():
            found.add("xmp")
        for page in file.pages:
            operators = [str(one.operator) for one in pikepdf.parse_content_stream(page)]
            if {"rg", "RG", "g", "G"} & set(operators):
                found.add("colour")
            if {"Tj", "TJ", "BT"} & set(operators) or "/Font" in page.Resources:
                found.add("type")
            states = page.Resources.ExtGState
            if states.Over.OPM != 1 or not states.Over.op or not states.Over.OP:
                found.add("overprint")
            pictures = page.Resources.get("/XObject", {}).values()
            if any(picture.ColorSpace == "/DeviceRGB" for picture in pictures):
                found.add("picture")
    return found


def test_a_preflight_of_our_own_finds_no_fault_and_every_planted_one() -> None:
    """Operators, states, pictures, intent and XMP are walked; each spoiled twin is told by name."""
    good = pdf(spread())
    rgb = press_pdf(
        [spread()], CONDITION, title="x", art=[replace(ART, colours=3, data=zlib.compress(bytes(12)))]
    )

    assert faults(good) == set()
    assert faults(rgb) == {"picture"}
    assert faults(spoiled(good, b"0 0 0 1 k", b"0 0 0 rg")) == {"colour"}
    assert faults(spoiled(good, b"EMC", b"BT ET EMC")) == {"type"}
    with pikepdf.open(io.BytesIO(good)) as file:
        del file.Root.OutputIntents
        file.pages[0].Resources.ExtGState.Over.OPM = 0
        changed = io.BytesIO()
        file.save(changed)
    assert faults(changed.getvalue()) == {"intent", "overprint"}


def test_layers_are_optional_content() -> None:
    """Art, bubbles and lettering can each be shown or hidden, and all are shown."""
    with pikepdf.open(io.BytesIO(pdf(spread()))) as file:
        listed = file.Root.OCProperties
        names = [str(group.Name) for group in listed.OCGs]

        assert names == ["Art", "Bubbles", "Lettering"]
        assert len(listed.D.Order) == len(listed.D.ON) == 3
        assert "/AS" not in listed.D


def test_a_condition_is_named_as_the_registry_has_it() -> None:
    """A registered condition stands under its name with the registry's address, any other as 'Custom'."""
    for condition, name in ((coated_paper(), "FOGRA39"), (CONDITION, "Custom")):
        data = press_pdf([spread()], condition, title="x")
        with pikepdf.open(io.BytesIO(data)) as file:
            (intent,) = file.Root.OutputIntents

            assert str(intent.OutputConditionIdentifier) == name
            assert ("/RegistryName" in intent) == (name != "Custom")


def test_the_same_drawing_gives_the_same_bytes() -> None:
    """No clock and no chance is in the file."""
    assert pdf(spread()) == pdf(spread())
