"""What the page asks to be changed in the book file and in the hand, by name."""

from collections.abc import Callable
from typing import Any

from lettering.errors import LetteringError
from lettering.steps import book_changes, figure_changes
from lettering.steps.table_view import point_of, rect_of
from lettering.table import hand_edits
from lettering.table.bodies import numbers, text, whole
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
    work.edit(
        f"the figure of {who}",
        lambda t: figure_changes.figure(
            t,
            spread,
            who,
            rect_of(box),
            number=number,
            face=rect_of(face) if face else None,
            mouth=point_of(mouth) if mouth else None,
        ),
        spread=spread,
    )


def _without_figure(work: Work, given: Given) -> None:
    spread, who, number = whole(given, "spread"), text(given, "who", 200), whole(given, "number")
    work.edit(
        f"the figure of {who} taken out",
        lambda t: figure_changes.without_figure(t, spread, who, number=number),
        spread=spread,
    )


def _copied_figures(work: Work, given: Given) -> None:
    spread, source = whole(given, "spread"), whole(given, "source")
    if source not in range(len(work.book.book.spreads)):
        raise LetteringError("there is no such spread.")
    work.edit("figures copied", lambda t: figure_changes.copied_figures(t, spread, source), spread=spread)


def _keep_clear(work: Work, given: Given) -> None:
    spread, number, box = whole(given, "spread"), whole(given, "number"), numbers(given, "box", 4)
    work.edit(
        "a place to keep clear",
        lambda t: figure_changes.keep_clear(t, spread, number, rect_of(box) if box else None),
        spread=spread,
    )


def _without_art(work: Work, given: Given) -> None:
    spread = whole(given, "spread")
    work.edit("art taken off", lambda t: book_changes.art(t, spread, None), spread=spread)


def _book_field(work: Work, given: Given) -> None:
    name, value = text(given, "name", 40), text(given, "value", 400)
    work.edit(name.replace("_", " "), lambda t: book_changes.book_field(t, name, value))


def _character(work: Work, given: Given) -> None:
    key = text(given, "key", 100)
    name = text(given, "name", 200) if "name" in given else None
    height = text(given, "height", 40) if "height" in given else None
    work.edit(f"{key} in the cast", lambda t: book_changes.character(t, key, name=name, height=height))


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
