"""A finished spread as a drawing: the bubbles, and over them the lettering."""

from collections.abc import Iterator

from lettering.book.book import Book
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.drawing import BLACK, WHITE, Drawing, Group, Layer, Painted
from lettering.geometry.path import Path
from lettering.setting.stack import SetGlyph
from lettering.setting.words import shown


def lettering_layers(finished: FinishedSpread, book: Book) -> Drawing:
    """Return the lettering of a spread in two layers, without its art."""
    spread = finished.spread
    return Drawing(
        title=f"{book.title}, {spread.label}",
        description=f"Lettering of {spread.label}: {len(finished.lines)} lines in reading order.",
        language=book.language,
        trim=finished.frame.trim,
        bleed_mm=book.page.bleed_mm,
        layers=(
            Layer(id="bubbles", title="Bubbles", groups=tuple(_bubbles(finished, book))),
            Layer(id="lettering", title="Lettering", groups=tuple(_lettering(finished, book))),
        ),
    )


def _bubbles(finished: FinishedSpread, book: Book) -> Iterator[Group]:
    for line in finished.lines:
        if line.bubble is not None:
            yield Group(
                id=f"bubbles-{line.number}",
                title=f"Bubble of {speaker(line, book)}",
                items=(_bubble(line),),
                data=_data(line),
            )


def _bubble(line: FinishedLine) -> Painted:
    bubble = line.bubble
    assert bubble is not None
    return Painted(
        path=Path(bubble.inked) if bubble.inked else bubble.outline,
        fill=WHITE,
        stroke=BLACK,
        stroke_mm=bubble.pen_mm if bubble.inked else bubble.line_mm,
        stroke_dash_mm=bubble.dash_mm,
    )


def _lettering(finished: FinishedSpread, book: Book) -> Iterator[Group]:
    for line in finished.lines:
        yield Group(
            id=f"lettering-{line.number}",
            title=" ".join(shown(line.line.says).split()),
            items=tuple(_letter(glyph, line.stack.outline_mm) for glyph in line.stack.glyphs),
            data=_data(line),
        )


def _letter(glyph: SetGlyph, outline_mm: float) -> Painted:
    """Return a letter in ink, or white with a line of `outline_mm` round it."""
    if not outline_mm:
        return Painted(path=glyph.path, char=glyph.char)
    return Painted(path=glyph.path, char=glyph.char, fill=WHITE, stroke=BLACK, stroke_mm=outline_mm)


def _data(line: FinishedLine) -> dict[str, str]:
    return {"line": str(line.number), "who": " + ".join(line.line.who)}


def speaker(line: FinishedLine, book: Book) -> str:
    """Return the names of those who speak, or what the line is."""
    names = {character.key: character.name for character in book.cast}
    return " and ".join(names[who] for who in line.line.who) or line.line.voice.capitalize()
