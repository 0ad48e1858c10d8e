"""Lines find where they were before by their words and speaker, whatever their number."""

from hypothesis import given
from hypothesis import strategies as st

from lettering.book.book import Spread
from lettering.book.line import Line
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine, FormerSpread, match, match_spreads


def line(who: str, says: str) -> Line:
    """Return a line; no speaker is a caption."""
    return Line(who=tuple(filter(None, [who])), says=says, voice="plain" if who else "caption")


def was(who: str, says: str, x: float = 0.0) -> FormerLine:
    """Return where a line was."""
    speakers = tuple(filter(None, [who]))
    return FormerLine(who=speakers, says=says, rows=(says,), position=Point(x, 0), x_height_mm=4.0)


FORMER = (
    was("wren", "Who left a cello in the compost?", 1),
    was("toad", "Not me!", 2),
    was("", "Nobody.", 3),
)


def xs(found: tuple[FormerLine | None, ...]) -> list[float | None]:
    """Return where the lines were found."""
    return [each.position.x if each else None for each in found]


def test_the_same_lines_are_found_in_any_order() -> None:
    """Reordered lines keep their places."""
    now = [line("", "Nobody."), line("toad", "Not me!"), line("wren", "Who left a cello in the compost?")]

    assert xs(match(now, FORMER)) == [3, 2, 1]


def test_an_inserted_line_is_new_and_shifts_nothing() -> None:
    """Lines after an insertion stay where they were."""
    now = [line("wren", "Who left a cello in the compost?"), line("owl", "Hoo."), line("toad", "Not me!")]

    assert xs(match(now, FORMER)) == [1, None, 2]


def test_edited_words_keep_their_place() -> None:
    """A line whose words were edited is still that line, also beside a new line of the same speaker."""
    now = [line("wren", "Oh!"), line("wren", "Who left the cello in our compost?"), line("toad", "NOT me!")]

    assert xs(match(now, FORMER)) == [None, 1, 2]


def test_a_line_never_takes_the_place_of_another_speaker() -> None:
    """The same words said by someone else are a new line."""
    assert xs(match([line("owl", "Not me!")], FORMER)) == [None]


def test_a_line_told_anew_keeps_its_speaker_s_place() -> None:
    """Words wholly changed, as in another language, keep the place of the same speaker, in order."""
    former = (was("wren", "Good night, toad", 1), was("wren", "Sleep well", 2))

    assert xs(match([line("wren", "Bonne nuit"), line("wren", "Dors bien")], former)) == [1, 2]


def test_lines_that_are_alike_keep_their_order() -> None:
    """Two lines of the same words and speaker are matched first to first."""
    former = (was("wren", "No!", 1), was("wren", "No!", 2))

    assert xs(match([line("wren", "No!"), line("wren", "No!")], former)) == [1, 2]


@given(
    st.lists(st.sampled_from(["a b", "a c", "x", "yy y"]), max_size=6),
    st.lists(st.sampled_from(["a b", "a d", "zz"]), max_size=6),
)
def test_no_place_is_given_twice(now: list[str], then: list[str]) -> None:
    """Every former line answers to one line at most, and none is left over while a line is new."""
    former = tuple(was("wren", says, x) for x, says in enumerate(then))
    found = [x for x in xs(match([line("wren", says) for says in now], former)) if x is not None]

    assert len(set(found)) == len(found) == min(len(now), len(then))


def spread(pages: tuple[int, ...], *says: str) -> Spread:
    """Return a spread on which wren says a few things."""
    return Spread(pages=pages, lines=tuple(line("wren", words) for words in says))


def old(pages: tuple[int, ...], *says: str) -> FormerSpread:
    """Return a former spread on which wren said a few things."""
    return FormerSpread(pages, tuple(was("wren", words) for words in says))


def test_a_spread_is_found_on_other_pages() -> None:
    """When a spread is put in before, those behind it keep their places under new page numbers."""
    former = (old((4, 5), "a", "b"), old((6, 7), "c", "d"))
    now = (spread((4, 5), "new"), spread((6, 7), "a", "b"), spread((8, 9), "c", "d", "e"))

    assert match_spreads(now, former) == (None, former[0], former[1])


def test_a_spread_told_anew_is_found_by_its_pages() -> None:
    """With no line unchanged the pages decide; a single page never stands for a spread."""
    former = (old((4, 5), "a"), old((6,), "b"))

    assert match_spreads((spread((4, 5), "x"),), former) == (former[0],)
    assert match_spreads((spread((6, 7), "b"),), former) == (None,)
