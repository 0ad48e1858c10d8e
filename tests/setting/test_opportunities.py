"""Where a row may end."""

import icu
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.setting.opportunities import opportunities, pieces

PLAIN = [
    "Who left a cello in the compost?",
    "It's mine, I said so. Twice!",
    "He said: “Not in (my) garden!” and left.",
    "Nein, ich möchte nicht über die Straße gehen.",
    "¿Quién ha dejado un violonchelo? ¡Nadie!",
    "Mr. Toad has 3 drums, 12,5 flutes and a horn…",
    "Wait for me\u00a0here, will\u200byou?",
    "First row\nsecond row",
    "a b c! d? e. f, g; h: i",
]
"""Texts that none of the tailoring touches."""


def by_icu(text: str) -> list[int]:
    """Return the line breaking opportunities of ICU, the reference library, ends excluded."""
    breaker = icu.BreakIterator.createLineInstance(icu.Locale("en"))
    breaker.setText(text)
    return [at for at in breaker if at < len(text)]


@pytest.mark.parametrize("text", PLAIN)
def test_plain_text_breaks_as_unicode_says(text: str) -> None:
    """In plain text rows may end exactly where ICU's implementation of UAX #14 allows it."""
    assert list(opportunities(text)) == by_icu(text)


@given(
    st.lists(
        st.sampled_from(["Toad", "it’s", "so,", "“well", "done”", "ah!", "I", "said)", "été", "x."]),
        min_size=1,
    )
)
def test_any_plain_words_break_as_unicode_says(words: list[str]) -> None:
    """Plain words in any order may be parted exactly where ICU’s implementation of UAX #14 allows it.

    No bracket opens after a closing quote here: ICU 72 has the rule LB15 that Unicode 15.1 replaced.
    """
    text = " ".join(words)

    assert list(opportunities(text)) == by_icu(text)


TAILORED = [
    ("Hello there—no, wait.", "Hello|there—|no,|wait."),
    ("Hello there — no, wait.", "Hello|there —|no,|wait."),
    ("Gr-r-r, a well-known cat", "Gr-r-r,|a|well-known|cat"),
    ("cats and/or dogs", "cats|and/or|dogs"),
    ("a 3.5 mm gap", "a|3.5 mm|gap"),
    ("at 7 p.m. sharp", "at|7 p.m.|sharp"),
    ("Quoi ? « Oui » !", "Quoi ?|« Oui » !"),
    ("wait ... what", "wait ...|what"),
    ("super\u200bcalifragilistic", "super|califragilistic"),
    ("one\ntwo", "one|two"),
    ("z\u00a0q", "z\u00a0q"),
]
"""Texts that the tailoring touches: a bar where a row may end."""


@pytest.mark.parametrize(("text", "wanted"), TAILORED)
def test_tailoring(text: str, wanted: str) -> None:
    """Dashes, hyphens, slashes, units and marks after a space stay with the word they belong to."""
    assert "|".join(piece.text for piece in pieces(text)) == wanted


def test_line_feed_forces() -> None:
    """A line feed ends the row, a space only allows it to end, and U+200B allows it without a space."""
    parts = pieces("a b\nc\u200bd")

    assert [(part.text, part.spaced, part.forced) for part in parts] == [
        ("a", True, False),
        ("b", False, True),
        ("c", False, False),
        ("d", False, False),
    ]


@given(st.text(alphabet="ab-—/ 5m.!?“”'\n\u200b", max_size=25))
def test_pieces_carry_every_character(text: str) -> None:
    """Whatever the text, its pieces hold all that is drawn, in order, and know where they start."""
    parts = pieces(text)

    assert [c for part in parts for c in part.text if not c.isspace() and c != "\u200b"] == [
        c for c in text if not c.isspace() and c != "\u200b"
    ]
    assert all(text[part.start :].startswith(part.text) for part in parts)
