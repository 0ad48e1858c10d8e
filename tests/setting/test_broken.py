"""Lines broken for sense, shape and the reader's age."""

import math
from functools import cache
from itertools import combinations, pairwise

import numpy as np
import pytest

from lettering.errors import LetteringError
from lettering.setting import sense
from lettering.setting.breaking import Breaking
from lettering.setting.broken import breakings
from lettering.setting.opportunities import Piece, pieces
from lettering.setting.reading_age import ReadingBand, band_for
from tests.calls import calls

SPACE, PITCH = 0.6, 2.8
BAND = band_for((5, 5))


def broken(text: str, band: ReadingBand = BAND) -> tuple[Breaking, ...]:
    """Return the breakings of a text in letters of 0.95 x-heights."""
    parts = pieces(text)
    widths = np.array([0.95 * len(part.text) for part in parts])
    return breakings(parts, widths, space=SPACE, pitch=PITCH, language="en", band=band)


def rows(text: str, band: ReadingBand = BAND) -> list[str]:
    """Return the rows of the cheapest breaking."""
    parts = pieces(text)
    return [" ".join(p.text for p in parts[a : b + 1]) for a, b in broken(text, band)[0].rows]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Who left a cello in the compost?", ["Who left a cello", "in the compost?"]),
        ("Not me!", ["Not me!"]),
        (
            "Hush! Somebody is coming down the garden path.",
            ["Hush! Somebody is coming", "down the garden path."],
        ),
        (
            "We looked in the shed, but the trombone was not there.",
            ["We looked in the shed,", "but the trombone", "was not there."],
        ),
        ("If it rains\nwe play indoors.", ["If it rains", "we play indoors."]),
    ],
)
def test_rows_end_where_a_reader_breathes(text: str, wanted: list[str]) -> None:
    """Lines as they come in a picture book end their rows at the joints of their sense.

    The wanted rows are common practice, no source.
    """
    assert rows(text) == wanted


TEXTS = [
    "We put the cello on the compost, and nobody knew where it came from.",
    "I think the badger took it. He likes big wet old instruments so very much!",
    "Toad, Toad, Toad and the Toad\nToad the drum: we will not stop.",
    "“Go away,” said Wren—but the goose, who was deaf, did not.",
]


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("age", [4, 6])
def test_equal_to_trying_every_breaking(text: str, age: int) -> None:
    """For each number of rows no breaking of the line is cheaper, costs added up by themselves."""
    band = band_for((age, age))
    parts = pieces(text)[:12]
    widths = np.array([0.95 * len(part.text) for part in parts])
    found = breakings(parts, widths, space=SPACE, pitch=PITCH, language="en", band=band)
    best = {len(breaking.rows): breaking.cost for breaking in found}

    for m, cost in best.items():
        every = combinations(range(1, len(parts)), m - 1)
        least = min(whole_cost(parts, (0, *cuts, len(parts)), band) for cuts in every)
        assert cost == pytest.approx(least, abs=1e-9)


def whole_cost(parts: tuple[Piece, ...], cuts: tuple[int, ...], band: ReadingBand) -> float:
    """Return the cost of one breaking, from the description of the costs and not from the rows' tables."""
    stack = [parts[a:b] for a, b in pairwise(cuts)]
    texts = [" ".join(part.text for part in row) for row in stack]
    words = [len(text.split()) for text in texts]
    chars = [len("".join(p.text + " " * p.spaced for p in row).rstrip(" ")) for row in stack]
    if any(part.forced for row in stack for part in row[:-1]):
        return math.inf
    if any(
        len(r) > 1 and (w > 2 * band.words_row or c > 2 * band.chars_row)
        for r, w, c in zip(stack, words, chars, strict=True)
    ):
        return math.inf
    gaps = gap_costs(parts)
    cost = sum(0.0 if parts[at - 1].forced else gaps[at - 1] for at in cuts[1:-1])
    cost += sum(
        4 * max(0, w - band.words_row) + 0.5 * max(0, c - band.chars_row)
        for w, c in zip(words, chars, strict=True)
    )
    cost += 4.0 * max(0, len(stack) - band.rows_bubble)
    cost += sum(8.0 for a, b in pairwise(cuts) if misleads(parts, a, b))
    if len(stack) > 1 and words[-1] == 1 and len(sense.bare(texts[-1])) <= 4:
        cost += 6.0
    firsts = [sense.bare(text.split()[0]) for text in texts]
    cost += sum(4.0 for a, b in pairwise(firsts) if a == b)
    return cost + shape_cost(stack, parts)


@cache
def gap_costs(parts: tuple[Piece, ...]) -> tuple[float, ...]:
    """Return what ending a row after each piece costs."""
    return sense.gap_costs([part.text for part in parts], "en")


@cache
def misleads(parts: tuple[Piece, ...], a: int, b: int) -> bool:
    """Tell whether a row seems a finished sentence: it opens one, has a pronoun and two words, goes on."""
    opens = a == 0 or parts[a - 1].forced or sense.ends_sentence(parts[a - 1].text)
    if b == len(parts) or not opens or parts[b - 1].forced:
        return False
    known = sense.lexicon("en")
    words = [sense.bare(word) for part in parts[a:b] for word in part.text.split()]
    if not any(known.has(word, "pronoun") for word in words[:-2]):
        return False
    return sense.seems_finished([parts[b - 1].text, parts[b].text], "en")[0]


def shape_cost(stack: list[tuple[Piece, ...]], parts: tuple[Piece, ...]) -> float:
    """Return how far a stack is from a lens (superellipse of exponent 2.5) twice as wide as tall."""
    widths = [
        sum(0.95 * len(p.text) + SPACE * p.spaced for p in row) - SPACE * row[-1].spaced for row in stack
    ]
    m = len(stack)
    lens = [(1 - abs((k - (m - 1) / 2) / ((m + 0.5) / 2)) ** 2.5) ** 0.4 for k in range(m)]
    bends = [math.log(widths[k + 1] / widths[k]) - math.log(lens[k + 1] / lens[k]) for k in range(m - 1)]
    total = sum(0.95 * len(p.text) + SPACE * p.spaced for p in parts)
    return 8 * sum(bend**2 for bend in bends) + 4 * math.log(total / m / (m * PITCH) / 2) ** 2


@pytest.mark.parametrize("count", [5, 7, 9, 12])
def test_no_hourglass(count: int) -> None:
    """Where sense does not care, no row is shorter than both the row above and the row below it."""
    for breaking in broken(" ".join(["lalala", "pimpam"] * 6).rsplit(" ", 12 - count)[0], band_for((12, 12))):
        lengths = [b - a for a, b in breaking.rows]
        assert not any(
            upper > row < lower for upper, row, lower in zip(lengths, lengths[1:], lengths[2:], strict=False)
        )


def test_older_readers_get_longer_rows() -> None:
    """The same words stand in no more rows for a reader of 12 than for one of 5."""
    text = "We looked in the shed and under the stairs and behind the piano, but there was no trombone."

    assert len(rows(text, band_for((12, 12)))) < len(rows(text))


def test_twice_the_words_take_less_than_four_times_the_work() -> None:
    """Although any two places may end a row, breaking takes less than the square of the words, in calls."""
    text = " ".join(TEXTS[0].split() * 5).replace(".", "")
    words = [pieces(" ".join(text.split()[:count])) for count in (30, 60)]
    widths = [np.array([0.95 * len(part.text) for part in parts]) for parts in words]
    work = [
        calls(lambda p=p, w=w: breakings(p, w, space=SPACE, pitch=PITCH, language="en", band=BAND))
        for p, w in zip(words, widths, strict=True)
    ]

    assert [len(parts) for parts in words] == [30, 60]
    assert work[1] < 4 * work[0]


def test_a_novel_is_no_line() -> None:
    """A line of three hundred words is refused with advice, and one at the limit is still broken."""
    with pytest.raises(LetteringError, match=r"300 words.*Share the words"):
        broken("word " * 300)
    assert broken(" ".join(["toad and"] * 60))
