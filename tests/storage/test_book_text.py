"""The book file as text: words in YAML, and edits that touch only their own bytes."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from lettering.storage.book_text import Edit, edited, words_in_yaml

PRINTABLE = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Zl", "Zp")), min_size=1)


@given(PRINTABLE.map(lambda words: " ".join(words.split())).filter(bool), st.booleans())
def test_words_read_back_as_they_were(words: str, in_braces: bool) -> None:
    """PyYAML reads back, as text, whatever words are written."""
    written = words_in_yaml(words, in_braces=in_braces)
    row = f"k: {{says: {written}, voice: shout}}\n" if in_braces else f"k: {written}\n"
    read = yaml.load(row, Loader=yaml.BaseLoader)

    assert (read["k"]["says"] if in_braces else read["k"]) == words


@pytest.mark.parametrize("words", ["Who left a cello in the compost?", "No", "1.50", "It’s cake."])
def test_plain_words_stay_bare(words: str) -> None:
    """Quotation marks stand only where YAML asks for them."""
    assert words_in_yaml(words) == words


def test_edits_leave_every_other_character() -> None:
    """Edits are made at their places, insertions at one place in the order given."""
    edits = [Edit(4, 5, "X"), Edit(2, 2, "a"), Edit(2, 2, "b")]

    assert edited("0123456", edits) == "01ab23X56"


def test_edits_that_overlap_are_a_fault() -> None:
    """Two edits of one character cannot both be made."""
    with pytest.raises(ValueError, match="overlap"):
        edited("0123", [Edit(0, 2, ""), Edit(1, 3, "")])
