"""The hand on disk, against fontTools' own reader, pens and validation."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ufoLib import UFOReader

from lettering.errors import HandError, OutputError
from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from lettering.storage.ufo import read_hand, write_hand
from lettering.storage.ufo_glif import Glif, glif_text, read_glif
from tests.hand.drawn_rows import drawn_rows


@cache
def hand() -> Hand:
    """Return a gathered hand with takes, kerning, an accent, a cluster, quotes and capitals."""
    drawn = drawn_rows("andika", ["To see Åse, Ave “la” 1/2!", "a noon moon"])
    cluster = replace(drawn[0], char="q\u0302", row=5)
    return gathering([*drawn, cluster], name="Åse’s hand", mm_per_unit=0.0081).hand


def tree(path: Path) -> dict[str, bytes]:
    """Return every file below a folder."""
    return {str(p.relative_to(path)): p.read_bytes() for p in sorted(path.rglob("*")) if p.is_file()}


def test_a_hand_is_read_back_as_it_was_written(tmp_path: Path) -> None:
    """Nothing that a gathered hand holds is lost on disk: measures, outlines, sources, pictures, kerning."""
    write_hand(hand(), tmp_path / "hand.ufo")

    assert read_hand(tmp_path / "hand.ufo") == hand()


def test_the_same_hand_gives_the_same_bytes(tmp_path: Path) -> None:
    """Writing, reading and writing again changes no byte."""
    write_hand(hand(), tmp_path / "one.ufo")
    write_hand(read_hand(tmp_path / "one.ufo"), tmp_path / "two.ufo")

    assert tree(tmp_path / "one.ufo") == tree(tmp_path / "two.ufo")


def test_the_validating_reader_finds_nothing_wrong(tmp_path: Path) -> None:
    """fontTools' validating reader accepts every part and every glyph (UFO 3 specification)."""
    write_hand(hand(), tmp_path / "hand.ufo")
    reader = UFOReader(tmp_path / "hand.ufo", validate=True)
    glyphs, info = reader.getGlyphSet(), SimpleNamespace()
    reader.readInfo(info)
    reader.readLib()
    for name in glyphs.contents:
        glyphs.readGlyph(name, SimpleNamespace())

    assert (info.unitsPerEm, info.xHeight) == (1000, hand().metrics.x_height)
    assert {"public.kern1.T", "public.kern2.o"} <= set(reader.readGroups())
    assert reader.readKerning()["public.kern1.T", "public.kern2.o"] == hand().kerning["T", "o"]
    codes = glyphs.getUnicodes()
    assert (codes["a"], codes["a.take2"], codes["space"], codes["Aring"]) == ([0x61], [], [0x20], [0xC5])
    assert codes["q_uni0302"] == []
    assert len(reader.getImageDirectoryListing()) == sum(map(len, hand().takes.values()))


def test_the_picture_lies_over_the_outline(tmp_path: Path) -> None:
    """The crop of 5 units to a pixel, two pixels wider than the ink all round, is placed about the ink."""
    write_hand(hand(), tmp_path / "hand.ufo")
    glyphs, glyph = UFOReader(tmp_path / "hand.ufo").getGlyphSet(), SimpleNamespace()
    glyphs.readGlyph("a", glyph)
    box = hand().takes["a"][0].outline.bounds

    assert glyph.image["xScale"] == glyph.image["yScale"] == pytest.approx(5, rel=0.02)
    assert glyph.image["xOffset"] == pytest.approx(box.x0 - 10, abs=5)
    assert glyph.image["yOffset"] == pytest.approx(box.y0 - 10, abs=5)


@pytest.mark.parametrize("char", ["a", "e", "Å", "“", "2"])
def test_pens_measure_the_outlines_that_were_meant(tmp_path: Path, char: str) -> None:
    """fontTools' area and bounds pens agree with our own measures of the written outline."""
    write_hand(hand(), tmp_path / "hand.ufo")
    glyphs = UFOReader(tmp_path / "hand.ufo").getGlyphSet()
    take, read = hand().takes[char][0], SimpleNamespace()
    glyphs.readGlyph(take.name, read)
    area, bounds = AreaPen(), BoundsPen(glyphs)
    glyphs[take.name].draw(area)
    glyphs[take.name].draw(bounds)
    box = take.outline.bounds

    assert area.value == pytest.approx(sum(c.area for c in take.outline.contours), rel=1e-6)
    assert bounds.bounds == pytest.approx((box.x0, box.y0, box.x1, box.y1), abs=1e-6)
    assert read.width == take.advance


FOREIGN = """<glyph name="a" format="2"><advance width="300"/><unicode hex="0061"/>
<anchor x="1" y="2" name="top"/><outline><contour identifier="c1">
<point x="0" y="0" type="line"/><point x="200" y="0" type="line"/><point x="200" y="100" type="line"/>
<point x="200" y="200"/><point x="100" y="200"/><point x="0" y="100" type="qcurve" smooth="yes"/>
</contour></outline></glyph>"""


def test_a_glyph_from_another_editor_is_read_by_fonttools(tmp_path: Path) -> None:
    """Quadratic curves, anchors and identifiers are beyond the quick reader; fontTools' area pen agrees."""
    path = tmp_path / "hand.ufo"
    write_hand(hand(), path)
    (path / "glyphs/a.glif").write_text(FOREIGN)
    read, area = read_hand(path).takes["a"][0], AreaPen()
    glyphs = UFOReader(path).getGlyphSet()
    glyphs.readGlyph("a", SimpleNamespace())
    glyphs["a"].draw(area)

    assert read_glif(FOREIGN.encode()) is None
    assert (read.advance, sum(c.area for c in read.outline.contours)) == (300, pytest.approx(area.value))


@pytest.mark.parametrize(
    "fault",
    [
        ('format="2"', 'format="3"'),
        ("<outline>", "<outline/><outline>"),
        ('type="curve"', 'type="swirl"'),
        ('type="curve"', 'type="curve" colour="red"'),
        ('type="line"', 'type="curve"'),
        ('x="', 'x="nan" z="'),
        ("<contour>", '<component base="b"/><contour>'),
        ("<dict>", "<dict><string>a</string>"),
    ],
)
def test_the_quick_reader_takes_no_fault(fault: tuple[str, str]) -> None:
    """A file with anything unknown or wrong in it is left to the validating reader."""
    good = glif_text(Glif(name="a", width=1.0, outline=hand().takes["e"][0].outline, lib={"k": {"n": [1.5]}}))

    assert read_glif(good.encode()) is not None
    assert fault[0] in good
    assert read_glif(good.replace(*fault, 1).encode()) is None


BOMB = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><plist>&b;</plist>'


@pytest.mark.parametrize(
    ("spoiled", "text"),
    [
        ("lib.plist", "not xml"),
        ("lib.plist", BOMB),
        ("glyphs/a.glif", "<glyph/>"),
        ("glyphs/a.glif", '<?xml version="1.0" encoding="cp037"?><glyph name="a" format="2"/>'),
        ("glyphs/a.glif", '<glyph name="a" format="2"><outline><component base="a"/></outline></glyph>'),
        ("glyphs/contents.plist", ""),
        ("glyphs/contents.plist", "<plist><dict><key>a</key><string>../../x.glif</string></dict></plist>"),
        ("metainfo.plist", ""),
        ("images/a.png", "no picture"),
    ],
)
def test_a_spoiled_hand_is_refused_in_words(tmp_path: Path, spoiled: str, text: str) -> None:
    """A damaged or hostile file becomes a HandError that names the hand, never another exception."""
    path = tmp_path / "hand.ufo"
    write_hand(hand(), path)
    (path / spoiled).write_text(text)

    with pytest.raises(HandError, match=r"hand\.ufo"):
        read_hand(path)


def test_what_is_no_hand_is_refused(tmp_path: Path) -> None:
    """A missing folder, a file and a folder of something else are refused, each in its own words."""
    (tmp_path / "file.ufo").write_text("")
    (tmp_path / "folder.ufo").mkdir()

    for name, words in (("none", "no such hand"), ("file.ufo", "no folder"), ("folder.ufo", "no UFO")):
        with pytest.raises(HandError, match=words):
            read_hand(tmp_path / name)


def test_links_inside_a_hand_are_not_followed(tmp_path: Path) -> None:
    """A glyph set that holds a symbolic link is refused."""
    path = tmp_path / "hand.ufo"
    write_hand(hand(), path)
    (path / "data").symlink_to(tmp_path)

    with pytest.raises(HandError, match="neither a file nor a folder"):
        read_hand(path)


def test_a_hand_beyond_the_limits_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Too many files, or one too large, are refused before anything is parsed."""
    path = tmp_path / "hand.ufo"
    write_hand(hand(), path)
    for limit in ("MOST_FILES", "MOST_GLYPH_BYTES", "MOST_LIST_BYTES", "MOST_PICTURE_BYTES"):
        with monkeypatch.context() as lowered:
            lowered.setattr(f"lettering.storage.ufo_bounds.{limit}", 3)
            with pytest.raises(HandError, match="too large"):
                read_hand(path)


def test_a_failed_write_leaves_the_former_hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk gives out in the middle, the hand that was there stays whole."""
    path = tmp_path / "hand.ufo"
    write_hand(hand(), path)
    before = tree(path)

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("fontTools.ufoLib.UFOWriter.writeLayerContents", full)
    with pytest.raises(OutputError, match="No space left"):
        write_hand(hand(), path)

    assert tree(path) == before
    assert [p.name for p in tmp_path.iterdir()] == ["hand.ufo"]
