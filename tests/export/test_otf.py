"""The typeface of a hand, against HarfBuzz and fontTools."""

import io
from functools import cache

import pytest
import uharfbuzz as hb
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from lettering.errors import HandError
from lettering.export.otf import compile_otf, compile_woff2
from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from tests.hand.drawn_rows import drawn_rows
from tests.typeface_hand import typeface_hand


@cache
def hand() -> Hand:
    """Return a hand with three takes of `o` and two of `e`."""
    return gathering(drawn_rows("andika", ["To Voe see a too"]), name="Åse’s hand", mm_per_unit=None).hand


@cache
def compiled() -> bytes:
    """Return the hand's typeface."""
    return compile_otf(hand())


def shaped(text: str) -> list[tuple[str, int]]:
    """Return glyph names and advances as HarfBuzz sets them."""
    font, buffer = hb.Font(hb.Face(compiled())), hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(font, buffer)
    pairs = zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    return [(font.glyph_to_string(info.codepoint), position.x_advance) for info, position in pairs]


@pytest.mark.parametrize("length", range(1, 13))
def test_no_take_repeats_while_others_are_left(length: int) -> None:
    """In a run of equal letters every take comes before any comes back (HarfBuzz, calt on)."""
    names = [name for name, _ in shaped("o" * length)]
    count = len(hand().takes["o"])

    assert count >= 3
    assert all(len(set(names[i : i + count])) == min(count, len(names) - i) for i in range(length))


def test_takes_turn_across_other_letters_and_words() -> None:
    """The nearest earlier take decides, letters and spaces between."""
    names = [name for name, _ in shaped("o too")]

    assert names == ["o", "space", "t", "o.take2", "o.take3"]


def test_advances_and_kerning_are_the_hands() -> None:
    """HarfBuzz adds up the hand's advances and kerning, to whole font units."""
    takes, kerning = hand().takes, hand().kerning
    left, right = max((pair for pair in kerning if pair[0] != pair[1]), key=lambda pair: abs(kerning[pair]))
    (_, first), (_, second) = shaped(left + right)

    assert abs(kerning[left, right]) > 5
    assert first == pytest.approx(takes[left][0].advance + kerning[left, right], abs=1)
    assert second == pytest.approx(takes[right][0].advance, abs=0.5)


def test_outlines_are_the_hands() -> None:
    """fontTools' bounds pen finds each outline where the hand has it, to whole font units."""
    glyphs = TTFont(io.BytesIO(compiled())).getGlyphSet()
    for take in (take for takes in hand().takes.values() for take in takes):
        pen, box = BoundsPen(glyphs), take.outline.bounds
        glyphs[take.name].draw(pen)

        assert pen.bounds == pytest.approx((box.x0, box.y0, box.x1, box.y1), abs=1.01)


def test_names_permission_and_measures_are_told() -> None:
    """Name, embedding permission and vertical measures stand where OpenType has them; rows do not clip."""
    font = TTFont(io.BytesIO(compiled()))

    assert font["name"].getDebugName(1) == "Åse’s hand"
    assert font["name"].getDebugName(6) == "seshand-Regular"
    assert font["OS/2"].fsType == 8
    assert font["OS/2"].sxHeight == pytest.approx(hand().metrics.x_height, abs=0.5)
    assert font["OS/2"].sTypoAscender == font["hhea"].ascent == font["OS/2"].usWinAscent
    assert font["OS/2"].usWinAscent >= max(t.outline.bounds.y1 for ts in hand().takes.values() for t in ts)
    assert {0x20, 0xA0} <= set(font.getBestCmap())


def test_a_web_typeface_is_the_same_typeface() -> None:
    """fontTools unpacks the WOFF 2.0 to the same glyphs, names and features, in a smaller file."""
    packed = compile_woff2(hand())
    web, full = TTFont(io.BytesIO(packed)), TTFont(io.BytesIO(compiled()))

    assert packed[:4] == b"wOF2"
    assert len(packed) < len(compiled())
    assert web.getGlyphOrder() == full.getGlyphOrder()
    assert web["GSUB"].compile(web) == full["GSUB"].compile(full)


def test_the_same_hand_gives_the_same_bytes() -> None:
    """No clock and no chance gets into the file."""
    assert compile_otf(hand()) == compiled()


def test_a_hand_without_takes_to_turn_compiles() -> None:
    """One take a character needs no alternates; no letter at all is refused."""
    font = TTFont(io.BytesIO(compile_otf(typeface_hand("patrick-hand"))))

    assert "CFF " in font
    with pytest.raises(HandError, match="no letter"):
        compile_otf(Hand(name="empty", metrics=hand().metrics, takes={}))
