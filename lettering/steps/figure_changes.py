"""Where characters are and what must stay visible, changed in the book file from the table, text to text.

As in `book_changes` only the characters of what is changed change.
"""

from lettering.book.cast import Figure
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.steps.book_changes import book_in, sound, spread_in
from lettering.storage.book_places import Place, with_value, without


def figure(
    text: str,
    spread: int,
    who: str,
    box: Rect,
    *,
    number: int = 0,
    face: Rect | None = None,
    mouth: Point | None = None,
) -> str:
    """Return the book file with figure `number`, from 0, of a character as given; a new one is added.

    A face or a mouth that is not given stays as it was.
    """
    have = spread_in(text, spread).figures_of(who)
    place: Place = ("spreads", spread, "figures", who)
    given = Figure(who=who, box=box, face=face, mouth=mouth)
    if number < len(have):
        if have[number] == given:
            return text
        at = (*place, number) if _is_list(text, place) else place
        after = text
        for name, value in (
            ("box", _mm_box(box)),
            ("face", face and _mm_box(face)),
            ("mouth", mouth and _mm(mouth)),
        ):
            after = with_value(after, (*at, name), value) if value else after
        return sound(text, after)
    if not have:
        return sound(text, with_value(text, place, _figure(given)))
    if _is_list(text, place):
        return sound(text, with_value(text, (*place, len(have)), _figure(given)))
    both = ", ".join(map(_figure, (*have, given)))
    return sound(text, with_value(text, place, f"[{both}]"))


def without_figure(text: str, spread: int, who: str, *, number: int = 0) -> str:
    """Return the book file without one figure of a character."""
    place: Place = ("spreads", spread, "figures", who)
    return sound(text, without(text, (*place, number) if _is_list(text, place) else place))


def copied_figures(text: str, spread: int, source: int) -> str:
    """Return the book file with another spread's figures on this one, where it has none of a character.

    Those that a narrower spread has no room for stay behind.
    """
    book = book_in(text)
    here, there = spread_in(text, spread), spread_in(text, source)
    reach = book.frame(here).trim
    for each in there.figures:
        if reach.contains(each.box) and not here.figures_of(each.who):
            number = len(spread_in(text, spread).figures_of(each.who))
            text = figure(text, spread, each.who, each.box, number=number, face=each.face, mouth=each.mouth)
    return text


def keep_clear(text: str, spread: int, number: int, box: Rect | None) -> str:
    """Return the book file with place `number`, from 0, to keep clear: set, added at the end, or gone."""
    place: Place = ("spreads", spread, "keep_clear", number)
    if box is None:
        return sound(text, without(text, place))
    count = len(spread_in(text, spread).keep_clear)
    return sound(text, with_value(text, (*place[:-1], min(number, count)), _mm_box(box)))


def _is_list(text: str, place: Place) -> bool:
    """Tell whether the figures of a character are written as a list."""
    return without(text, (*place, 0)) != text


def _figure(given: Figure) -> str:
    parts = [f"box: {_mm_box(given.box)}"]
    parts += [f"face: {_mm_box(given.face)}"] if given.face else []
    parts += [f"mouth: {_mm(given.mouth)}"] if given.mouth else []
    return "{" + ", ".join(parts) + "}"


def _mm_box(box: Rect) -> str:
    return "[" + ", ".join(_number(v) for v in (box.x0, box.y0, box.width, box.height)) + "]"


def _mm(point: Point) -> str:
    return f"[{_number(point.x)}, {_number(point.y)}]"


def _number(value: float) -> str:
    return f"{round(value, 1) + 0.0:g}"
