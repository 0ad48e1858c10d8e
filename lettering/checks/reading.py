"""What a reader of the book's age can take in: size, room between rows, how much at once."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lettering.book.book import Book
from lettering.checks.catalogue import WHOLE_BOOK, finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.setting.reading_age import ReadingBand

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
    if not _has_small_letters(hand):
        size *= hand.metrics.cap_height / hand.metrics.x_height
        least, what = least * CAPITALS_ONLY, "cap height"
    if size < least - SIZE_SLACK_MM:
        yield finding(
            "size",
            line.where,
            f"the {what} is {size:.2f} mm; readers of {_ages(band)} need {least:.2f} mm.",
            size,
            least,
            band.sources.get("x_min"),
        )


def _has_small_letters(hand: Hand) -> bool:
    return any(char.islower() for char in hand.takes)


def _ages(band: ReadingBand) -> str:
    return "-".join(map(str, sorted(set(band.ages))))


def check_size_wanted(
    spreads: Sequence[FinishedSpread], hands: Hands, band: ReadingBand
) -> Iterator[Finding]:
    """Yield one finding when plain lettering is smaller than suits the book's readers: it has one size.

    Lines in a hand of capitals alone are not counted.
    """
    plain = [line for _, line in _plain(spreads) if _has_small_letters(hands.of(line.line))]
    sizes = [line.stack.x_height_mm for line in plain]
    small = [size for size in sizes if band.x_min - SIZE_SLACK_MM <= size < band.x_target - SIZE_SLACK_MM]
    if small:
        yield finding(
            "size-wanted",
            WHOLE_BOOK,
            f"{len(small)} of {len(sizes)} plain lines have an x-height of {min(small):.2f} mm; "
            f"{band.x_target:.2f} mm is better for readers of {_ages(band)}.",
            min(small),
            band.x_target,
            band.sources.get("x_target"),
        )


def check_capitals(hands: Hands) -> Iterator[Finding]:
    """Yield one finding for each hand of capitals alone."""
    for hand in hands.every:
        if not _has_small_letters(hand):
            message = (
                f"the hand {hand.name} has capitals alone; "
                f"their least height is {CAPITALS_ONLY:g} times that of an x."
            )
            yield finding("capitals", WHOLE_BOOK, message, 0, 26)


def _plain(spreads: Sequence[FinishedSpread]) -> list[tuple[FinishedSpread, FinishedLine]]:
    """Return the lines that are neither raised nor lowered in size, each with its spread."""
    voices = ("plain", "thought", "caption")
    return [(spread, line) for spread in spreads for line in spread.lines if line.line.voice in voices]


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


def check_one_size(spreads: Sequence[FinishedSpread], book: Book) -> Iterator[Finding]:
    """Yield plain lines whose size is not the book's usual one."""
    plain = _plain(spreads)
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
