"""What a reader of the book's age can take in: size, room between rows, how much at once."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lettering.book.book import Book
from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread
from lettering.hand.hand import Hand
from lettering.setting.reading_age import ReadingBand
from lettering.units import points_to_mm

SIZE_SLACK_MM = 0.005
"""Sizes are held to a hundredth of a millimetre: no eye and no printer tells less apart."""

CAPITALS_ONLY = 1.25
"""A hand of capitals alone has a cap height of this many least x-heights (house default)."""


def check_reading(line: DrawnLine, hand: Hand, band: ReadingBand) -> Iterator[Finding]:
    """Yield what is too small, too tight or too much at once for the book's readers."""
    yield from _size(line, hand, band)
    yield from _pitch(line, band)
    yield from _amount(line, band)


def _size(line: DrawnLine, hand: Hand, band: ReadingBand) -> Iterator[Finding]:
    size, least, what = line.finished.stack.x_height_mm, band.x_min, "x-height"
    if not any(char.islower() for char in hand.takes):
        size *= hand.metrics.cap_height / hand.metrics.x_height
        least, what = least * CAPITALS_ONLY, "cap height"
    ages = "-".join(map(str, sorted(set(band.ages))))
    if size < least - SIZE_SLACK_MM:
        yield finding(
            "size",
            line.where,
            f"the {what} is {size:.2f} mm; readers of {ages} need {least:.2f} mm.",
            size,
            least,
            band.sources.get("x_min"),
        )
    elif size < band.x_target - SIZE_SLACK_MM and line.finished.line.voice != "whisper":
        yield finding(
            "size-wanted",
            line.where,
            f"the {what} is {size:.2f} mm; {band.x_target:.2f} mm is better for readers of {ages}.",
            size,
            band.x_target,
            band.sources.get("x_target"),
        )


def _pitch(line: DrawnLine, band: ReadingBand) -> Iterator[Finding]:
    stack = line.finished.stack
    steps = [b.baseline_mm - a.baseline_mm for a, b in pairwise(stack.rows)]
    if steps and min(steps) < (band.pitch_min_x - 0.005) * stack.x_height_mm:
        tightest = min(steps) / stack.x_height_mm
        yield finding(
            "pitch",
            line.where,
            f"rows are {tightest:.2f} x-heights apart.",
            tightest,
            band.pitch_min_x,
            band.sources.get("pitch_min_x"),
        )


def _amount(line: DrawnLine, band: ReadingBand) -> Iterator[Finding]:
    rows = [row.text for row in line.finished.stack.rows]
    words = [len(row.split()) for row in rows]
    counts = (
        ("row-words", max(words), "words_row", "words stand in one row"),
        ("row-characters", max(map(len, rows)), "chars_row", "characters stand in one row"),
        ("bubble-words", sum(words), "words_bubble", "words stand in one bubble. Split the line in two"),
        ("bubble-rows", len(rows), "rows_bubble", "rows stand in one bubble. Split the line in two"),
    )
    for code, count, field, what in counts:
        most = getattr(band, field)
        if count > most:
            message = f"{count} {what}; readers of this age take in {most}."
            yield finding(code, line.where, message, count, most, band.sources.get(field))


THINNEST_PT = 0.5


def check_lines(line: DrawnLine, hand: Hand) -> Iterator[Finding]:
    """Yield strokes and outlines too thin to print safely."""
    least = points_to_mm(THINNEST_PT)
    size = line.finished.stack.x_height_mm / hand.metrics.x_height
    widths = {"the strokes of the letters are": hand.metrics.stem * size}
    if line.finished.bubble is not None and line.finished.bubble.line_mm > 0:
        widths["the line of the bubble is"] = line.finished.bubble.line_mm
    for what, width in widths.items():
        if width < least:
            yield finding("thin-line", line.where, f"{what} {width:.2f} mm thick.", width, least)


def check_one_size(spreads: Sequence[FinishedSpread], book: Book) -> Iterator[Finding]:
    """Yield plain lines whose size is not the book's usual one."""
    plain = [
        (spread, line)
        for spread in spreads
        for line in spread.lines
        if line.line.voice in ("plain", "thought", "caption")
    ]
    sizes = Counter(round(line.stack.x_height_mm, 2) for _, line in plain)
    if len(sizes) < 2:
        return
    usual = sizes.most_common(1)[0][0]
    for spread, line in plain:
        if round(line.stack.x_height_mm, 2) != usual:
            where = f"{spread.spread.label}, line {line.number}"
            size = line.stack.x_height_mm
            message = f"the x-height is {size:.2f} mm; most of '{book.title}' has {usual:.2f} mm."
            yield finding("one-size", where, message, size, usual)
