"""Quotation marks by language, against the Unicode locale data in ICU."""

import icu
import pytest

from lettering.setting.quotes import QUOTES, quoted


@pytest.mark.parametrize("language", sorted(QUOTES))
def test_marks_are_those_of_the_locale_data(language: str) -> None:
    """The table holds the delimiters of Unicode CLDR, as ICU carries them."""
    data, kind = icu.LocaleData(language), icu.ULocaleDataDelimiterType
    marks = QUOTES[language]

    assert marks.outer == (data.getDelimiter(kind.QUOTATION_START), data.getDelimiter(kind.QUOTATION_END))
    assert marks.inner == (
        data.getDelimiter(kind.ALT_QUOTATION_START),
        data.getDelimiter(kind.ALT_QUOTATION_END),
    )


@pytest.mark.parametrize(
    ("typed", "language", "drawn"),
    [
        ('"No!" said Wren.', "en-GB", "“No!” said Wren."),
        ("She said \"call it 'Moon'\".", "en", "She said “call it ‘Moon’”."),
        ("Don't! 'Tis the dogs' cake.", "en", "Don’t! ’Tis the dogs’ cake."),
        ('"Komm!" — "Nein."', "de", "„Komm!“ — „Nein.“"),
        ('("Si")', "it", "(«Si»)"),
        ('"Hej"', "sv", "”Hej”"),
        ('He said "stop', "en", "He said “stop"),
        ("“Typed” as ‘meant’", "fr", "“Typed” as ‘meant’"),
    ],
)
def test_straight_quotes_turn(typed: str, language: str, drawn: str) -> None:
    """Straight quotes become the language's marks, apostrophes stay apostrophes (trade rules, no source)."""
    assert quoted(typed, language) == drawn
    assert len(drawn) == len(typed)


def test_an_unlisted_language_has_english_marks() -> None:
    """A language without an entry is set with English marks rather than with straight ones."""
    assert quoted('"a"', "cy") == "“a”"
