"""Drawn letters as a hand, against the typeface they were set in."""

from dataclasses import replace

import pytest

from lettering.geometry.affine import Affine
from lettering.hand.gathered import gathering, hand_from
from lettering.hand.hand import Hand
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


def test_a_letter_named_wrongly_is_set_aside_with_its_reason() -> None:
    """A drawing that looks unlike the others of its name stays out, with how far it lies."""
    drawn = drawn_rows("patrick-hand", ["on one stone no moon"])
    wrong = replace(drawn_rows("patrick-hand", ["W"], page="z.png")[0], char="o")
    found = gathering([*drawn, wrong], name="hers", mm_per_unit=None)

    assert [(aside.char, aside.source) for aside in found.set_aside] == [("o", wrong.source)]
    assert "times as far" in found.set_aside[0].reason
    assert all(take.source and take.source.page != "z.png" for take in found.hand.takes["o"])


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
