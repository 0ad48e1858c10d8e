"""Manuscripts: headings, speakers, narration and notes."""

import pytest

from lettering.book.manuscript import Paragraph, Speech, key_of, manuscript_of, pages_headed, speech
from lettering.errors import LetteringError


def paragraphs(*texts: str) -> list[Paragraph]:
    """Return plain paragraphs."""
    return [Paragraph(text=text, row=row) for row, text in enumerate(texts, 1)]


@pytest.mark.parametrize(
    ("text", "pages"),
    [
        ("Pages 4-5", (4, 5)),
        ("PAGES 4–5:", (4, 5)),
        ("pp. 6 and 7", (6, 7)),
        ("p. 8", (8,)),
        ("Page 12 / 13", (12, 13)),
        ("[Page 3]", (3,)),
        ("Spread 2", (4, 5)),
        ("SPREAD 2 (pages 6-7)", (6, 7)),
        ("Double-page spread 5", (10, 11)),
        ("Opening 1", (2, 3)),
        ("**Pages 4-5**", (4, 5)),
    ],
)
def test_headings_name_their_pages(text: str, pages: tuple[int, ...]) -> None:
    """The usual ways of heading a page or a spread are understood (common practice, no source)."""
    headed = pages_headed(Paragraph(text=text, row=1))

    assert headed == (pages, "")


@pytest.mark.parametrize(
    "text", ["Page by page she read.", "4-5", "Pages 5-4", "Spread 0", "Spread the jam."]
)
def test_narration_is_no_heading(text: str) -> None:
    """Words that only resemble a heading stay words."""
    assert pages_headed(Paragraph(text=text, row=1)) is None


def test_bare_numbers_head_a_spread_when_set_as_a_heading() -> None:
    """A heading of its own may consist of the page numbers alone."""
    assert pages_headed(Paragraph(text="4-5", row=1, heading=True)) == ((4, 5), "")


def test_words_behind_a_heading_are_the_first_line() -> None:
    """'Page 4: words' heads a page and says its first words."""
    found = manuscript_of(paragraphs("Page 4: The pond was still."), "m.txt")

    assert found.spreads[0].pages == (4,)
    assert found.spreads[0].lines[0].says == "The pond was still."


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("WREN: Who?", Speech(who=("WREN",), says="Who?")),
        ("**Wren:** Who?", Speech(who=("Wren",), says="Who?")),
        ("Mrs. Wren (shouting): Who?", Speech(who=("Mrs. Wren",), says="Who?", voice="shout")),
        ("Wren [aside]: Who?", Speech(who=(), says="Wren [aside]: Who?", voice="caption")),
        ("WREN and TOAD: Us!", Speech(who=("WREN", "TOAD"), says="Us!")),
        ('Toad (thinks): "Hm."', Speech(who=("Toad",), says="Hm.", voice="thought")),
        ("*Wren* *(shouting)*: Who?", Speech(who=("Wren",), says="Who?", voice="shout")),
        ("12:30 is late.", Speech(who=(), says="12:30 is late.", voice="caption")),
        ("At 12:30 it rains.", Speech(who=(), says="At 12:30 it rains.", voice="caption")),
        ("Mouse 2: Two!", Speech(who=("Mouse 2",), says="Two!")),
        ("NARRATOR: Night.", Speech(who=(), says="Night.", voice="caption")),
        ("SFX: Plop", Speech(who=(), says="Plop", voice="sound")),
        ("One rule: nobody sings.", Speech(who=(), says="One rule: nobody sings.", voice="caption")),
        ("“Yes,” said “No”", Speech(who=(), says="“Yes,” said “No”", voice="caption")),
    ],
)  # fmt: skip
def test_speech_is_told_from_narration(text: str, expected: Speech) -> None:
    """A capitalised name before a colon speaks, with the manner in brackets; the rest is narration."""
    assert speech(text) == expected


def test_notes_stand_before_the_line_they_are_for() -> None:
    """Brackets, italics and labelled notes are kept, never lettered."""
    pages = [
        *paragraphs("Pages 4-5", "[Dusk.]"),
        Paragraph(text="A lamp.", row=3, aside=True),
        *paragraphs("WREN: Who [points] there?", "Art note: no stars yet", "NOTE: ask Ann"),
    ]
    (spread,) = manuscript_of(pages, "m.txt").spreads

    assert [line.says for line in spread.lines] == ["Who there?"]
    assert spread.lines[0].notes == ("Dusk.", "A lamp.", "points")
    assert spread.notes == ("no stars yet", "ask Ann")


def test_facing_pages_headed_one_by_one_are_one_spread() -> None:
    """A left page, which has an even number, and the right one after it face each other."""
    found = manuscript_of(paragraphs("Page 4", "A.", "Page 5", "B.", "Page 7", "C.", "Page 8", "D."), "m.txt")

    assert [spread.pages for spread in found.spreads] == [(4, 5), (7,), (8,)]
    assert [line.says for line in found.spreads[0].lines] == ["A.", "B."]


@pytest.mark.parametrize("byline", ["by A. Writer", "Written and illustrated by A. Writer", "© A. Writer"])
def test_the_title_stands_above_the_author(byline: str) -> None:
    """The one short row above the first spread that does not name the author is the title."""
    found = manuscript_of(paragraphs("The Band", byline, "Pages 4-5", "A."), "m.txt")

    assert found.title == "The Band"


def test_the_cast_is_in_speaking_order() -> None:
    """Speakers are listed as they first speak, however their names are typed."""
    found = manuscript_of(paragraphs("Pages 4-5", "TOAD: Me.", "Mrs. Wren: And me.", "Toad: Us."), "m.txt")

    assert found.cast == {"toad": "Toad", "mrs-wren": "Mrs. Wren"}
    assert key_of("MRS. WREN") == "mrs-wren"


def test_a_manuscript_without_headings_is_refused_with_advice() -> None:
    """Words that no spread is headed for are not guessed about."""
    with pytest.raises(LetteringError, match="Pages 4-5"):
        manuscript_of(paragraphs("Once upon a time.", "WREN: Who?"), "m.txt")
