"""What the page asks to be changed in the book file and in the hand, by name."""

from collections.abc import Callable
from typing import Any

from lettering.errors import LetteringError
from lettering.steps import book_changes, figure_changes, own_hands
from lettering.steps.table_view import (
    character_view,
    field_view,
    figure_view,
    keep_clear_view,
    point_of,
    rect_of,
    spread_at,
)
from lettering.table import hand_edits
from lettering.table.bodies import as_seen, numbers, text, whole
from lettering.table.work import Work

Given = dict[str, Any]


def edit(work: Work, given: Given) -> None:
    """Make the change that `given` names; raises LetteringError, and changes nothing, when it cannot be."""
    kind = text(given, "kind")
    if kind not in KINDS:
        raise LetteringError(f"nothing is called '{kind}' here.")
    KINDS[kind](work, given)


def _words(work: Work, given: Given) -> None:
    spread, line = whole(given, "spread"), whole(given, "line")
    says, was = text(given, "says"), text(given, "was")
    work.edit(
        f"words of line {line}",
        lambda t: book_changes.words(t, spread, line - 1, says, was=was),
        spread=spread,
        settle=True,
    )


def _line_field(work: Work, given: Given) -> None:
    spread, line = whole(given, "spread"), whole(given, "line")
    name, value, was = text(given, "name"), text(given, "value"), text(given, "was")
    work.edit(
        f"{name} of line {line}",
        lambda t: book_changes.line_field(t, spread, line - 1, name, value, was=was),
        spread=spread,
        settle=True,
    )


def _speaker(work: Work, given: Given) -> None:
    spread, line = whole(given, "spread"), whole(given, "line")
    who, was = text(given, "who", 200), text(given, "was")
    work.edit(
        f"speaker of line {line}",
        lambda t: book_changes.speaker(t, spread, line - 1, who, was=was),
        spread=spread,
        settle=True,
    )


def _with_line(work: Work, given: Given) -> None:
    spread, who, says = whole(given, "spread"), text(given, "who", 200), text(given, "says")
    work.edit("a new line", lambda t: book_changes.with_line(t, spread, who, says), spread=spread)


def _without_line(work: Work, given: Given) -> None:
    spread, line, was = whole(given, "spread"), whole(given, "line"), text(given, "was")
    work.edit(
        f"line {line} taken out",
        lambda t: book_changes.without_line(t, spread, line - 1, was=was),
        spread=spread,
    )


def _figure(work: Work, given: Given) -> None:
    spread, who, number = whole(given, "spread"), text(given, "who", 200), whole(given, "number")
    box, face, mouth = numbers(given, "box", 4), numbers(given, "face", 4), numbers(given, "mouth", 2)
    if box is None:
        raise LetteringError("a figure has a box.")

    def changed(now: str) -> str:
        as_seen(given, figure_view(spread_at(work.book, spread), who, number), f"the figure of {who}")
        return figure_changes.figure(
            now,
            spread,
            who,
            rect_of(box),
            number=number,
            face=rect_of(face) if face else None,
            mouth=point_of(mouth) if mouth else None,
        )

    work.edit(f"the figure of {who}", changed, spread=spread)


def _without_figure(work: Work, given: Given) -> None:
    spread, who, number = whole(given, "spread"), text(given, "who", 200), whole(given, "number")

    def changed(now: str) -> str:
        as_seen(given, figure_view(spread_at(work.book, spread), who, number), f"the figure of {who}")
        return figure_changes.without_figure(now, spread, who, number=number)

    work.edit(f"the figure of {who} taken out", changed, spread=spread)


def _copied_figures(work: Work, given: Given) -> None:
    spread, source = whole(given, "spread"), whole(given, "source")
    work.edit("figures copied", lambda t: figure_changes.copied_figures(t, spread, source), spread=spread)


def _keep_clear(work: Work, given: Given) -> None:
    spread, number, box = whole(given, "spread"), whole(given, "number"), numbers(given, "box", 4)

    def changed(now: str) -> str:
        as_seen(given, keep_clear_view(spread_at(work.book, spread), number), "this place")
        return figure_changes.keep_clear(now, spread, number, rect_of(box) if box else None)

    work.edit("a place to keep clear", changed, spread=spread)


def _without_art(work: Work, given: Given) -> None:
    spread = whole(given, "spread")
    work.edit("art taken off", lambda t: book_changes.art(t, spread, None), spread=spread)


def _book_field(work: Work, given: Given) -> None:
    name, value = text(given, "name", 40), text(given, "value", 400)
    label = name.replace("_", " ")

    def changed(now: str) -> str:
        as_seen(given, field_view(work.book.book, name), f"the {label}")
        return book_changes.book_field(now, name, value)

    work.edit(label, changed)


def _character(work: Work, given: Given) -> None:
    key = text(given, "key", 100)
    fields = {name: text(given, name, 200) for name in ("name", "height", "hand") if name in given}

    def changed(now: str) -> str:
        cast = {one.key: character_view(one) for one in work.book.book.cast}
        for name in fields:
            as_seen(given, cast.get(key, {}).get(name), f"the {name} of {key}")
        if fields.get("hand"):
            _see_offered(work, key, fields["hand"])
        return book_changes.character(now, key, **fields)

    work.edit(f"the {' and '.join(fields)} of {key}", changed)


def _see_offered(work: Work, key: str, hand: str) -> None:
    """Raise LetteringError unless a character may be given this glyph set: none leads elsewhere."""
    book, base = work.book.book, work.path.parent
    if hand not in (*own_hands.offered(book, base), own_hands.new_hand(book, base, key)):
        raise LetteringError(
            "there is no such glyph set in the book's folder.", hand, "Choose one that is there."
        )


def _cast_order(work: Work, given: Given) -> None:
    key, to = text(given, "key", 100), whole(given, "to")
    work.edit("the order of the cast", lambda t: book_changes.cast_order(t, key, to))


KINDS: dict[str, Callable[[Work, Given], None]] = {
    "words": _words,
    "line-field": _line_field,
    "speaker": _speaker,
    "new-line": _with_line,
    "no-line": _without_line,
    "figure": _figure,
    "no-figure": _without_figure,
    "copy-figures": _copied_figures,
    "keep-clear": _keep_clear,
    "no-art": _without_art,
    "book": _book_field,
    "character": _character,
    "cast-order": _cast_order,
    **hand_edits.KINDS,
}
"""Every change by name."""
