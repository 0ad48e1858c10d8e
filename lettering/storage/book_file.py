"""The book file: what the illustrator wrote, read whole or refused with all that is wrong in it."""

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from lettering.book.book import Book, Spread
from lettering.book.cast import Character
from lettering.book.page import PageFormat
from lettering.errors import BookError, LetteringError, Where
from lettering.storage.accept_fields import read_accepted
from lettering.storage.fields import Problems, Record, TooManyError
from lettering.storage.spread_fields import read_spread
from lettering.storage.weight_fields import read_weights
from lettering.storage.yaml_text import Fields, Items, Value, compose

LANGUAGE_TAG = re.compile(
    r"(?:[a-z]{2,3}(?:-[a-z]{3}){0,3}|[a-z]{4,8})"
    r"(?:-[a-z]{4})?(?:-(?:[a-z]{2}|[0-9]{3}))?(?:-(?:[a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*"
    r"(?:-[0-9a-wy-z](?:-[a-z0-9]{2,8})+)*(?:-x(?:-[a-z0-9]{1,8})+)?",
    re.IGNORECASE,
)
"""Well-formed language tags: the `langtag` rule of RFC 5646 section 2.1."""

_AGES = re.compile(r"([0-9]{1,3})(?:\s*[-–]\s*([0-9]{1,3}))?")
_KEY = re.compile(r"[^\s+:]+(?: [^\s+:]+)*")
OLDEST = 120
"""Years; a reader of more is a slip."""
RESERVED = ("caption", "sound")
"""Names that a line gives to words without a speaker."""

FORMAT = PageFormat(width_mm=1.0, height_mm=1.0)
"""Where the margins come from that a book does not give."""


@dataclass(frozen=True, slots=True)
class ReadBook:
    """A book, and where each of its lines stands in the file."""

    book: Book
    places: Mapping[tuple[int, int], Where]
    """By index of the spread and of the line on it, both from 0."""


def read_book(path: Path, *, unfinished: bool = False) -> ReadBook:
    """Return the book written in the file at `path`; an `unfinished` one may lack the figures of speakers.

    Raises BookError with every problem found, each with file, line and column. Files that the book names
    are not looked for; see `missing_files`.
    """
    return book_of(_bytes(path), str(path), unfinished=unfinished)


def book_of(data: bytes, file: str, *, unfinished: bool = False) -> ReadBook:
    """Return the book written in `data`, the content of what people call `file`; raises BookError."""
    composed = compose(data, file)
    problems = Problems(list(composed.problems), unfinished)
    read = None
    with suppress(TooManyError):
        read = _book(composed.value, problems) if composed.value is not None else None
    if problems.found or read is None:
        raise BookError(sorted(problems.found, key=_in_file_order))
    return read


def missing_files(book: Book, base: Path) -> tuple[str, ...]:
    """Return a sentence for each file that `book`, kept in folder `base`, names and that is not there."""
    named = [("the hand", book.hand)]
    named += [(f"the hand of {one.key}", one.hand) for one in book.cast if one.hand is not None]
    named += [(f"the art of {spread.label}", spread.art) for spread in book.spreads if spread.art]
    return tuple(f"{what} is not there: {path}" for what, path in named if not (base / path).exists())


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise LetteringError("there is no such file.", str(path), "Give the path of a book file.") from None
    except IsADirectoryError:
        raise LetteringError("this is a folder.", str(path), "Give the book file in it.") from None
    except OSError as error:
        raise LetteringError(f"cannot be read: {error.strerror}.", str(path)) from None


def _in_file_order(problem: LetteringError) -> tuple[int, int]:
    where = problem.where
    return (where.line or 0, where.column or 0) if isinstance(where, Where) else (0, 0)


def _book(value: Value, problems: Problems) -> ReadBook | None:
    record = Record.of(
        value,
        "the book",
        problems,
        needs=("title", "language", "reader_age", "hand", "page", "spreads"),
        allows=("lettering", "placing", "cast", "accept"),
    )
    if record is None:
        return None
    title, hand = record.text("title"), record.text("hand")
    language, age = _language(record), _reader_age(record)
    page, cast = _page(record), _cast(record)
    x_height = _x_height(record)
    spreads, places = _spreads(record, page, cast)
    placing, accept = record.get("placing"), record.get("accept")
    weights = read_weights(placing, problems) if placing is not None else ()
    accepted = read_accepted(accept, problems) if accept is not None else ()
    if title is None or hand is None or language is None or age is None or page is None:
        return None
    book = Book(
        title=title,
        language=language,
        reader_age=age,
        hand=hand,
        page=page,
        cast=cast,
        spreads=spreads,
        x_height_mm=x_height,
        placing=weights,
        accepted=accepted,
    )
    return ReadBook(book, places)


def _language(record: Record) -> str | None:
    tag = record.text("language")
    if tag is None or LANGUAGE_TAG.fullmatch(tag):
        return tag
    hint = "Write a BCP 47 tag such as en, en-GB, fr or zh-Hant."
    record.problems.add(record.where("language"), f"'{tag}' is no language tag.", hint)
    return None


def _reader_age(record: Record) -> tuple[int, int] | None:
    text = record.text("reader_age")
    if text is None:
        return None
    match = _AGES.fullmatch(text)
    ages = (int(match[1]), int(match[2] or match[1])) if match else (1, 0)
    if 1 <= ages[0] <= ages[1] <= OLDEST:
        return ages
    hint = "Write whole years, the younger first: 5, or 3-5 when it is read aloud."
    record.problems.add(record.where("reader_age"), f"'{text}' is no age of a reader.", hint)
    return None


def _page(record: Record) -> PageFormat | None:
    value = record.get("page")
    if value is None:
        return None
    page = Record.of(
        value, "the page", record.problems, needs=("width", "height"), allows=("bleed", "safe", "gutter")
    )
    if page is None:
        return None
    width, height = page.length_mm("width"), page.length_mm("height")
    bleed, safe, gutter = (page.length_mm(name, positive=False) for name in ("bleed", "safe", "gutter"))
    if width is None or height is None:
        return None
    format_ = PageFormat(
        width_mm=width,
        height_mm=height,
        bleed_mm=FORMAT.bleed_mm if bleed is None else bleed,
        safe_mm=FORMAT.safe_mm if safe is None else safe,
        gutter_mm=FORMAT.gutter_mm if gutter is None else gutter,
    )
    _check_room(page, format_)
    return format_


def _check_room(record: Record, page: PageFormat) -> None:
    """Note margins that leave no room for lettering."""
    across = page.width_mm - page.safe_mm - max(page.safe_mm, page.gutter_mm)
    if min(across, page.height_mm - 2 * page.safe_mm) <= 0:
        message = f"a page of {page.width_mm:g} x {page.height_mm:g} mm has no room inside its margins."
        hint = f"Make safe ({page.safe_mm:g} mm) or gutter ({page.gutter_mm:g} mm) smaller."
        record.problems.add(record.where("safe"), message, hint)
    if page.bleed_mm > min(page.width_mm, page.height_mm):
        record.problems.add(record.where("bleed"), "the bleed is larger than the page.")


def _x_height(record: Record) -> float | None:
    value = record.get("lettering")
    if value is None:
        return None
    lettering = Record.of(value, "lettering", record.problems, allows=("x_height",))
    return lettering.length_mm("x_height") if lettering else None


def _cast(record: Record) -> tuple[Character, ...]:
    value = record.get("cast")
    if value is None:
        return ()
    if not isinstance(value, Fields):
        hint = "Write a row for each character: 'wren: {name: Wren, height: 10 cm}'."
        record.problems.add(value.where, "the cast wants characters.", hint)
        return ()
    return tuple(
        character
        for key, (at, given) in value.values.items()
        if (character := _character(key, at.where, given, record.problems))
    )


def _character(key: str, where: Where, value: Value, problems: Problems) -> Character | None:
    if key in RESERVED or not _KEY.fullmatch(key):
        hint = "Use a name without '+' and ':', other than caption and sound."
        problems.add(where, f"a character cannot be called '{key}'.", hint)
        return None
    record = Record.of(value, f"character {key}", problems, allows=("name", "height", "hand"))
    if record is None:
        return None
    return Character(key, record.text("name") or key, record.length_mm("height"), record.text("hand"))


def _spreads(
    record: Record, page: PageFormat | None, cast: tuple[Character, ...]
) -> tuple[tuple[Spread, ...], dict[tuple[int, int], Where]]:
    value = record.get("spreads")
    if value is None:
        return (), {}
    if not isinstance(value, Items) or not value.values:
        record.problems.add(value.where, "spreads wants a list.", "Begin each spread with '- pages: 4-5'.")
        return (), {}
    spreads: list[Spread] = []
    places: dict[tuple[int, int], Where] = {}
    used: dict[int, Where] = {}
    keys = tuple(character.key for character in cast)
    for given in value.values:
        read = read_spread(given, page, keys, record.problems)
        if read is None:
            continue
        for index, where in enumerate(read.lines):
            places[len(spreads), index] = where
        _note_pages(read.spread, read.where, used, record.problems)
        spreads.append(read.spread)
    return tuple(spreads), places


def _note_pages(spread: Spread, where: Where, used: dict[int, Where], problems: Problems) -> None:
    """Note pages that an earlier spread has already."""
    for number in spread.pages:
        if number in used:
            problems.add(
                where, f"page {number} is given twice.", f"It is first used on line {used[number].line}."
            )
        used.setdefault(number, where)
