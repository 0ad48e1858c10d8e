"""What the illustrator changes in a book file from the table, each change as text to text.

Only the characters of what is changed change. Each function raises LetteringError when what it is asked to
change is no longer what the asker saw, or would make the file unreadable.
"""

import re
from dataclasses import replace

from lettering.book.book import Book, Spread
from lettering.book.cast import Figure
from lettering.book.line import CAPTION_FRAMES, JOINTS, SIDES, VOICES
from lettering.book.manuscript import Speech
from lettering.errors import LetteringError
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.storage.book_file import book_of
from lettering.storage.book_outline import LineOutline, outline
from lettering.storage.book_places import Place, entry_rows, with_value, without
from lettering.storage.book_text import Edit, edited, line_rows, words_in_yaml

FIELDS: dict[str, Place] = {
    "title": ("title",),
    "language": ("language",),
    "reader_age": ("reader_age",),
    "width": ("page", "width"),
    "height": ("page", "height"),
    "bleed": ("page", "bleed"),
    "safe": ("page", "safe"),
    "gutter": ("page", "gutter"),
    "x_height": ("lettering", "x_height"),
}
"""Single values of a book by name, and where they stand."""


class ConflictError(LetteringError):
    """What was to be changed has been changed by someone else meanwhile."""


def book_field(text: str, name: str, value: str) -> str:
    """Return the book file with one of FIELDS set; an empty `value` takes an optional one out."""
    if name not in FIELDS:
        raise LetteringError(f"a book has no field '{name}'.")
    value = " ".join(value.split())
    return _sound(
        text, with_value(text, FIELDS[name], words_in_yaml(value)) if value else without(text, FIELDS[name])
    )


def character(text: str, key: str, *, name: str | None = None, height: str | None = None) -> str:
    """Return the book file with a character's name or height set; one that is new joins the cast."""
    if key not in [one.key for one in _book(text).cast]:
        text = with_value(text, ("cast", key), f"{{name: {words_in_yaml(name or key, in_braces=True)}}}")
    elif name is not None:
        text = with_value(
            text, ("cast", key, "name"), words_in_yaml(" ".join(name.split()) or key, in_braces=True)
        )
    if height is not None:
        place = ("cast", key, "height")
        text = (
            with_value(text, place, words_in_yaml(height.strip(), in_braces=True))
            if height.strip()
            else without(text, place)
        )
    return _sound(text, text)


def cast_order(text: str, key: str, to: int) -> str:
    """Return the book file with a character's row at place `to` of the cast, from 0."""
    rows = entry_rows(text, ("cast",))
    keys = [name for name, _ in rows]
    if key not in keys or not 0 <= to < len(keys):
        raise ConflictError(f"{key} is not in the cast any more, or written in one row with others.")
    texts = [text[span.start : span.end] for _, span in rows]
    moved = texts.pop(keys.index(key))
    texts.insert(to, moved)
    pairs = zip(rows, texts, strict=True)
    return _sound(text, edited(text, [Edit(span.start, span.end, rows_) for (_, span), rows_ in pairs]))


def words(text: str, spread: int, line: int, says: str, *, was: str) -> str:
    """Return the book file with the words of line `line`, from 0, replaced; `was` is what was seen."""
    here = _line(text, spread, line, was)
    said = says.strip()
    if not said:
        raise LetteringError("a line says something.", hint="Take the line out instead.")
    new = words_in_yaml(said, in_braces=here.in_braces)
    return _sound(text, edited(text, [Edit(here.words.start, here.words.end, new)]))


def line_field(text: str, spread: int, line: int, name: str, value: str, *, was: str) -> str:
    """Return the book file with `voice`, `off`, `frame`, `joint` or `from` of a line set; empty is out."""
    allowed = {"voice": VOICES, "off": SIDES, "frame": CAPTION_FRAMES, "joint": JOINTS}
    if name not in (*allowed, "from") or (value and value not in allowed.get(name, (value,))):
        raise LetteringError(f"a line has no {name} '{value}'.")
    here = _line(text, spread, line, was)
    place: Place = ("spreads", spread, "lines", line, here.key)
    value = "" if (name, value) == ("voice", "plain") else value
    if not value:
        return _sound(text, without(text, (*place, name)))
    if _is_bare(text, here):
        said = f"{{says: {words_in_yaml(here.says, in_braces=True)}, {name}: {words_in_yaml(value)}}}"
        return _sound(text, edited(text, [Edit(here.words.start, here.words.end, said)]))
    return _sound(text, with_value(text, (*place, name), words_in_yaml(value)))


def speaker(text: str, spread: int, line: int, who: str, *, was: str) -> str:
    """Return the book file with another speaker of a line: a key, several joined by ' + ', or 'caption'."""
    here = _line(text, spread, line, was)
    rows = text[here.rows.start : here.rows.end]
    dashed = re.compile(rf"^(\s*-\s+){re.escape(words_in_yaml(here.key))}(\s*:)", re.MULTILINE)
    after, count = dashed.subn(lambda m: f"{m[1]}{words_in_yaml(who)}{m[2]}", rows, count=1)
    if not count:
        raise LetteringError(
            "the speaker of this line cannot be changed here.", hint="Change it in the file."
        )
    return _sound(text, edited(text, [Edit(here.rows.start, here.rows.end, after)]))


def with_line(text: str, spread: int, who: str, says: str) -> str:
    """Return the book file with a line more, behind the others of its spread."""
    here = outline(text, "book.yaml").spreads[spread]
    names = () if who in ("caption", "sound") else tuple(name.strip() for name in who.split("+"))
    said = Speech(who=names, says=" ".join(says.split()), voice="sound" if who == "sound" else "caption")
    rows = line_rows(replace(said, voice="plain") if names else said, here.line_indent)
    if not here.has_lines:
        rows = f"{' ' * here.indent}lines:\n{rows}"
    return _sound(text, edited(text, [Edit(here.lines_end, here.lines_end, rows)]))


def without_line(text: str, spread: int, line: int, *, was: str) -> str:
    """Return the book file without a line, and the comments right above it."""
    here = _line(text, spread, line, was)
    return _sound(text, edited(text, [Edit(here.rows.start, here.rows.end, "")]))


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
    have = _spread(text, spread).figures_of(who)
    place: Place = ("spreads", spread, "figures", who)
    given = Figure(who=who, box=box, face=face, mouth=mouth)
    if number < len(have):
        if have[number] == given:
            return text
        at = (*place, number) if _is_list(text, place) else place
        for name, value in (
            ("box", _mm_box(box)),
            ("face", face and _mm_box(face)),
            ("mouth", mouth and _mm(mouth)),
        ):
            text = with_value(text, (*at, name), value) if value else text
        return _sound(text, text)
    if not have:
        return _sound(text, with_value(text, place, _figure(given)))
    if _is_list(text, place):
        return _sound(text, with_value(text, (*place, len(have)), _figure(given)))
    both = ", ".join(map(_figure, (*have, given)))
    return _sound(text, with_value(text, place, f"[{both}]"))


def without_figure(text: str, spread: int, who: str, *, number: int = 0) -> str:
    """Return the book file without one figure of a character."""
    place: Place = ("spreads", spread, "figures", who)
    return _sound(text, without(text, (*place, number) if _is_list(text, place) else place))


def copied_figures(text: str, spread: int, source: int) -> str:
    """Return the book file with another spread's figures on this one, where it has none of a character.

    Those that a narrower spread has no room for stay behind.
    """
    book = _book(text)
    here, there = book.spreads[spread], book.spreads[source]
    reach = book.frame(here).trim
    for each in there.figures:
        if reach.contains(each.box) and not here.figures_of(each.who):
            number = len(_spread(text, spread).figures_of(each.who))
            text = figure(text, spread, each.who, each.box, number=number, face=each.face, mouth=each.mouth)
    return text


def keep_clear(text: str, spread: int, number: int, box: Rect | None) -> str:
    """Return the book file with place `number`, from 0, to keep clear: set, added at the end, or gone."""
    place: Place = ("spreads", spread, "keep_clear", number)
    if box is None:
        return _sound(text, without(text, place))
    count = len(_spread(text, spread).keep_clear)
    return _sound(text, with_value(text, (*place[:-1], min(number, count)), _mm_box(box)))


def art(text: str, spread: int, name: str | None) -> str:
    """Return the book file with the art of a spread named, relative to it; none takes it off."""
    place: Place = ("spreads", spread, "art")
    return _sound(text, with_value(text, place, words_in_yaml(name)) if name else without(text, place))


def _sound(before: str, after: str) -> str:
    """Return `after` when it is a book file; raises BookError, naming what is wrong with it."""
    book_of(after.encode(), "book.yaml", unfinished=True)
    return after


def _book(text: str) -> Book:
    return book_of(text.encode(), "book.yaml", unfinished=True).book


def _spread(text: str, index: int) -> Spread:
    spreads = _book(text).spreads
    if not 0 <= index < len(spreads):
        raise ConflictError("there is no such spread any more.")
    return spreads[index]


def _line(text: str, spread: int, line: int, was: str) -> LineOutline:
    """Return where a line stands; raises ConflictError when it is no longer what was seen."""
    spreads = outline(text, "book.yaml").spreads
    lines = spreads[spread].lines if 0 <= spread < len(spreads) else ()
    here = lines[line] if 0 <= line < len(lines) else None
    if here is None or here.says != was.strip():
        now = f"It now says '{here.says}'." if here else "It is gone."
        raise ConflictError("this line was changed meanwhile.", hint=f"{now} Nothing was overwritten.")
    return here


def _is_bare(text: str, line: LineOutline) -> bool:
    """Tell whether a line is its words alone, without fields."""
    head = text[: line.words.start].rstrip()
    return not line.in_braces and not head.endswith("says:")


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
