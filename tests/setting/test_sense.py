"""What a row's end costs the reader."""

import pytest

from lettering.setting import sense


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Stop! Who", sense.SENTENCE),
        ("“Stop,” said", sense.SENTENCE),
        ("Well, toads", sense.CLAUSE),
        ("soup; toads", sense.CLAUSE),
        ("said— never", sense.CLAUSE),
        ("toads and", sense.CONJUNCTION),
        ("cello in", sense.PHRASE),
        ("toads were", sense.SUBJECT),
        ("eat cake", sense.OBJECT),
        ("red bucket", sense.ADJECTIVE),
        ("the bucket", sense.BOUND),
        ("my bucket", sense.BOUND),
        ("three buckets", sense.BOUND),
        ("in compost", sense.BOUND),
        ("we sang", sense.BOUND),
        ("will sing", sense.BOUND),
        ("Mr. Toad", sense.BOUND),
    ],
)
def test_the_order_of_joints(text: str, wanted: float) -> None:
    """Each kind of joint costs what the house's table says, from a sentence's end up to an article's noun."""
    assert sense.gap_costs(text.split(" "), "en") == (wanted,)


def test_pronouns_as_objects() -> None:
    """A pronoun after a verb or a preposition is no subject: a row may end after it."""
    assert sense.gap_costs(["saw", "it", "in"], "en")[1] == sense.PHRASE


@pytest.mark.parametrize(
    ("language", "text", "rows"),
    [
        (
            "de",
            "Wer hat ein Cello in den Kompost geworfen?",
            ["Wer hat ein Cello", "in den Kompost geworfen?"],
        ),
        (
            "fr",
            "Qui a laissé un violoncelle dans le compost ?",
            ["Qui a laissé un violoncelle", "dans le compost ?"],
        ),
        (
            "es",
            "¿Quién ha dejado un violonchelo en el compost?",
            ["¿Quién ha dejado un violonchelo", "en el compost?"],
        ),
        (
            "it",
            "Chi ha lasciato un violoncello nel giardino?",
            ["Chi ha lasciato un violoncello", "nel giardino?"],
        ),
        (
            "nl",
            "Wie heeft een cello op de composthoop gezet?",
            ["Wie heeft een cello", "op de composthoop gezet?"],
        ),
        ("pl", "Kto zostawił wiolonczelę na kompoście?", ["Kto zostawił wiolonczelę", "na kompoście?"]),
        ("sv", "Vem har ställt en cello i komposten?", ["Vem har ställt en cello", "i komposten?"]),
        ("fi", "Kuka jätti sellon kasaan, koska satoi?", ["Kuka jätti sellon kasaan,", "koska satoi?"]),
    ],
)
def test_languages(language: str, text: str, rows: list[str]) -> None:
    """In each language of the lists a question about a cello is parted before its prepositional phrase.

    The wanted rows are common practice, no source.
    """
    words = text.replace(" ?", "\u00a0?").split(" ")
    gaps = sense.gap_costs(words, language)
    best = min(range(2, len(words) - 1), key=lambda at: gaps[at - 1])

    assert [" ".join(words[:best]), " ".join(words[best:])] == [row.replace(" ?", "\u00a0?") for row in rows]


def test_unknown_languages_are_broken_by_their_marks() -> None:
    """Of a language without lists only the marks are known."""
    assert sense.gap_costs(["Iste,", "ama", "zor."], "xx-Latn") == (sense.CLAUSE, sense.OBJECT)


@pytest.mark.parametrize("word", ["yes.", "yes!”", "“yes”,", "yes?’", "Ja“", "»", "what…"])
def test_ends_of_sentences(word: str) -> None:
    """A full stop, a question, a cry, an ellipsis or a closing quotation mark ends what is said."""
    assert sense.ends_sentence(word)


@pytest.mark.parametrize("word", ["dogs’", "yes,", "so", "“so"])
def test_what_ends_no_sentence(word: str) -> None:
    """An apostrophe, a comma, a plain word and an opening quotation mark end nothing."""
    assert not sense.ends_sentence(word)
