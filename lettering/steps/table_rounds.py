"""A former round of a book beside the book as it is: its lettering drawn again from what was sent."""

from collections.abc import Iterator

from lettering.drawing import BLACK, WHITE, Drawing, Group, Layer, Painted
from lettering.errors import LetteringError
from lettering.export.path_text import path_of
from lettering.export.svg import svg
from lettering.geometry.rect import Rect
from lettering.setting.words import shown
from lettering.steps.on_table import OnTable
from lettering.storage.rounds import RoundLine, RoundSpread, read_round

LINE_MM = 0.35
"""Width of a former bubble's line: a point, about the pen's (house default); rounds do not keep it."""


def round_drawing(state: OnTable, index: int, name: str) -> str:
    """Return the lettering of a spread as it was in the round `name`, as SVG.

    Raises LetteringError when there is no such round, or it has no spread of these pages.
    """
    spread = state.book.spreads[index]
    was = next((one for one in read_round(state.path, name).spreads if one.pages == spread.pages), None)
    if was is None:
        raise LetteringError(f"the round {name} has no {spread.label}.")
    return svg(
        Drawing(
            title=f"{spread.label} in the round {name}",
            description=f"Lettering of {spread.label} as it was sent: {len(was.lines)} lines.",
            language=state.book.language,
            trim=Rect(0.0, 0.0, *was.size),
            bleed_mm=state.book.page.bleed_mm,
            layers=(
                Layer(id="former-bubbles", title="Bubbles", groups=tuple(_bubbles(was, _line_mm(state)))),
                Layer(id="former-lettering", title="Lettering", groups=tuple(_lettering(was))),
            ),
        )
    )


def _line_mm(state: OnTable) -> float:
    """Return how thick outlines of bubbles are drawn in the book, for a round keeps where they run only."""
    every = (line.bubble for spread in state.spreads if spread for line in spread.lines)
    return next((bubble.line_mm for bubble in every if bubble), LINE_MM)


def _bubbles(was: RoundSpread, line_mm: float) -> Iterator[Group]:
    for number, line in enumerate(was.lines, 1):
        if line.bubble:
            bubble = Painted(path=path_of(line.bubble), fill=WHITE, stroke=BLACK, stroke_mm=line_mm)
            yield Group(id=f"former-bubbles-{number}", title=_words(line), items=(bubble,))


def _lettering(was: RoundSpread) -> Iterator[Group]:
    for number, line in enumerate(was.lines, 1):
        letters = Painted(path=path_of(line.lettering))
        yield Group(id=f"former-lettering-{number}", title=_words(line), items=(letters,))


def _words(line: RoundLine) -> str:
    return " ".join(shown(line.says).split())
