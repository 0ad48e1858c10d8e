"""Whatever a book file holds, it is a book or is refused soon, in few words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.errors import BookError, Where
from lettering.storage.book_file import ReadBook, book_of
from tests.storage.book_texts import BOOK, problems, read, with_lines


def test_a_file_with_endless_problems_is_given_up() -> None:
    """After 200 problems reading stops, so that no file keeps the program busy for long."""
    head = BOOK[: BOOK.index("spreads:")]

    assert len(problems(head + "spreads:\n" + "  - a: b\n" * 1000)) == 200


def test_a_row_beyond_mending_is_told_without_trying_for_ever() -> None:
    """A row that stays broken with quotes round its words is given up at the second fault."""
    text = BOOK.replace("shout, from: 2}", "shout, f}': %sis").replace("80, 80], mouth:", '"[!` -[')

    assert all(problem.startswith("b.yaml:") and len(problem) < 500 for problem in problems(text))


@pytest.mark.timeout(30)
@pytest.mark.parametrize(
    "data",
    [
        b"a: " + b" " * 200_000 + b"*x*", b"- " * 100_000, b"a: *x*\n" * 30_000, b"a: '" + b"'" * 200_001,
        b"a: {" + b"b: *c*, " * 25_000 + b"}", b"a: b: " * 30_000, b"a: &a [x]\n" * 20_000,
    ],
    ids=["spaces", "dashes", "rows", "quotes", "braces", "colons", "anchors"],
)  # fmt: skip
def test_a_hostile_file_is_refused_soon_and_briefly(data: bytes) -> None:
    """Long rows and endless faults take seconds at most, and no message grows with the file."""
    assert all(len(problem) < 500 for problem in problems(data))


def either(data: bytes) -> ReadBook | BookError:
    """Return the book or the error; anything else raised is a fault."""
    try:
        return book_of(data, "b.yaml")
    except BookError as error:
        return error


@given(st.binary(max_size=200))
def test_any_bytes_give_a_book_or_its_problems(data: bytes) -> None:
    """No bytes whatever bring another exception."""
    assert either(data)


@given(st.data())
def test_a_damaged_book_gives_a_book_or_its_problems(data: st.DataObject) -> None:
    """A book file with pieces cut out, put in or moved never brings another exception."""
    text = BOOK
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, min(len(text), start + 30)))
        piece = data.draw(st.text("\t\n :-#*!&'\"[]{},|>%@`?aé0\u2028\u0000\ud800", max_size=6))
        text = text[:start] + piece + text[end:]

    result = either(text.encode("utf-8", errors="surrogatepass"))

    if isinstance(result, BookError):
        assert all(isinstance(problem.where, Where) for problem in result.problems)


@given(st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1).filter(lambda s: s.strip()))
def test_quoted_words_come_back_as_typed(words: str) -> None:
    """Any words in double quotes, with YAML's two escapes, are read without change."""
    escaped = words.replace("\\", "\\\\").replace('"', '\\"')
    if any(c in words for c in "\x85\u2028\u2029\ufeff\ufffe\uffff"):
        return  # what YAML 1.1 counts as an end of a row, or as no character

    assert read(with_lines(f'wren: "{escaped}"')).spreads[0].lines[0].says == words.strip()
