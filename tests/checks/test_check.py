"""Every check is silent on a clean spread and speaks on a spoiled one."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from lettering.book.cast import Figure
from lettering.checks.check import check_book, check_spread
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.drawing import Colour
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from lettering.hand.hands import Hands
from lettering.placing.placement import Broken
from lettering.setting.stack import Row, SetGlyph
from tests.checks.finished import BAND, BOOK, clean, codes, hand, hands, moved, spoiled


def test_a_clean_spread_has_no_findings() -> None:
    """A spread placed with room to spare has neither errors nor warnings, and nor has its book."""
    assert codes(clean()) == set()
    assert [f for f in check_book([clean()], BOOK, hands(), BAND) if f.severity != "note"] == []


@pytest.mark.parametrize(
    ("to", "code"),
    [
        (Point(12, 60), "safe"),
        (Point(250, 60), "gutter"),
        (Point(70, 180), "figure"),
        (Point(190, 30), "keep-clear"),
    ],
)
def test_a_bubble_where_it_must_not_be_is_found(to: Point, code: str) -> None:
    """A bubble over the margin, the fold, a character or a place to keep clear is an error."""
    assert code in codes(spoiled(1, lambda line: moved(line, to)))


def test_bubbles_that_cover_each_other_are_found() -> None:
    """Two bubbles on one place overlap."""
    place = clean().lines[1].stack.ink.centre

    assert "overlap" in codes(spoiled(3, lambda line: moved(line, place + Vector(10, 3))))


def test_a_near_touch_is_warned_of() -> None:
    """A bubble that passes a character's box at one millimetre is a tangent, no error."""
    line, box = clean().lines[0], clean().spread.figures[0].box
    assert line.bubble is not None
    near = replace(clean().spread.figures[1], box=Rect(300, line.bubble.body.bounds.y1 + 1, 380, 220))
    over = moved(line, Point(340, line.stack.ink.centre.y))
    spread = replace(clean(), lines=(over,), spread=replace(clean().spread, figures=(near,)))
    found = [f for f in check_spread(spread, hands(), BAND) if f.code == "tangent"]

    assert box != near.box
    assert [f.severity for f in found] == ["warning"]
    assert found[0].measured == pytest.approx(1.0, abs=0.05)


def test_a_tail_that_ends_beside_another_character_is_warned_of() -> None:
    """With someone put where a tail ends it is said how near it comes to whom; without, nothing is said."""
    spread, line = clean(), clean().lines[0]
    assert line.bubble is not None
    tip = line.bubble.tails[0].tip
    stranger = Figure(who="mole", box=Rect(tip.x + 4, tip.y - 5, tip.x + 34, tip.y + 60))
    wren, toad = spread.spread.figures
    far = replace(wren, box=Rect.sized(38, tip.y + 40, 60, 60), face=None, mouth=None)
    beside = replace(spread, spread=replace(spread.spread, figures=(far, toad, stranger)))
    found = [f for f in check_spread(beside, hands(), BAND) if f.code == "tail-nearest"]

    assert "tail-nearest" not in codes(spread)
    assert [(f.severity, f.measured) for f in found] == [("warning", 4.0)]
    assert "from mole" in found[0].message


def test_lines_in_the_wrong_order_are_found() -> None:
    """Spoken second but standing first on the page is not plain."""
    second, third = clean().lines[1:]
    swapped = (clean().lines[0], moved(second, third.stack.ink.centre), moved(third, second.stack.ink.centre))

    assert "order" in codes(replace(clean(), lines=swapped))


def aimed_at(mouth: Point) -> FinishedSpread:
    """Return the clean spread with the toad's mouth somewhere else."""
    wren, toad = clean().spread.figures
    return replace(clean(), spread=replace(clean().spread, figures=(wren, replace(toad, mouth=mouth))))


def test_a_tail_that_misses_the_mouth_is_found() -> None:
    """A mouth at the other end of the figure is missed by more than ten degrees."""
    assert "tail-aim" in codes(aimed_at(Point(378, 145)))


def test_a_tail_in_a_face_is_found() -> None:
    """A face where a tail ends is touched."""
    wren, toad = clean().spread.figures
    bubble = clean().lines[1].bubble
    assert bubble is not None
    tip = bubble.tails[0].tip
    faced = replace(toad, face=Rect.sized(tip.x - 5, tip.y - 1, 10, 10))
    spread = replace(clean(), spread=replace(clean().spread, figures=(wren, faced)))

    assert "tail-face" in codes(spread)


def test_a_tail_over_another_character_is_found() -> None:
    """A tail over the box of one who does not speak crosses it."""
    bubble = clean().lines[1].bubble
    assert bubble is not None
    tip = bubble.tails[0].tip
    box = Rect.sized(tip.x - 6, tip.y - 2, 12, 12)
    mole = replace(clean().spread.figures[0], who="mole", box=box, mouth=None, face=None)
    spread = replace(clean().spread, figures=(*clean().spread.figures, mole))

    assert "tail-crosses" in codes(replace(clean(), spread=spread))


def test_a_bubble_without_its_tail_is_found() -> None:
    """One speaker and no tail is an error."""
    bare: Callable[[FinishedLine], FinishedLine] = lambda line: replace(  # noqa: E731
        line, bubble=line.bubble and replace(line.bubble, tails=())
    )

    assert "tail-missing" in codes(spoiled(1, bare))


def test_small_lettering_is_found_with_its_source() -> None:
    """Below the least size of the reader's age is an error that names the table's source."""
    small = spoiled(1, lambda line: replace(line, stack=replace(line.stack, x_height_mm=2.0)))
    found = [f for f in check_spread(small, hands(), BAND) if f.code == "size"]

    assert [(f.severity, f.measured, f.wanted, f.unit) for f in found] == [("error", 2.0, 3.5, "mm")]
    assert found[0].source == "M BA 1913"
    assert "one-size" in {f.code for f in check_book([small], BOOK, hands(), BAND)}


def test_words_that_differ_from_the_book_are_found() -> None:
    """Rows that carry other words than the line is an error."""
    line = clean().lines[0].line

    assert "words" in codes(spoiled(1, lambda one: replace(one, line=replace(line, says="Who left a harp?"))))


def glyphs_changed(line: FinishedLine, change: Callable[[list[SetGlyph]], list[SetGlyph]]) -> FinishedLine:
    """Return a line with the letters of its first row changed."""
    first, *rest = line.stack.rows
    row = Row(text=first.text, glyphs=tuple(change(list(first.glyphs))), baseline_mm=first.baseline_mm)
    return replace(line, stack=replace(line.stack, rows=(row, *rest)))


def test_letters_that_are_not_drawn_are_found() -> None:
    """A row that lost a letter does not carry its words."""
    assert "words" in codes(spoiled(1, lambda line: glyphs_changed(line, lambda g: g[1:])))


def test_characters_that_the_hand_lacks_are_listed() -> None:
    """A hand without a letter of the words lacks it, by name."""
    poor = replace(hand(), takes={c: t for c, t in hand().takes.items() if c != "W"})
    found = [f for f in check_spread(clean(), Hands(poor), BAND) if f.code == "missing"]

    assert len(found) == 1
    assert found[0].message.startswith("the hand patrick-hand lacks W.")
    assert "missing" not in {f.code for f in check_spread(clean(), Hands(hand(), {"toad": poor}), BAND)}


def test_letters_that_collide_are_found() -> None:
    """A letter pushed into its neighbour runs into it."""

    def pushed(glyphs: list[SetGlyph]) -> list[SetGlyph]:
        step = glyphs[0].ink.centre - glyphs[1].ink.centre
        one = glyphs[1]
        return [glyphs[0], one.moved(step), *glyphs[2:]]

    assert "collide" in codes(spoiled(1, lambda line: glyphs_changed(line, pushed)))


def test_a_take_repeated_side_by_side_is_warned_of() -> None:
    """Two equal neighbours drawn by one take, of which the hand has two, look typed."""
    letter = clean().lines[0].stack.rows[0].glyphs[0]
    doubled = spoiled(1, lambda line: glyphs_changed(line, lambda g: [letter, letter, *g[1:]]))
    rich = replace(hand(), takes=dict(hand().takes) | {letter.char: hand().takes[letter.char] * 2})

    assert "same-take" in {f.code for f in check_spread(doubled, Hands(rich), BAND)}


def test_pale_lettering_is_found() -> None:
    """Grey on white below 7 : 1 is too pale for young readers."""
    found = check_spread(clean(), hands(), BAND, ink=Colour(0x77, 0x77, 0x77))

    assert {f.wanted for f in found if f.code == "contrast"} == {7.0}


def test_thin_lines_are_warned_of() -> None:
    """A bubble's line below half a point may vanish in print."""
    thin = spoiled(
        1, lambda line: replace(line, bubble=line.bubble and replace(line.bubble, line_mm=0.1, inked=()))
    )

    assert "thin-line" in codes(thin)


def test_rules_given_up_are_one_error_by_name() -> None:
    """What placing could not keep is named with its lines."""
    broken = (Broken("figure", (2,), "toad's box"),)
    spread = replace(clean(), placed=replace(clean().placed, broken=broken, bound=clean().placed.score - 1))
    found = {f.code: f for f in check_spread(spread, hands(), BAND)}

    assert found["no-clean-layout"].severity == "error"
    assert "toad's box" in found["no-clean-layout"].message
    assert found["not-proven"].severity == "note"


@pytest.mark.parametrize(
    ("code", "wants"),
    [
        ("row-words", {"words_row": 2}),
        ("row-characters", {"chars_row": 9}),
        ("bubble-words", {"words_bubble": 3}),
        ("bubble-rows", {"rows_bubble": 1}),
        ("pitch", {"pitch_min_x": 9.0}),
    ],
)
def test_what_a_younger_reader_needs_is_a_warning(code: str, wants: dict[str, float]) -> None:
    """Too much at once, too tight or merely large enough is a warning with the wanted figure."""
    found = [f for f in check_spread(clean(), hands(), replace(BAND, **wants)) if f.code == code]  # type: ignore[arg-type]

    assert {f.severity for f in found} == {"warning"}
    assert {f.wanted for f in found} == set(wants.values())


def test_a_tail_over_the_fold_is_warned_of() -> None:
    """A tail whose bubble stands on the other page crosses the fold."""
    line = clean().lines[0]
    assert line.bubble is not None
    step = Point(250, 60) - line.bubble.tails[0].root.toward(line.bubble.tails[0].tip, 0.5)

    assert "tail-fold" in codes(spoiled(1, lambda one: moved(one, one.stack.ink.centre + step)))


def test_a_hand_of_capitals_needs_taller_letters() -> None:
    """Without lower case the cap height counts, and a quarter more is wanted (house default)."""
    capitals = replace(hand(), takes={c: t for c, t in hand().takes.items() if not c.islower()})
    small = spoiled(1, lambda line: replace(line, stack=replace(line.stack, x_height_mm=2.0)))
    found = [f for f in check_spread(small, Hands(capitals), BAND) if f.code == "size"]

    assert found[0].wanted == pytest.approx(1.25 * 3.5)
    assert "cap height" in found[0].message
