"""The hand-off on disk."""

import subprocess
from pathlib import Path

import pytest
import shapely
from PIL import Image

from lettering.errors import LetteringError, OutputError
from lettering.setting.words import shown
from lettering.steps.export import export_book
from lettering.steps.layout import layout
from lettering.steps.place import book_as_placed, place_book
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

    assert sorted(files(tmp_path)) == ["otf/patrick-hand.otf", "svg/pages-04-05.svg"]
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

    monkeypatch.setattr("lettering.steps.export.svg", interrupted)
    with pytest.raises(KeyboardInterrupt):
        export_book(book, tmp_path, ["svg"])

    assert files(tmp_path) == before


def test_titles_carry_the_words(book: Path, tmp_path: Path) -> None:
    """Each lettering group of the SVG is titled with the words of its line."""
    export_book(book, tmp_path, ["svg"])
    text = (tmp_path / "svg" / "pages-04-05.svg").read_text("utf-8")

    for line in layout(book_as_placed(book))["spreads"][0]["lines"]:
        assert f"<title>{shown(line['says'])}</title>" in text
