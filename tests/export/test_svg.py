"""The SVG of a drawing is the format that was promised, valid, and shows what the drawing holds."""

import difflib
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path as File
from urllib.parse import unquote
from xml.etree import ElementTree as ET

import cairosvg
import numpy as np
import pytest
import resvg_py
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from lettering.drawing import Drawing, Picture
from lettering.export.svg import number, path_data, svg
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect
from lettering.units import MM_PER_INCH
from tests.export.drawings import letters, spread

GOLDEN = File(__file__).parents[1] / "golden"
SVG = "{http://www.w3.org/2000/svg}"
XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"
DTD = File("/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd")
PIXELS_PER_MM = 3


def root() -> ET.Element:
    """Return the parsed SVG of the shared spread."""
    return ET.fromstring(svg(spread()))


def read_path(data: str) -> Path:
    """Return the path that data of M, L, C and Z describes; shares no code with the writer."""
    contours = []
    for subpath in filter(None, data.split("Z")):
        steps = [
            (letter, np.array(list(map(float, numbers.split()))).reshape(-1, 2))
            for letter, numbers in re.findall(r"([MLC])([^MLC]*)", subpath)
        ]
        at = start = steps[0][1][0]
        knots = []
        for letter, points in steps[1:]:
            ends = (
                points
                if letter == "C"
                else np.stack([at + (points[0] - at) / 3, points[0] - (points[0] - at) / 3, points[0]])
            )
            knots.append(np.stack([at, ends[0], ends[1]]))
            at = ends[2]
        if not np.array_equal(at, start):
            knots.append(np.stack([at, at + (start - at) / 3, start - (start - at) / 3]))
        contours.append(Contour(np.stack(knots)))
    return Path(tuple(contours))


def farthest(a: Path, b: Path) -> float:
    """Return the greatest difference between the knots of two paths, mm."""
    return max(
        float(np.abs(one.knots - other.knots).max())
        for one, other in zip(a.contours, b.contours, strict=True)
    )


def test_the_svg_is_the_golden_one() -> None:
    """The text is that of tests/golden/spread.out.svg; LETTERING_WRITE_GOLDEN=1 writes it anew."""
    golden, made = GOLDEN / "spread.out.svg", svg(spread())
    if os.environ.get("LETTERING_WRITE_GOLDEN"):
        golden.write_text(made, encoding="utf-8")
    expected = golden.read_text(encoding="utf-8")

    assert made == expected, "\n".join(difflib.unified_diff(expected.splitlines(), made.splitlines()))


def test_the_page_is_measured_in_millimetres_from_the_trimmed_corner() -> None:
    """Width and height hold the bleed; 0,0 is the trimmed top left corner, so the bleed is negative."""
    svg_root = root()

    assert (svg_root.get("width"), svg_root.get("height")) == ("246mm", "166mm")
    assert svg_root.get("viewBox") == "-3 -3 246 166"


def test_those_who_cannot_see_it_are_told() -> None:
    """The root names its title and description, the language and that it is one image (SVG 1.1, WAI-ARIA)."""
    svg_root = root()

    assert (svg_root.get("role"), svg_root.get(XML_LANG)) == ("img", "en-GB")
    assert [child.tag for child in svg_root[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert (svg_root.get("aria-labelledby") or "").split() == [child.get("id") for child in svg_root[:2]]
    assert [child.text for child in svg_root[:2]] == ["Pages 4-5", "Wren says o v."]


def test_layers_and_lines_stand_in_order_with_their_titles_first() -> None:
    """Groups bubbles then lettering, one group a line in them, facts in data attributes, title first."""
    layers = root()[2:]
    groups = [group for layer in layers for group in layer[1:]]

    assert [layer.get("id") for layer in layers] == ["bubbles", "lettering"]
    assert [group.get("id") for group in groups] == ["bubbles-1", "bubbles-2", "lettering-1"]
    assert all(element[0].tag == f"{SVG}title" for element in (*layers, *groups))
    assert (groups[2][0].text, groups[2].get("data-line"), groups[2].get("data-who")) == (
        '"o < v" & so', "1", "wren",
    )  # fmt: skip
    assert [path.get("data-char") for path in groups[2][1:]] == ["o", "v", "&"]


def test_nothing_but_outlines_is_in_a_lettering_layer() -> None:
    """No live text, no picture, no script, nothing outside the file; colours are #rrggbb; ids are unique."""
    svg_root = root()
    ids = [element.get("id") for element in svg_root.iter() if element.get("id")]
    colours = [e.get(paint) for e in svg_root.iter() for paint in ("fill", "stroke") if e.get(paint)]

    assert {element.tag for element in svg_root.iter()} == {
        f"{SVG}{name}" for name in ("svg", "title", "desc", "g", "path")
    }
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"#[0-9a-f]{6}", colour or "") for colour in colours)
    assert "http" not in svg(spread()).replace('"http://www.w3.org/2000/svg"', "")


def test_numbers_are_short_and_plain() -> None:
    """At most three digits behind the point and no exponent, in the whole document."""
    data = " ".join(path.get("d") or "" for path in root().iter(f"{SVG}path"))

    assert re.fullmatch(r"(?:[MLCZ ]|-?\d+(?:\.\d{1,3})?)+", data)
    assert [number(v) for v in (-0.0, -0.0001, 1e-9, 2.5, 10.0, 1234.5678)] == [
        "0", "0", "0", "2.5", "10", "1234.568",
    ]  # fmt: skip


def test_the_svg_read_back_is_the_drawing() -> None:
    """Each path, read by another reader, lies within half a written digit of the drawn one."""
    paths = list(root().iter(f"{SVG}path"))
    items = [item for item in spread().items if not isinstance(item, Picture)]

    assert len(paths) == len(items)
    for path, item in zip(paths, items, strict=True):
        assert farthest(read_path(path.get("d") or ""), item.path) <= 0.00051
        assert path.get("fill") == (item.fill.hex if item.fill else "none")
        assert path.get("stroke") == (item.stroke.hex if item.stroke else None)


coordinates = st.floats(-600, 600, allow_nan=False)


@given(st.lists(st.tuples(coordinates, coordinates), min_size=6, max_size=30))
def test_any_outline_read_back_is_the_same(points: list[tuple[float, float]]) -> None:
    """Whatever the knots, the path data describes an outline of the same extent and area."""
    drawn = Contour(np.array(points[: len(points) // 3 * 3]).reshape(-1, 3, 2))
    (read,) = read_path(path_data(Path((drawn,)))).contours

    for edge in ("x0", "y0", "x1", "y1"):
        assert getattr(read.bounds, edge) == pytest.approx(getattr(drawn.bounds, edge), abs=0.001)
    assert read.area == pytest.approx(drawn.area, abs=0.001 * 1200 * 3 * len(drawn))


def test_the_same_drawing_gives_the_same_text() -> None:
    """Two drawings made alike give the same bytes."""
    assert svg(spread()) == svg(spread())


def test_characters_that_xml_forbids_are_left_out() -> None:
    """A title with control characters still makes a document that parses (XML 1.0, production 2)."""
    odd = replace(spread(), title="a\x00b\x1bc\ufffe")

    assert ET.fromstring(svg(odd))[0].text == "abc"


@pytest.mark.parametrize(
    ("spoil", "valid"),
    [("", True), ("<blob/>", False), ('<path d="M0 0" colour="red"/>', False), ('<g id="bubbles"/>', False)],
    ids=["good", "element", "attribute", "twin"],
)
def test_the_svg_is_valid_by_the_svg_1_1_dtd(tmp_path: File, spoil: str, valid: bool) -> None:
    """The document, less what SVG 1.1 did not know, passes the W3C's DTD, and spoiled twins do not."""
    stripped = re.sub(r' (?:role|aria-\w+|data-\w+)="[^"]*"', "", svg(spread()))
    file = tmp_path / "spread.svg"
    file.write_text(stripped.replace("</svg>", f"{spoil}</svg>"), encoding="utf-8")

    run = subprocess.run(
        ["xmllint", "--nonet", "--noout", "--dtdvalid", str(DTD), str(file)], capture_output=True, check=False
    )
    assert (run.returncode == 0) == valid, run.stderr.decode()


SPOILED = {
    "element": ("</svg>", "<blob/></svg>"),
    "path data": (' d="M', ' d="N'),
    "twin": ('id="lettering"', 'id="bubbles"'),
    "role": ('role="img"', 'role="picture"'),
}


def test_the_svg_is_valid_by_the_nu_checker(tmp_path: File) -> None:
    """The W3C's Nu checker finds nothing in the document as it is, and a fault in each spoiled twin."""
    (tmp_path / "good.svg").write_text(svg(spread()), encoding="utf-8")
    for name, (before, after) in SPOILED.items():
        assert before in svg(spread())
        (tmp_path / f"{name}.svg").write_text(svg(spread()).replace(before, after), encoding="utf-8")
    checker = File(sys.prefix) / "web" / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
    assert checker.is_file(), "Run `make test` once: it fetches the checker."
    command = ["java", "-jar", str(checker), "--svg", "--format", "gnu", "--stdout"]
    told = subprocess.run(
        [*command, *map(str, sorted(tmp_path.glob("*.svg")))], capture_output=True, text=True, check=False
    )

    faulty = {unquote(row.split(".svg")[0].rsplit("/", 1)[-1]) for row in told.stdout.splitlines() if row}
    assert faulty == set(SPOILED), told.stdout + told.stderr


def on_white(png: bytes) -> NDArray[np.float64]:
    """Return a PNG as grey 0..255 over white, shape (rows, columns)."""
    image = Image.open(io.BytesIO(png)).convert("RGBA")
    white = Image.new("RGBA", image.size, "white")
    return np.asarray(Image.alpha_composite(white, image).convert("L"), dtype=np.float64)


def by_cairo(text: str, drawing: Drawing) -> NDArray[np.float64]:
    """Return the picture that CairoSVG makes at 3 px a mm."""
    width, height = (round(side * PIXELS_PER_MM) for side in (drawing.media.width, drawing.media.height))
    return on_white(cairosvg.svg2png(bytestring=text.encode(), output_width=width, output_height=height))


def by_resvg(text: str, drawing: Drawing) -> NDArray[np.float64]:
    """Return the picture that resvg makes at 3 px a mm; it may add a row, which is cut off."""
    png = resvg_py.svg_to_bytes(svg_string=text, dpi=PIXELS_PER_MM * MM_PER_INCH)
    return on_white(bytes(png))[: round(drawing.media.height * PIXELS_PER_MM)]


def test_two_renderers_see_the_same_spread() -> None:
    """CairoSVG and resvg differ in edges only: 0.01 % of pixels by over 64 at most, under 0.1 on average."""
    drawing, text = spread(), svg(spread())
    difference = np.abs(by_cairo(text, drawing) - by_resvg(text, drawing))

    assert (difference > 64).mean() < 0.0001
    assert difference.mean() < 0.1


def test_a_moved_letter_is_seen_by_the_renderers() -> None:
    """The comparison is keen enough to notice the letters of one line moved by half a millimetre."""
    drawing = spread()
    (group,) = drawing.layers[1].groups
    step = Vector(0.5, 0)
    moved = replace(group, items=tuple(replace(letter, path=letter.path.moved(step)) for letter in letters()))
    other = replace(drawing, layers=(drawing.layers[0], replace(drawing.layers[1], groups=(moved,))))
    difference = np.abs(by_cairo(svg(drawing), drawing) - by_resvg(svg(other), drawing))

    assert (difference > 64).mean() > 0.0001


def test_a_picture_is_kept_inside_the_file() -> None:
    """Proofs may show a picture; its bytes stand in the document and both renderers paint it in its place."""
    file = io.BytesIO()
    Image.new("RGB", (8, 4), (0, 0, 0)).save(file, "PNG")
    picture = Picture(rect=Rect(10, 50, 30, 60), png=file.getvalue())
    layer = spread().layers[0]
    group = replace(layer.groups[0], items=(picture,))
    drawing = replace(spread(), layers=(replace(layer, groups=(group,)),))

    for picture_of in (by_cairo, by_resvg):
        dark = picture_of(svg(drawing), drawing) < 128
        rows, columns = np.nonzero(dark)
        edges = [
            columns.min() / 3 - 3,
            rows.min() / 3 - 3,
            (columns.max() + 1) / 3 - 3,
            (rows.max() + 1) / 3 - 3,
        ]
        assert edges == pytest.approx([10, 50, 30, 60], abs=0.4)
