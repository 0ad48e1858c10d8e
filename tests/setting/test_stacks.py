"""Stacks of lettering in hands made of open typefaces."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import uharfbuzz as hb
from hypothesis import given, settings
from hypothesis import strategies as st

from lettering.book.line import Line, Voice
from lettering.errors import HandError, LetteringError
from lettering.geometry.region import Region
from lettering.setting.reading_age import band_for
from lettering.setting.stack import Row, Stack
from lettering.setting.stacks import stacks, voice_size
from lettering.setting.words import shown
from tests.calls import calls
from tests.typeface_hand import TYPEFACES, typeface_hand

HANDS = ["patrick-hand", "schoolbell", "delius", "indie-flower"]
BAND = band_for((5, 5))
SAYS = "We looked in the big shed, but the trombone was *not* there today."


def set_in(name: str, says: str, voice: Voice = "plain", x_height_mm: float = 4.0) -> tuple[Stack, ...]:
    """Return the stacks of words in the hand of a typeface."""
    line = Line(who=("wren",), says=says, voice=voice)
    return stacks(line, typeface_hand(name), x_height_mm=x_height_mm, language="en", band=BAND)


WORDS = st.lists(
    st.sampled_from(
        ["jolly", "Wren", "fog", "*so*", "“AV", "quite,”", "illegible", "gypsy!", "T.", "Éa", "if—"]
    ),
    min_size=1,
    max_size=9,
)


@settings(max_examples=12)
@given(WORDS, st.sampled_from(HANDS))
def test_every_stack_keeps_the_hard_rules(words: list[str], name: str) -> None:
    """Words stay in order, rows are centred, no ink box of a row reaches into the next row."""
    for stack in set_in(name, " ".join(words)):
        assert " ".join(row.text for row in stack.rows).split() == " ".join(words).replace("*", "").split()
        assert [g.char for g in stack.glyphs] == list("".join(words).replace("*", ""))
        assert all(box(a).y1 <= box(b).y0 for a, b in pairwise(stack.rows))
        assert stack.ink.y0 == pytest.approx(-stack.ink.y1, abs=1e-6)


def box(row: Row) -> "Region.bounds":
    """Return the box of a row's ink."""
    return Region.union(Region.rectangle(glyph.ink) for glyph in row.glyphs).bounds


@pytest.mark.parametrize("name", HANDS)
def test_no_letters_collide(name: str) -> None:
    """Between the ink of any two letters of a row lies at least half a stem, by geometry."""
    says = "“Off!” fly raffle; AVA jiffy Tj. *fjord* (gaff) r.f. 1714"
    half = typeface_hand(name).metrics.stem / 2 * 4.0 / typeface_hand(name).metrics.x_height
    for row in set_in(name, says)[0].rows:
        ink = [Region.of_path(glyph.path) for glyph in row.glyphs]
        for a, b in pairwise(ink):
            assert a.distance(b) >= half - 0.01
        for a, b in zip(ink, ink[2:], strict=False):
            assert a.distance(b) >= half - 0.01


@pytest.mark.parametrize("name", HANDS)
def test_boxes_hold_the_ink(name: str) -> None:
    """Each letter's box is the least box of its path, to a hundredth of a millimetre."""
    for glyph in set_in(name, SAYS)[0].glyphs:
        bounds = glyph.path.bounds
        given = [glyph.ink.x0, glyph.ink.y0, glyph.ink.x1, glyph.ink.y1]
        assert given == pytest.approx([bounds.x0, bounds.y0, bounds.x1, bounds.y1], abs=0.01)


@pytest.mark.parametrize("factor", [2.0, 0.5])
def test_twice_the_size_is_twice_the_ink(factor: float) -> None:
    """Lettering of another size is the same lettering, scaled: same rows, same costs."""
    for one, other in zip(
        set_in("delius", SAYS), set_in("delius", SAYS, x_height_mm=4 * factor), strict=True
    ):
        assert one.cost == pytest.approx(other.cost)
        for a, b in zip(one.glyphs, other.glyphs, strict=True):
            assert a.take == b.take
            for c, d in zip(a.path.contours, b.path.contours, strict=True):
                np.testing.assert_allclose(c.knots * factor, d.knots, atol=1e-9)


def test_the_same_words_look_the_same() -> None:
    """Setting a line twice gives the very same ink."""
    assert set_in("schoolbell", SAYS) == set_in("schoolbell", SAYS)


@pytest.mark.parametrize("name", ["delius", "schoolbell", "patrick-hand"])
def test_advances_are_those_of_harfbuzz(name: str) -> None:
    """Letters of a typeface stand where HarfBuzz sets them, kerning on, when there is no distance to keep."""
    says = "Whose cat may have fallen"
    still = replace(typeface_hand(name).metrics, baseline_drift=0.0, stem=1.0)
    hand = replace(typeface_hand(name), metrics=still)
    line = Line(who=("wren",), says=says.replace(" ", "\u00a0"))
    (stack,) = stacks(line, hand, x_height_mm=still.x_height, language="en", band=BAND)
    origins = [g.ink.x0 - hand.takes[g.char][0].outline.bounds.x0 for g in stack.glyphs]

    assert np.diff(origins) == pytest.approx(np.diff(harfbuzz_origins(name, says)), abs=0.5)


def harfbuzz_origins(name: str, text: str) -> list[float]:
    """Return where HarfBuzz puts each letter of `text`, spaces aside, in 1000 units an em."""
    face = hb.Face(hb.Blob.from_file_path(str(next((TYPEFACES / name).glob("*.ttf")))))
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(hb.Font(face), buffer, {"liga": False, "calt": False, "clig": False})
    advances = [position.x_advance * 1000 / face.upem for position in buffer.glyph_positions]
    starts = np.cumsum([0, *advances])[:-1]
    return [float(x) for x, char in zip(starts, text, strict=True) if char != " "]


def test_voices_have_their_sizes() -> None:
    """A shout is larger than plain speech, a whisper smaller but never under the reader's least size."""
    assert voice_size("shout", 4.2, BAND) > voice_size("plain", 4.2, BAND) == 4.2
    assert voice_size("whisper", 4.2, BAND) == pytest.approx(0.9 * 4.2)
    assert voice_size("whisper", 3.6, BAND) == BAND.x_min
    assert voice_size("whisper", 3.0, BAND) == 3.0


def test_emphasis_is_heavier_not_a_scaled_copy() -> None:
    """An emphasised word has a third more ink or so, while its letters grow by a tenth at most."""
    (plain,), (strong,) = (set_in("delius", says)[0].rows for says in ("moon", "*moon*"))
    ink = [sum(Region.of_path(g.path).area for g in row.glyphs) for row in (plain, strong)]
    height = [row.glyphs[0].ink.height for row in (plain, strong)]

    assert 1.2 < ink[1] / ink[0] < 1.5
    assert 1.0 < height[1] / height[0] < 1.12


@settings(max_examples=25)
@given(st.text(alphabet="ab é*-—/5 m.!“’\n\u200b\u00a0\u202f\t", min_size=1, max_size=25))
def test_whatever_is_typed_is_set_or_refused(says: str) -> None:
    """Any mixture of letters, marks and blanks gives stacks with all letters in order, or says nothing."""
    drawn = [c for c in shown(says) if not c.isspace() and c != "\u200b"]
    if not drawn or "*" in drawn:
        with pytest.raises(LetteringError, match=r"says nothing|has no \*"):
            set_in("delius", says)
    else:
        assert all([g.char for g in stack.glyphs] == drawn for stack in set_in("delius", says))


def test_a_narrow_space_is_narrow() -> None:
    """Before a mark the narrow no-break space parts less than the usual one, and more than none."""
    wide, narrow, none = (
        set_in("delius", f"Quoi{space}!")[0].ink.width for space in ("\u00a0", "\u202f", "")
    )

    assert none < narrow < wide


def test_equal_neighbours_differ() -> None:
    """In a hand with two takes of a letter, double letters are never drawn alike, wherever rows end."""
    hand = typeface_hand("delius")
    twice = {char: (take, replace(take, name=f"{take.name}.take2")) for char, (take,) in hand.takes.items()}
    line = Line(who=("wren",), says="Look, all the bees and the goose will *roll off*!")
    for stack in stacks(line, replace(hand, takes=twice), x_height_mm=4, language="en", band=BAND):
        assert all(a.take != b.take for a, b in pairwise(stack.glyphs))


def test_missing_characters_are_listed() -> None:
    """Words that the hand has no letters for are refused, naming the characters and the line."""
    with pytest.raises(HandError, match=r"has no Ж 猫, needed for 'Wren, 猫 and Ж'"):
        set_in("delius", "Wren, 猫 and Ж")


@pytest.mark.parametrize("says", ["", "  \n ", "\u200b"])
def test_silence_is_refused(says: str) -> None:
    """A line without words cannot be set."""
    with pytest.raises(LetteringError, match="says nothing"):
        set_in("delius", says)


def test_long_lines_take_little_more_a_word() -> None:
    """Four times the words are set with less than eight times the work, in calls."""
    work = [calls(lambda says=says: set_in("delius", says)) for says in (SAYS, " ".join([SAYS] * 4))]

    assert work[1] < 8 * work[0]
