"""Drawn letters as a hand, against the typeface they were set in."""

from dataclasses import replace
from pathlib import Path

import pytest

from lettering.errors import HandError
from lettering.geometry.affine import Affine
from lettering.hand.aside import called_back
from lettering.hand.gathered import gathering, hand_from
from lettering.hand.hand import Hand
from lettering.hand.word import word_takes
from lettering.storage.ufo import write_hand
from tests.hand.drawn_rows import ROW_PITCH_PX, UNITS_PER_PX, X_HEIGHT, drawn_rows, gathered, scale
from tests.typeface_hand import typeface_hand


def test_every_letter_is_kept_as_a_take_with_a_usual_name() -> None:
    """Each drawn letter becomes a take; the first has the usual glyph name, the others a number."""
    hand = gathered("patrick-hand").hand

    assert sum(map(len, hand.takes.values())) == len(drawn_rows("patrick-hand"))
    assert [take.name for take in hand.takes["w"]] == ["w", "w.take2", "w.take3"]


@pytest.mark.parametrize("face", ["patrick-hand", "delius", "andika"])
def test_measures_are_those_of_the_typeface(face: str) -> None:
    """Word space and row pitch come out as HarfBuzz set them, the x-height within overshoot."""
    measured, true = gathered(face).hand.metrics, typeface_hand(face).metrics

    assert measured.x_height == pytest.approx(X_HEIGHT, rel=0.05)
    assert measured.word_space == pytest.approx(true.word_space * scale(face), abs=0.05 * X_HEIGHT)
    assert measured.row_pitch == pytest.approx(ROW_PITCH_PX * UNITS_PER_PX, rel=0.01)
    assert measured.baseline_drift == pytest.approx(3.0, abs=1.5)


def test_gathering_the_same_page_again_changes_nothing() -> None:
    """A page that is known replaces its own letters, and the hand is equal."""
    hand = gathered("patrick-hand").hand

    assert hand_from(drawn_rows("patrick-hand"), name="hers", mm_per_unit=0.008, previous=hand) == hand


def test_a_second_page_adds_takes_and_keeps_names() -> None:
    """What a name stood for before, it stands for after; gathering the second page again changes nothing."""
    hand = gathered("patrick-hand").hand
    page = drawn_rows("patrick-hand", ["a new leaf"], page="two.png", seed=2)
    more = hand_from(page, name="hers", mm_per_unit=0.008, previous=hand)
    origin = {t.name: (t.source.page, t.source.row, t.source.place) for t in _takes(hand) if t.source}
    after = {t.name: (t.source.page, t.source.row, t.source.place) for t in _takes(more) if t.source}

    assert len(more.takes["a"]) == len(hand.takes["a"]) + 2
    assert origin.items() <= after.items()
    assert hand_from(page, name="hers", mm_per_unit=0.008, previous=more) == more


def test_a_name_never_comes_to_mean_another_drawing() -> None:
    """A take that is set aside once others show how odd it is leaves its number behind, free for none."""
    few = drawn_rows("patrick-hand", ["on no"])
    wrong = replace(drawn_rows("patrick-hand", ["W"], page="z.png")[0], char="o")
    hand = hand_from([*few, wrong], name="hers", mm_per_unit=None)
    page = drawn_rows("patrick-hand", ["stone no moon one"], page="two.png", seed=2)
    more = hand_from(page, name="hers", mm_per_unit=None, previous=hand)
    (odd,) = (take.name for take in hand.takes["o"] if take.source and take.source.page == "z.png")

    assert [take.source and take.source.page for take in more.aside["o"]] == ["z.png"]
    assert len(more.takes["o"]) == 7
    assert odd not in {take.name for take in more.takes["o"]}


def test_a_letter_named_wrongly_is_set_aside_with_its_reason() -> None:
    """A drawing that looks unlike the others of its name stays out, with how far it lies."""
    drawn = drawn_rows("patrick-hand", ["on stone no moon one"])
    wrong = replace(drawn_rows("patrick-hand", ["W"], page="z.png")[0], char="o")
    found = gathering([*drawn, wrong], name="hers", mm_per_unit=None)

    assert [(aside.char, aside.source and aside.source.box) for aside in found.set_aside] == [
        ("o", wrong.source.box)
    ]
    assert "times as" in found.set_aside[0].reason
    assert all(take.source and take.source.page != "z.png" for take in found.hand.takes["o"])


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (Affine.scaling(1.6, 1.6), "1.60 times as high"),
        (Affine(c=0.5), "degrees farther to the right"),
    ],
)
def test_an_odd_size_or_slant_is_set_aside_with_its_measure(change: Affine, reason: str) -> None:
    """An h of another size, or leaning another way, among six is kept apart; the measure is the truth's."""
    drawn = drawn_rows("andika", ["hat hot hut hit ham hum"])
    odd = replace(drawn[6], outline=drawn[6].outline.transformed(change))
    found = gathering([*drawn[:6], odd, *drawn[7:]], name="hers", mm_per_unit=None)

    assert drawn[6].char == "h"
    assert [reason in aside.reason for aside in found.set_aside] == [True]
    assert [take.name for take in found.hand.aside["h"]] == ["h.aside1"]


def test_a_drawing_set_aside_is_kept_and_can_be_called_back() -> None:
    """It stays aside when another page comes, becomes a take when it is called, and then stays one."""
    drawn = drawn_rows("patrick-hand", ["on one stone no moon"])
    wrong = replace(drawn_rows("patrick-hand", ["W"], page="z.png")[0], char="o")
    hand = hand_from([*drawn, wrong], name="hers", mm_per_unit=None)
    page = drawn_rows("patrick-hand", ["on"], page="two.png", seed=2)
    later = hand_from(page, name="hers", mm_per_unit=None, previous=hand)
    back = hand_from(page, name="hers", mm_per_unit=None, previous=called_back(later, "o.aside1"))

    assert [take.name for take in later.aside["o"]] == ["o.aside1"]
    assert back.aside == {}
    assert [take.source.page for take in back.takes["o"] if take.called_back and take.source] == ["z.png"]
    with pytest.raises(HandError, match=r"o\.aside1"):
        called_back(later, "o.aside2")


def test_a_page_scanned_twice_adds_nothing() -> None:
    """The same letters at the same places under another file name are the same drawings."""
    hand = gathered("patrick-hand").hand
    again = drawn_rows("patrick-hand", page="rescan.png", stray=2.0, seed=3)
    more = hand_from(again, name="hers", mm_per_unit=0.008, previous=hand)

    assert {char: len(takes) for char, takes in more.takes.items()} == {
        char: len(takes) for char, takes in hand.takes.items()
    }


def test_a_page_of_another_size_and_pen_is_brought_to_the_first() -> None:
    """A page lettered a tenth larger comes out as high as the first, its gaps with it (known factor)."""
    first = drawn_rows("andika")
    page = drawn_rows("andika", ["so quick a toad and the wet leaf"], page="two.png", seed=5)
    large = [replace(d, outline=d.outline.transformed(Affine.scaling(1.1, 1.1))) for d in page]
    made = hand_from(large, name="h", mm_per_unit=None, previous=hand_from(first, name="h", mm_per_unit=None))
    heights = {
        where: [t.outline.bounds.height for t in made.takes["a"] if t.source and t.source.page == where]
        for where in ("page.png", "two.png")
    }
    _, word = word_takes(made, "leaf")
    (true,) = word_takes(hand_from(page, name="h", mm_per_unit=None), "leaf")

    assert heights["two.png"] == pytest.approx([heights["page.png"][0]] * 4, rel=0.01)
    assert word.starts[-1] == pytest.approx(true.starts[-1], rel=0.02)


def test_takes_tell_how_they_stood() -> None:
    """A letter lifted by 20 units and turned by a shear of 0.1 says so, within a tenth."""
    drawn = drawn_rows("andika", ["hihihihih"], stray=0.0)
    odd = replace(drawn[4], outline=drawn[4].outline.transformed(Affine(c=0.1, f=20.0)))
    hand = hand_from([*drawn[:4], odd, *drawn[5:]], name="h", mm_per_unit=None)
    (take,) = (take for take in hand.takes["h"] if take.source and take.source.place == 4)

    assert take.rise == pytest.approx(20.0, abs=0.2)
    assert take.turn == pytest.approx(0.1, abs=0.01)


def test_a_new_page_changes_only_the_glyphs_that_it_shows(tmp_path: Path) -> None:
    """On disk, files of characters that are not on the new page stay byte for byte; blanks aside."""
    hand = gathered("andika").hand
    page = drawn_rows("andika", ["a new leaf"], page="two.png", seed=2)
    write_hand(hand, tmp_path / "a.ufo")
    write_hand(hand_from(page, name="hers", mm_per_unit=0.008, previous=hand), tmp_path / "b.ufo")
    before, after = (
        {file.name: file.read_bytes() for file in (tmp_path / ufo / "glyphs").glob("*.glif")}
        for ufo in ("a.ufo", "b.ufo")
    )
    changed = {name.split(".")[0] for name in after if before.get(name) != after[name]}

    assert set(before) <= set(after)
    assert changed - {"", "_notdef", "space"} <= set("anewlf")
    assert changed & set("anewlf")


def test_the_first_take_is_the_most_typical() -> None:
    """Among drawings of growing slant the usual take is the one in the middle."""
    upright = drawn_rows("patrick-hand", ["hhhhh"], stray=0.0)
    leaning = [
        replace(d, outline=d.outline.transformed(Affine(c=lean)))
        for d, lean in zip(upright, (0.0, 0.05, 0.1, 0.15, 0.2), strict=True)
    ]
    first = hand_from(leaning, name="hers", mm_per_unit=None).takes["h"][0]

    assert first.source is not None
    assert first.source.place == 2


def test_an_alphabet_without_words_is_spaced_by_its_shapes() -> None:
    """With no words, straight sides keep more room than round ones, and T draws o near."""
    alphabet = [" ".join("abcdefghijklmnopqrstuvwxyz"), " ".join("TVAL.")]
    found = gathering(drawn_rows("patrick-hand", alphabet), name="hers", mm_per_unit=None)

    assert found.spacing.words == ()
    assert _gap(found.hand, "n", "n") > _gap(found.hand, "o", "o") > 0
    assert found.hand.kerning["T", "o"] < 0


def _gap(hand: Hand, first: str, second: str) -> float:
    """Return the white from box to box."""
    a, b = hand.takes[first][0], hand.takes[second][0]
    return a.advance - a.outline.bounds.x1 + b.outline.bounds.x0 + hand.kerning.get((first, second), 0.0)


def _takes(hand: Hand) -> list:  # type: ignore[type-arg]
    return [take for takes in hand.takes.values() for take in takes]
