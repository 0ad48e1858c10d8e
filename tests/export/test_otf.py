"""The typeface of a hand, against HarfBuzz and fontTools."""

import io
import random
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
import uharfbuzz as hb
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from lettering.errors import HandError
from lettering.export.otf import compile_otf, compile_woff2
from lettering.geometry.affine import Affine
from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from lettering.hand.word import pair_takes, word_takes
from lettering.setting.letters import set_pieces
from lettering.setting.opportunities import pieces
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


def shaped(text: str, typeface: bytes | None = None, **features: bool) -> list[tuple[str, int]]:
    """Return glyph names and advances as HarfBuzz sets them."""
    font, buffer = hb.Font(hb.Face(typeface or compiled())), hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(font, buffer, features)
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
    names = [name for name, _ in shaped("o too") if name[0] == "o"]

    assert names in (["o", "o.take2", "o.take3"], ["o.take2", "o.take3", "o"], ["o.take3", "o", "o.take2"])


ROWS = (
    "once upon a morning so grey and soft the little hedgehog woke up hungry",
    "he looked around behind him and could find nothing left except crumbs",
    "put on his boots and walked past the pond where frogs were singing",
    "please may we borrow an egg some flour butter sugar and also your oven",
    "jam quiz vex 1 2 3",
)
SAID = (
    "nobody answered toad sat down under leaf waited rain stop because cello still compost wren hopped "
    "along wall with worm her beak would not say she had found it they all went home tea moon came over "
    "garden like yellow button while beetle tuned every string again before bedtime mole dug six tunnels "
    "hello yes no off attic kettle puffed zigzag jelly too soon balloon room"
)


@cache
def lively() -> Hand:
    """Return a hand of many takes, in which `oo` touches."""
    drawn = drawn_rows("delius", ROWS)
    first = {id(a) for a, b in pairwise(drawn) if a.char == b.char == "o" and b.place == a.place + 1}
    moved = [
        replace(d, outline=d.outline.transformed(Affine(e=140.0))) if id(d) in first else d for d in drawn
    ]
    return gathering(moved, name="hers", mm_per_unit=0.008).hand


@cache
def lively_otf() -> bytes:
    """Return its typeface."""
    return compile_otf(lively())


def sentences() -> list[str]:
    """Return 200 sentences of words that no page of the hand has."""
    draw = random.Random(4)
    fresh = [word for word in SAID.split(" ") if word not in lively().words]
    return [" ".join(draw.choices(fresh, k=draw.randint(2, 9))) for _ in range(200)]


def taken(name: str, hand: Hand) -> tuple[str, ...]:
    """Return the takes of a glyph: itself, or those of a pair or of a whole word."""
    if "_" not in name:
        return (name,)
    base, _, suffix = name.partition(".")
    text = base.replace("_", "")
    if suffix == "word":
        ways = word_takes(hand, text)
        return tuple(take.name for take in ways[0].takes)
    return tuple(
        take.name for take in pair_takes(hand, text)[int(suffix.removeprefix("take") or 1) - 1].takes
    )


def test_two_hundred_sentences_are_set_as_our_own_setting_sets_them() -> None:
    """HarfBuzz takes the same takes, and its words are as long, to half a unit a letter."""
    hand = lively()
    for text in sentences():
        own = set_pieces(pieces(text), [False] * len(text), hand, voice="plain", mm_per_unit=1.0)
        typeset = shaped(text, lively_otf())
        names = [letter.take for piece in own for letter in piece.letters]
        glyphs = [part for name, _ in typeset if name != "space" for part in taken(name, hand)]
        length = sum(piece.advance_mm for piece in own) + hand.metrics.word_space * text.count(" ")

        assert glyphs == names, text
        assert sum(advance for _, advance in typeset) == pytest.approx(length, abs=0.5 * len(text)), text
    assert pair_takes(hand, "oo")
    assert any("oo" in text for text in sentences())


def test_ink_lies_where_our_own_setting_puts_it() -> None:
    """HarfBuzz's ink of each letter is within 2 font units of ours: 0.02 mm at an x-height of 5 mm."""
    hand = replace(lively(), metrics=replace(lively().metrics, baseline_drift=0.0))
    font = hb.Font(hb.Face(lively_otf()))
    for word in ("beetle", "garden", "string", "wall"):
        (own,) = set_pieces(pieces(word), [False] * len(word), hand, voice="plain", mm_per_unit=1.0)
        buffer, pen_x = hb.Buffer(), 0
        buffer.add_str(word)
        buffer.guess_segment_properties()
        hb.shape(font, buffer)
        for info, at, ours in zip(buffer.glyph_infos, buffer.glyph_positions, own.letters, strict=True):
            ink = font.get_glyph_extents(info.codepoint)
            left, top = pen_x + ink.x_bearing, ink.y_bearing
            box = (left, -top, left + ink.width, -top - ink.height)
            pen_x += at.x_advance

            assert box == pytest.approx((ours.ink.x0, ours.ink.y0, ours.ink.x1, ours.ink.y1), abs=2)


def test_a_word_that_was_lettered_stands_whole_when_asked_for() -> None:
    """With discretionary ligatures on, `hungry` is one glyph as long as on the page; not inside a word."""
    hand = lively()
    whole = shaped("hungry leaf hungrys", lively_otf(), dlig=True)
    ways = word_takes(hand, "hungry")

    assert whole[0] == ("h_u_n_g_r_y.word", pytest.approx(ways[0].advance, abs=0.5))
    assert all("word" not in name for name, _ in whole[1:])
    assert all("word" not in name for name, _ in shaped("hungry", lively_otf()))


def test_every_table_is_written_in_the_order_that_is_searched(caplog: pytest.LogCaptureFixture) -> None:
    """Coverage tables list glyphs by number (OpenType 1.9, chapter 2), and fontTools has nothing to tell."""
    typeface = TTFont(io.BytesIO(lively_otf()))
    lookups = typeface["GSUB"].table.LookupList.Lookup
    covered = [
        each
        for lookup in lookups
        for table in lookup.SubTable
        for each in getattr(table, "InputCoverage", [getattr(table, "Coverage", None)])
        if each is not None
    ]
    numbers = [[typeface.getGlyphID(glyph) for glyph in each.glyphs] for each in covered]

    assert len(numbers) > 20
    assert all(row == sorted(row) for row in numbers)
    assert not caplog.records


@pytest.mark.parametrize(("text", "mark"), [("m\u0301", "above"), ("x\u0327", "below"), ("G\u0302", "above")])
def test_marks_stand_on_letters_that_never_had_them(text: str, mark: str) -> None:
    """HarfBuzz puts an accent in the middle of a letter, clear of it, and a cedilla under its foot."""
    typeface = accented_otf()
    font, buffer = hb.Font(hb.Face(typeface)), hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(font, buffer)
    base, accent = (font.get_glyph_extents(info.codepoint) for info in buffer.glyph_infos)
    letter, place = buffer.glyph_positions
    left = letter.x_advance + place.x_offset + accent.x_bearing
    top = place.y_offset + accent.y_bearing

    assert place.x_advance == 0
    assert left + accent.width / 2 == pytest.approx(base.x_bearing + base.width / 2, abs=2)
    if mark == "above":
        assert top + accent.height > base.y_bearing
    else:
        assert top < base.y_bearing + base.height + 100


@cache
def accented_otf() -> bytes:
    """Return the typeface of a hand with accented letters, and a comma that is told to be a cedilla."""
    hand = typeface_hand("patrick-hand")
    cedilla = replace(hand.takes[","][0], name="cedilla", char="¸")
    return compile_otf(replace(hand, takes={**hand.takes, "¸": (cedilla,)}))


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
