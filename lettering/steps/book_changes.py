"""What the illustrator changes in a book file from the table, each change as text to text.

Only the characters of what is changed change. Each function raises LetteringError when what it is asked to
change is no longer what the asker saw, or would make the file unreadable. Figures are in `figure_changes`.
"""

import re
from dataclasses import replace

from lettering.book.book import Book, Spread
from lettering.book.line import CAPTION_FRAMES, COURSES, JOINTS, SIDES, VOICES
from lettering.book.manuscript import Speech
from lettering.errors import BookError, LetteringError
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
LINE_FIELDS: dict[str, tuple[str, ...]] = {
    "voice": VOICES,
    "off": SIDES,
    "joint": JOINTS,
    "from": (),
    "frame": CAPTION_FRAMES,
    "along": COURSES,
    "outline": (),
}
"""What may be set of a line besides its words, and what it may be; nothing where the book file knows."""


class ConflictError(LetteringError):
    """What was to be changed has been changed by someone else meanwhile."""


def book_field(text: str, name: str, value: str) -> str:
    """Return the book file with one of FIELDS set; an empty `value` takes an optional one out."""
    if name not in FIELDS:
        raise LetteringError(f"a book has no field '{name}'.")
    value = " ".join(value.split())
    if name == "title" and not value:
        raise LetteringError("a book has a title.", hint="Write one; it may be a working title.")
    return sound(
        text, with_value(text, FIELDS[name], words_in_yaml(value)) if value else without(text, FIELDS[name])
    )


def character(
    text: str, key: str, *, name: str | None = None, height: str | None = None, hand: str | None = None
) -> str:
    """Return the book file with a character's name, height or hand set; one that is new joins the cast.

    An empty height or hand is taken out.
    """
    before = text
    if key not in [one.key for one in book_in(text).cast]:
        text = with_value(text, ("cast", key), f"{{name: {words_in_yaml(name or key, in_braces=True)}}}")
    elif name is not None:
        text = with_value(
            text, ("cast", key, "name"), words_in_yaml(" ".join(name.split()) or key, in_braces=True)
        )
    for field, value in (("height", height), ("hand", hand)):
        if value is not None:
            place, said = ("cast", key, field), value.strip()
            text = (
                with_value(text, place, words_in_yaml(said, in_braces=True)) if said else without(text, place)
            )
    return sound(before, text)


def cast_order(text: str, key: str, to: int) -> str:
    """Return the book file with a character's row at place `to` of the cast, from 0."""
    rows = entry_rows(text, ("cast",))
    keys = [name for name, _ in rows]
    if key not in keys or not 0 <= to < len(keys):
        raise ConflictError(
            f"{key} is not in the cast any more, or written in one row with others.",
            hint="Give each a row of its own in the book file.",
        )
    texts = [text[span.start : span.end] for _, span in rows]
    moved = texts.pop(keys.index(key))
    texts.insert(to, moved)
    pairs = zip(rows, texts, strict=True)
    return sound(text, edited(text, [Edit(span.start, span.end, rows_) for (_, span), rows_ in pairs]))


def words(text: str, spread: int, line: int, says: str, *, was: str) -> str:
    """Return the book file with the words of line `line`, from 0, replaced; `was` is what was seen."""
    here = _line(text, spread, line, was)
    said = says.strip()
    if not said:
        raise LetteringError("a line says something.", hint="Take the line out instead.")
    new = words_in_yaml(said, in_braces=here.in_braces)
    return sound(text, edited(text, [Edit(here.words.start, here.words.end, new)]))


def line_field(text: str, spread: int, line: int, name: str, value: str, *, was: str) -> str:
    """Return the book file with one of LINE_FIELDS of a line set; an empty `value` takes it out."""
    if name not in LINE_FIELDS or (value and value not in (LINE_FIELDS[name] or (value,))):
        raise LetteringError(f"a line has no {name} '{value}'.")
    here = _line(text, spread, line, was)
    place: Place = ("spreads", spread, "lines", line, here.key)
    value = "" if (name, value) == ("voice", "plain") else value
    if not value:
        return sound(text, without(text, (*place, name)))
    new = words_in_yaml(value, in_braces=True)
    if _is_bare(text, here):
        said = f"{{says: {words_in_yaml(here.says, in_braces=True)}, {name}: {new}}}"
        return sound(text, edited(text, [Edit(here.words.start, here.words.end, said)]))
    return sound(text, with_value(text, (*place, name), new))


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
    return sound(text, edited(text, [Edit(here.rows.start, here.rows.end, after)]))


def with_line(text: str, spread: int, who: str, says: str) -> str:
    """Return the book file with a line more, behind the others of its spread."""
    spread_in(text, spread)
    if not says.strip():
        raise LetteringError("a line says something.", hint="Write its words first.")
    here = outline(text, "book.yaml").spreads[spread]
    names = () if who in ("caption", "sound") else tuple(name.strip() for name in who.split("+"))
    said = Speech(who=names, says=" ".join(says.split()), voice="sound" if who == "sound" else "caption")
    rows = line_rows(replace(said, voice="plain") if names else said, here.line_indent)
    if not here.has_lines:
        rows = f"{' ' * here.indent}lines:\n{rows}"
    return sound(text, edited(text, [Edit(here.lines_end, here.lines_end, rows)]))


def without_line(text: str, spread: int, line: int, *, was: str) -> str:
    """Return the book file without a line, and the comments right above it."""
    here = _line(text, spread, line, was)
    return sound(text, edited(text, [Edit(here.rows.start, here.rows.end, "")]))


def art(text: str, spread: int, name: str | None) -> str:
    """Return the book file with the art of a spread named, relative to it; none takes it off."""
    place: Place = ("spreads", spread, "art")
    return sound(text, with_value(text, place, words_in_yaml(name)) if name else without(text, place))


def sound(before: str, after: str) -> str:
    """Return `after` when it is a book file; raises LetteringError, saying what is wrong with the change.

    Raises BookError when `before` was none already.
    """
    try:
        book_of(after.encode(), "book.yaml", unfinished=True)
    except BookError as error:
        book_of(before.encode(), "book.yaml", unfinished=True)
        # Nobody has seen the rows and columns of a file that is not written.
        one = error.problems[0]
        raise LetteringError(one.message, hint=f"{one.hint or ''} Nothing was changed.".strip()) from None
    return after


def book_in(text: str) -> Book:
    """Return the book that a book file describes, finished or not; raises BookError."""
    return book_of(text.encode(), "book.yaml", unfinished=True).book


def spread_in(text: str, index: int) -> Spread:
    """Return one of its spreads; raises ConflictError when it is gone."""
    spreads = book_in(text).spreads
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
