"""Checks of a whole book: told once, alike over all spreads, and as the cast says."""

from dataclasses import replace

import numpy as np
import pytest

from lettering.book.accepted import Accepted
from lettering.book.cast import Character
from lettering.book.line import Joint, Line
from lettering.checks.accept import accept, check_accepted
from lettering.checks.alike import check_alike
from lettering.checks.cast import check_cast
from lettering.checks.catalogue import finding
from lettering.checks.check import check_book, check_spread
from lettering.checks.drawn import DrawnLine, drawn
from lettering.checks.even import check_even
from lettering.checks.finished import FinishedLine
from lettering.checks.reading import check_capitals
from lettering.checks.room import check_apart
from lettering.checks.strokes import breaks, check_strokes, thinnest
from lettering.checks.tail import check_tails
from lettering.errors import BookError
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from lettering.hand.hands import Hands
from lettering.setting.stack import SetGlyph
from tests.checks.finished import BAND, BOOK, SPREAD, clean, codes, hand, hands, moved, spoiled
from tests.typeface_hand import typeface_hand


def test_a_size_that_could_be_larger_is_told_once_a_book() -> None:
    """Three lines of one size, a little below the target, are one finding that counts them."""
    found = check_book([clean()], BOOK, hands(), replace(BAND, x_target=5.0))
    wanted = [one for one in found if one.code == "size-wanted"]

    assert [(one.where, one.measured, one.wanted) for one in wanted] == [("the book", 4.2, 5.0)]
    assert wanted[0].message.startswith("3 of 3 plain lines")


def test_a_bubble_with_another_line_is_not_like_the_others() -> None:
    """Of three plain bubbles the one with a thicker line is found, and no other."""
    thick = spoiled(2, lambda line: replace(line, bubble=line.bubble and replace(line.bubble, line_mm=0.9)))
    found = [one for one in check_book([thick], BOOK, hands(), BAND) if one.code == "voices-alike"]

    assert [(one.where, one.measured) for one in found] == [("pages 4-5, line 2", 0.9)]


def airy(air: float, letters: int = 4) -> FinishedLine:
    """Return a line whose few letters have so many mm of air on all sides."""
    line = clean().lines[0]
    glyphs = line.stack.rows[0].glyphs[:letters]
    stack = replace(line.stack, rows=(replace(line.stack.rows[0], glyphs=glyphs),))
    ring = stack.ink.inset(-air)
    corners = [(ring.x0, ring.y0), (ring.x1, ring.y0), (ring.x1, ring.y1), (ring.x0, ring.y1)]
    assert line.bubble is not None
    body = Contour.polygon(np.array(corners))
    return replace(line, stack=stack, bubble=replace(line.bubble, body=body, tails=()))


@pytest.mark.parametrize("thickness", [0.05, 0.1, 0.15])
def test_the_width_of_the_thinnest_stroke_is_told(thickness: float) -> None:
    """A bar of a known width is measured to half a hundredth of a millimetre."""
    assert thinnest(bar(thickness), 0.5 * 25.4 / 72) == pytest.approx(thickness, abs=0.006)


def test_a_hand_of_capitals_alone_is_warned_of() -> None:
    """Without its small letters a hand is told to have none, once for the book; with them nothing is said."""
    whole = hand()
    capitals = replace(whole, takes={c: takes for c, takes in whole.takes.items() if not c.islower()})

    assert list(check_capitals(Hands(whole))) == []
    (found,) = check_capitals(Hands(whole, {"toad": capitals, "heron": capitals}))
    assert (found.code, found.where, found.measured) == ("capitals", "the book", 0)


@pytest.mark.parametrize(("air", "found"), [(3.0, False), (3.5, False), (3.8, True), (2.2, True)])
def test_bubbles_of_like_size_have_like_air(air: float, found: bool) -> None:
    """Beside bubbles with 3 mm of air one with a quarter more is out of tune, one with a sixth is not."""
    spread = replace(clean(), lines=tuple(airy(mm) for mm in (3.0, 3.0, 3.0, air)))
    (*_, last) = drawn(spread)

    assert [one.measured for one in check_alike(drawn(spread))] == ([last_air(last)] if found else [])


def test_a_lone_mark_is_as_airy_as_its_body_is_round() -> None:
    """One letter that is narrower than twice its air is no judge of the others, nor judged by them."""
    spread = replace(clean(), lines=(*(airy(3.0) for _ in range(3)), airy(4.0, letters=1)))

    assert list(check_alike(drawn(spread))) == []


def last_air(line: DrawnLine) -> float:
    """Return the air of a line of `airy`, to a thousandth: from the letter's box to the body's box."""
    return round(line.ink.y0 - line.body.bounds.y0, 3)


@pytest.mark.parametrize(("words", "found"), [(25, 0), (26, 1)])
def test_a_spread_that_says_far_more_is_found(words: int, found: int) -> None:
    """Beside spreads of 10 words one of 25 may stand (2.5 times as many), one of 26 is out of tune."""
    counts = (10, 10, 10, words)
    spreads = tuple(
        replace(SPREAD, pages=(2 * k + 2, 2 * k + 3), lines=(Line(who=("wren",), says="so " * count),))
        for k, count in enumerate(counts)
    )
    findings = list(check_even(replace(BOOK, spreads=spreads)))

    assert [(one.code, one.where, one.measured) for one in findings] == [
        ("spread-words", "pages 8-9", float(words))
    ][:found]
    assert list(check_even(replace(BOOK, spreads=spreads[1:]))) == []


def figures_of(heights: dict[str, float]) -> list[str]:
    """Return the messages on heights when five characters are drawn 30 mm for each unit of `heights`."""
    cast = tuple(Character(who, who.title(), 30.0) for who in heights)
    figures = tuple(
        replace(SPREAD.figures[0], who=who, box=Rect.sized(60 * i, 100, 40, 30 * height), face=None)
        for i, (who, height) in enumerate(heights.items())
    )
    book = replace(BOOK, cast=cast, spreads=(replace(SPREAD, figures=figures, lines=()),))
    return [one.message for one in check_cast(book)]


def test_a_figure_out_of_its_height_is_found() -> None:
    """One figure half as tall again as the cast says is found; a quarter more may be a jump."""
    assert figures_of({"wren": 1.0, "toad": 1.0, "mole": 1.25}) == []
    (message,) = figures_of({"wren": 1.0, "toad": 1.0, "mole": 1.5})
    assert message.startswith("mole is drawn 1.50 times")


def test_two_figures_do_not_tell_which_is_off() -> None:
    """Of two figures that disagree neither is blamed."""
    assert figures_of({"wren": 1.0, "toad": 2.0}) == []


def test_a_cast_out_of_order_is_found() -> None:
    """A cast that lists the second speaker first is pointed out."""
    cast = (Character("toad", "Toad"), Character("wren", "Wren"))
    found = list(check_cast(replace(BOOK, cast=cast)))

    assert [one.code for one in found] == ["cast-order"]
    assert list(check_cast(replace(BOOK, cast=cast[::-1]))) == []


def bar(thickness: float) -> SetGlyph:
    """Return a dumb-bell: two squares of 2 mm joined by a bar of `thickness` mm."""
    half = thickness / 2
    upper = [(0, -1), (2, -1), (2, -half), (4, -half), (4, -1), (6, -1)]
    corners = [*upper, *((x, -y) for x, y in reversed(upper))]
    path = Path((Contour.polygon(np.array(corners, dtype=float)),))
    return SetGlyph(char="I", take="I", drawn=path, ink=path.bounds)


@pytest.mark.parametrize(("thickness", "thin"), [(0.17, True), (0.18, False), (1.0, False)])
def test_a_stroke_below_half_a_point_breaks(thickness: float, thin: bool) -> None:
    """Half a point is 0.176 mm (0.5 x 25.4 / 72): a thinner bar is found, a thicker one is not."""
    assert breaks(bar(thickness), 0.5 * 25.4 / 72) == thin


def test_a_thin_stroke_is_told_once_a_hand() -> None:
    """Two hands name their takes alike: one thin stroke in each is two findings, in one hand a single one."""

    def thin(line: FinishedLine) -> FinishedLine:
        row = replace(line.stack.rows[0], glyphs=(bar(0.1),))
        return replace(line, stack=replace(line.stack, rows=(row,)))

    spread = replace(clean(), lines=tuple(map(thin, clean().lines)))
    both = Hands(hand(), {"toad": typeface_hand("delius")})

    assert [one.where for one in check_strokes([spread], hands())] == ["pages 4-5, line 1"]
    assert [one.where for one in check_strokes([spread], both)] == ["pages 4-5, line 1", "pages 4-5, line 2"]


def test_a_descender_near_the_row_below_is_warned_of() -> None:
    """A row moved up until its letters nearly meet those above comes too near."""
    line = next(line for line in clean().lines if len(line.stack.rows) > 1)

    def squeezed(one: FinishedLine) -> FinishedLine:
        upper, lower, *rest = one.stack.rows
        up = max(g.ink.y1 for g in upper.glyphs) - min(g.ink.y0 for g in lower.glyphs) + 0.15
        glyphs = tuple(g.moved(Vector(0, up)) for g in lower.glyphs)
        # Straight below one another the lowest and the highest letter are nearest.
        low = max(upper.glyphs, key=lambda g: g.ink.y1)
        high = min(glyphs, key=lambda g: g.ink.y0)
        across = Vector(low.ink.centre.x - high.ink.centre.x, 0)
        alone = high.moved(across)
        rows = (replace(upper, glyphs=(low,)), replace(lower, glyphs=(alone,)), *rest)
        return replace(one, stack=replace(one.stack, rows=rows))

    assert "rows-near" in codes(spoiled(line.number, squeezed))


def test_joined_bubbles_may_meet_but_not_cover_words() -> None:
    """Two bubbles that the book joins share paper without a finding, until one lies on the other's words."""
    first = clean().lines[1]
    assert first.bubble is not None
    body = first.bubble.body.bounds
    third = replace(clean().lines[2], line=Line(who=("toad",), says="I play the drum.", joint="touching"))
    assert third.bubble is not None
    half = third.bubble.body.bounds.height / 2
    touching = moved(third, Point(body.centre.x, body.y1 + half - 1.0))
    covering = moved(third, body.centre)

    for line, wanted in ((touching, []), (covering, ["overlap"])):
        spread = replace(clean(), lines=(*clean().lines[:2], line))
        assert [one.code for one in check_apart(drawn(spread))] == wanted


def test_a_reply_that_hides_a_tail_is_found() -> None:
    """A bubble may lie against the one before, not on its tail's foot; one on a neck may bear that tail."""
    first = clean().lines[0]
    assert first.bubble is not None
    foot = first.bubble.tails[0].root
    third = replace(clean().lines[2], line=Line(who=("toad",), says="I play the drum.", joint="touching"))
    assert third.bubble is not None
    body = third.bubble.body.bounds
    hiding = replace(moved(third, Point(foot.x, foot.y + body.height / 2 - 1.0)), number=2)
    wanted: dict[Joint, list[str]] = {"touching": ["tail-crosses"], "neck": []}
    for joint, codes_ in wanted.items():
        joined = replace(hiding, line=replace(hiding.line, joint=joint))
        one, other = drawn(replace(clean(), lines=(first, joined)))

        assert [found.code for found in check_tails(one, [other])] == codes_


def test_a_sound_takes_the_room_of_its_letters_only() -> None:
    """Lettering without a bubble is called so, and a figure between its letters is not covered."""
    sound = spoiled(1, lambda line: replace(moved(line, Point(70, 180)), bubble=None))
    found = [one for one in check_spread(sound, hands(), BAND) if one.code == "figure"]

    assert found[0].message.startswith("the lettering covers")


def test_accepted_findings_stay_with_their_reason() -> None:
    """An acceptance marks what it names by code, spread and line, and nothing else."""
    found = [
        finding("tangent", "pages 4-5, line 2", "near."),
        finding("tangent", "pages 4-5, line 22", "near."),
        finding("tangent", "pages 6-7, line 2", "near."),
        finding("size-wanted", "the book", "small."),
    ]
    one = Accepted(code="tangent", reason="It may touch.", pages=(4, 5), line=2)
    spread = Accepted(code="tangent", reason="Crowded on purpose.", pages=(4, 5))
    book = Accepted(code="size-wanted", reason="The editor chose it.")

    assert [f.accepted for f in accept(found, [one])] == ["It may touch.", None, None, None]
    assert [f.accepted for f in accept(found, [one, spread, book])] == [
        "It may touch.", "Crowded on purpose.", None, "The editor chose it."
    ]  # fmt: skip
    assert not finding("size", "x", "small.").accepted
    assert finding("size", "x", "small.").is_fault


def test_an_acceptance_of_nothing_is_told() -> None:
    """What is accepted and no longer found is a note; a code that no check has is refused."""
    accepted = [Accepted(code="tangent", reason="Once so.", pages=(4, 5), line=2)]
    (note,) = check_accepted([], accepted)

    assert (note.code, note.severity, note.where) == ("accept-unused", "note", "pages 4-5, line 2")
    with pytest.raises(BookError, match=r"book\.yaml:9:5: no check is called 'tangnt'.*'tangent'"):
        accept([], [replace(accepted[0], code="tangnt", place="book.yaml:9:5")])
