"""The hand-off on disk."""

import csv
import hashlib
import json
import re
import subprocess
from pathlib import Path

import numpy as np
import pikepdf
import pytest
import shapely
from PIL import Image

from lettering.cli.main import main
from lettering.errors import LetteringError, OutputError
from lettering.setting.words import shown
from lettering.steps.export import Wishes, export_book
from lettering.steps.formats import FORMATS
from lettering.steps.layout import layout
from lettering.steps.place import book_as_placed, place_book
from tests.export.icc import tiny_profile
from tests.steps.books import book_on_disk


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small book, placed."""
    path = book_on_disk(tmp_path_factory.mktemp("book"))
    place_book(path)
    return path


def files(path: Path) -> dict[str, bytes]:
    """Return every file below a folder."""
    return {str(p.relative_to(path)): p.read_bytes() for p in sorted(path.rglob("*")) if p.is_file()}


def test_each_format_has_its_folder_and_each_spread_its_file(book: Path, tmp_path: Path) -> None:
    """The files are named after their pages, and the list of what was written is complete."""
    result = export_book(book, tmp_path, ["svg", "otf"])

    assert sorted(files(tmp_path)) == ["manifest.json", "otf/patrick-hand.otf", "svg/pages-04-05.svg"]
    assert sorted(result.written) == sorted(tmp_path / name for name in files(tmp_path))


def test_the_same_book_gives_the_same_bytes(book: Path, tmp_path: Path) -> None:
    """Exporting twice writes equal files."""
    export_book(book, tmp_path / "one", ["svg", "otf"])
    export_book(book, tmp_path / "two", ["svg", "otf"])

    assert files(tmp_path / "one") == files(tmp_path / "two")


def test_lettering_lies_inside_its_bubble(book: Path) -> None:
    """Every letter's ink lies within the body of its line, judged by shapely."""
    for line in layout(book_as_placed(book))["spreads"][0]["lines"]:
        body = shapely.Polygon(line["body"])

        assert all(body.contains(shapely.box(*box)) for box in line["ink"]), line["says"]


def test_png_layers_carry_their_resolution(book: Path, tmp_path: Path) -> None:
    """PNG layers have a clear ground and say 300 and 600 px an inch; pngcheck finds nothing wrong."""
    export_book(book, tmp_path, ["png"])
    for ppi in (300, 600):
        path = tmp_path / "png" / f"pages-04-05-{ppi}ppi.png"
        checked = subprocess.run(["pngcheck", path], capture_output=True, text=True, check=False)
        with Image.open(path) as image:
            assert image.mode == "RGBA"
            assert image.info["dpi"] == pytest.approx((ppi, ppi), rel=1e-4)
            assert image.width == pytest.approx(506 / 25.4 * ppi, abs=1)
        assert checked.returncode == 0, checked.stdout


def test_an_unknown_format_is_refused_with_the_nearest(book: Path, tmp_path: Path) -> None:
    """A slip in the name of a format is answered with the name that was meant, and nothing is written."""
    with pytest.raises(LetteringError, match="Did you mean 'svg'"):
        export_book(book, tmp_path, ["svgg"])
    assert files(tmp_path) == {}


def test_a_folder_with_other_files_is_not_replaced(book: Path, tmp_path: Path) -> None:
    """A folder that holds somebody's other files is left alone."""
    (tmp_path / "svg").mkdir()
    (tmp_path / "svg" / "notes.txt").write_text("mine")

    with pytest.raises(OutputError, match="other files"):
        export_book(book, tmp_path, ["svg"])
    assert files(tmp_path) == {"svg/notes.txt": b"mine"}


def test_a_path_that_cannot_be_written_leaves_nothing(book: Path, tmp_path: Path) -> None:
    """Where a folder cannot be made the error names it."""
    (tmp_path / "out").write_text("a file")

    with pytest.raises(OutputError, match="out"):
        export_book(book, tmp_path / "out", ["svg"])


def test_an_interrupted_export_keeps_the_former_files(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the run is interrupted in the middle the former hand-off stands whole."""
    export_book(book, tmp_path, ["svg"])
    before = files(tmp_path)

    def interrupted(*_: object) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("lettering.steps.formats.svg", interrupted)
    with pytest.raises(KeyboardInterrupt):
        export_book(book, tmp_path, ["svg"])

    assert files(tmp_path) == before


def test_all_formats_are_written_with_a_manifest_of_them(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The whole hand-off is written; every file stands in the manifest with its size and SHA-256."""
    monkeypatch.setattr("lettering.steps.formats.PPI", (60,))
    monkeypatch.setattr("lettering.steps.formats.LINE_PPI", 150)
    icc = tmp_path / "press.icc"
    icc.write_bytes(tiny_profile())
    out = tmp_path / "out"
    export_book(book, out, ["all"], wishes=Wishes(profile=icc))
    manifest = json.loads((out / "manifest.json").read_text("utf-8"))
    listed = {one["path"]: (one["bytes"], one["sha256"]) for one in manifest["files"]}
    there = {name: (len(data), hashlib.sha256(data).hexdigest()) for name, data in files(out).items()}
    del there["manifest.json"]

    assert listed == there
    assert {name.split("/")[0] for name in there} == set(FORMATS)
    assert manifest["settings"]["profile"] == "Test press"
    assert "not certified" in manifest["pdf_standard"]
    check_tiff(out / "tiff" / "pages-04-05-150ppi.tiff", 150)
    check_words(out / "text")


def check_tiff(path: Path, ppi: int) -> None:
    """Let tiffinfo say what the line art is: one bit, CCITT Group 4, its resolution; a cut twin fails."""
    told = subprocess.run(["tiffinfo", path], capture_output=True, text=True, check=True).stdout

    assert "Compression Scheme: CCITT Group 4" in told
    assert f"Resolution: {ppi}, {ppi} pixels/inch" in told
    with Image.open(path) as image:
        ink = 1 - np.asarray(image.convert("L")) / 255
    assert ink.shape == (round(256 / 25.4 * ppi), round(506 / 25.4 * ppi))
    assert 0.0005 < ink.mean() < 0.05
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    cut = subprocess.run(["tiffinfo", "-D", path], capture_output=True, text=True, check=False)
    assert cut.stderr or cut.returncode


def check_words(folder: Path) -> None:
    """Let the csv module read the table, and find every line in both."""
    with (folder / "words.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))

    assert [row["speaker"] for row in rows] == ["Wren", "Toad", "Wren", "Caption"]
    assert rows[1]["words"] == "Not me!"
    assert "Wren: Who left a cello in the compost?" in (folder / "words.txt").read_text("utf-8")


def test_a_press_pdf_without_a_profile_is_for_coated_paper(book: Path, tmp_path: Path) -> None:
    """When the printer named no condition, the file and the manifest name the one that was taken."""
    export_book(book, tmp_path, ["pdf"])
    with pikepdf.open(tmp_path / "pdf" / "book.pdf") as file:
        (intent,) = file.Root.OutputIntents

        assert str(intent.OutputConditionIdentifier) == "FOGRA39"
    manifest = json.loads((tmp_path / "manifest.json").read_text("utf-8"))
    assert manifest["settings"]["profile"] == "FOGRA39L Coated"


def test_a_manifest_goes_on_listing_what_an_earlier_export_left(book: Path, tmp_path: Path) -> None:
    """Formats written before stay listed and are marked; what was taken away meanwhile is not."""
    export_book(book, tmp_path, ["svg", "text"])
    (tmp_path / "text" / "words.csv").unlink()
    export_book(book, tmp_path, ["otf"])
    listed = json.loads((tmp_path / "manifest.json").read_text("utf-8"))["files"]

    assert {entry["path"]: entry.get("earlier", False) for entry in listed} == {
        "otf/patrick-hand.otf": False,
        "svg/pages-04-05.svg": True,
        "text/words.txt": True,
    }


@pytest.mark.parametrize("text", ["", "[1]", "{", '{"files": [{"path": 3}]}', '{"files": 1}'])
def test_a_strange_manifest_is_replaced(text: str, book: Path, tmp_path: Path) -> None:
    """Whatever stands in a file of that name, the export is done and lists its own files."""
    (tmp_path / "manifest.json").write_text(text)
    export_book(book, tmp_path, ["text"])

    assert len(json.loads((tmp_path / "manifest.json").read_text("utf-8"))["files"]) == 2


def test_titles_carry_the_words(book: Path, tmp_path: Path) -> None:
    """Each lettering group of the SVG is titled with the words of its line."""
    export_book(book, tmp_path, ["svg"])
    text = (tmp_path / "svg" / "pages-04-05.svg").read_text("utf-8")

    for line in layout(book_as_placed(book))["spreads"][0]["lines"]:
        assert f"<title>{shown(line['says'])}</title>" in text


def test_the_documents_tell_of_every_format() -> None:
    """Each format has its row in docs/hand-off.md, and no row is of a format that there is not."""
    text = (Path(__file__).parents[2] / "docs" / "hand-off.md").read_text("utf-8")

    assert set(re.findall(r"^\| `(\w+)` \|", text, re.MULTILINE)) == set(FORMATS)


def test_formats_may_be_parted_by_spaces_too(book: Path, tmp_path: Path) -> None:
    """A space after a comma is no part of a format's name."""
    assert main(["export", str(book), "--out", str(tmp_path / "off"), "--formats", "svg, text"]) == 0

    assert {path.name for path in (tmp_path / "off").iterdir()} == {"svg", "text", "manifest.json"}
