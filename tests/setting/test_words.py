"""Words as typed and as shown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.setting.words import Span, shown, spans

COMMONMARK = [
    ("*foo bar*", "<foo bar>"),
    ("a * foo bar*", "a * foo bar*"),
    ('a*"foo"*', 'a*"foo"*'),
    ("*\u00a0a\u00a0*", "*\u00a0a\u00a0*"),
    ("foo*bar*", "foo<bar>"),
    ("5*6*78", "5<6>78"),
    ("*foo bar *", "*foo bar *"),
    ("*(*foo)", "*(*foo)"),
    ("*(*foo*)*", "<(foo)>"),
    ("*foo*bar", "<foo>bar"),
    ("\\*not emphasised\\*", "*not emphasised*"),
    ("*foo", "*foo"),
    ("foo*", "foo*"),
    ("*foo *bar*", "*foo <bar>"),
]
"""Examples on emphasis of the CommonMark specification 0.31, from memory; <…> is emphasis."""


@pytest.mark.parametrize(("typed", "wanted"), COMMONMARK)
def test_emphasis_as_in_commonmark(typed: str, wanted: str) -> None:
    """Asterisks mean what CommonMark says they mean."""
    assert "".join(f"<{span.text}>" if span.strong else span.text for span in spans(typed)) == wanted


def test_spans_of_a_shout() -> None:
    """Words are cut where emphasis begins and ends."""
    assert spans("Not *me*!") == (Span("Not "), Span("me", True), Span("!"))


def test_blanks_are_tidied() -> None:
    """Runs of blanks are one space, soft hyphens vanish, a forced row end stays, an empty row goes."""
    assert shown("  Hel\u00adlo\t there \n\n friend\u00a0mine ") == "Hello there\nfriend\u00a0mine"


def test_unseen_characters_are_dropped() -> None:
    """Controls and formats that draw nothing vanish; a no-break space swallows the blanks beside it."""
    assert (
        shown("a\u200d\ufeff\x07 b \u00a0 c\u2003d\u202f!\n \u00a0\u200b \ne\u2028f")
        == "a b\u00a0c d\u202f!\ne\nf"
    )


def test_letters_and_their_marks_are_one() -> None:
    """A letter and an accent typed after it are shown as the one character they make (NFC)."""
    assert shown("cafe\u0301") == "caf\u00e9"


@given(st.text(alphabet="ab *\\!\n’", max_size=30))
def test_nothing_is_lost_but_marks(typed: str) -> None:
    """Whatever is typed, every letter is shown, in order."""
    assert [c for c in shown(typed) if c in "ab!’"] == [c for c in typed if c in "ab!’"]
