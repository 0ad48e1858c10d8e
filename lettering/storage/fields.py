"""Texts, lengths and numbers taken from YAML fields; what is wrong is noted and reading goes on."""

import math
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field

from lettering.errors import LetteringError, Where, did_you_mean
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.storage.yaml_text import Fields, Items, Text, Value
from lettering.units import parse_length_mm

LONGEST_MM = 5_000.0
"""No measure of a book is longer than five metres; what is, is a slip of the unit."""

_WHOLE = re.compile(r"[0-9]{1,6}")
_NUMBER = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,6})?|\.[0-9]{1,6}")
_KINDS = {Text: "text", Items: "a list", Fields: "a mapping"}


MOST_PROBLEMS = 200
"""After so many, a file is not a book with slips in it, and nobody reads on."""


class TooManyError(Exception):
    """So much is wrong with a file that reading it was given up."""


@dataclass(slots=True)
class Problems:
    """All that is wrong with one file, in the order of discovery."""

    found: list[LetteringError] = field(default_factory=list)
    unfinished: bool = False
    """Whether the file may still lack what is drawn later: then that is no problem."""

    def add(self, where: Where, message: str, hint: str | None = None) -> None:
        """Note one problem; `message` and `hint` are sentences; raises TooManyError at the last allowed."""
        self.found.append(LetteringError(message, where, hint))
        if len(self.found) >= MOST_PROBLEMS:
            raise TooManyError

    def lacks(self, where: Where, message: str, hint: str | None = None) -> None:
        """Note what a finished file must have; as `add`, but nothing in an unfinished one."""
        if not self.unfinished:
            self.add(where, message, hint)


@dataclass(frozen=True, slots=True)
class Record:
    """A mapping whose names are known: each field is asked for by name and kind.

    Every question returns none when the field is missing or wrong; what is wrong goes to `problems`.
    """

    fields: Fields
    what: str
    """What people call it: 'the page', 'figure wren'."""
    problems: Problems

    @classmethod
    def of(
        cls,
        value: Value,
        what: str,
        problems: Problems,
        *,
        needs: Iterable[str] = (),
        allows: Iterable[str] = (),
    ) -> "Record | None":
        """Return the record written in `value`, noting missing and unknown names; none for no mapping."""
        if not isinstance(value, Fields):
            names = ", ".join((*needs, *allows))
            problems.add(value.where, f"{what} wants fields, not {_kind(value)}.", f"Allowed: {names}.")
            return None
        known = (*needs, *allows)
        for name, (at, given) in value.values.items():
            if name not in known:
                loose = isinstance(given, Text) and not given.value
                hint = (
                    "Words with a comma need quotes between braces." if loose else did_you_mean(name, known)
                )
                problems.add(at.where, f"{what} has no field '{name}'.", hint)
        for name in needs:
            if name not in value.values:
                problems.add(value.where, f"{what} lacks '{name}'.")
        return cls(value, what, problems)

    def get(self, name: str) -> Value | None:
        """Return the value of a field as it stands; none when it is not given."""
        given = self.fields.values.get(name)
        return given[1] if given else None

    def where(self, name: str) -> Where:
        """Return the place of a field's value, or of the record when it is not given."""
        value = self.get(name)
        return value.where if value else self.fields.where

    def text(self, name: str) -> str | None:
        """Return a field's words, without white space round them."""
        value = self.get(name)
        return None if value is None else words(value, f"'{name}' of {self.what}", self.problems)

    def choice(self, name: str, allowed: Iterable[str]) -> str | None:
        """Return a field's text, which must be one of `allowed`."""
        text = self.text(name)
        if text is None or text in allowed:
            return text
        message = f"'{name}' of {self.what} cannot be '{text}'."
        listed = f"Allowed: {', '.join(allowed)}."
        close = did_you_mean(text, allowed)
        self.problems.add(
            self.where(name), message, listed if close in (None, listed) else f"{close} {listed}"
        )
        return None

    def whole(self, name: str, least: int = 1) -> int | None:
        """Return a field's whole number, at least `least`."""
        text = self.text(name)
        if text is None:
            return None
        if not _WHOLE.fullmatch(text) or int(text) < least:
            self.problems.add(
                self.where(name), f"'{name}' of {self.what} wants a whole number from {least}, not '{text}'."
            )
            return None
        return int(text)

    def number(self, name: str, *, most: float) -> float | None:
        """Return a field's plain number, from 0 to `most`."""
        text = self.text(name)
        if text is None:
            return None
        if not _NUMBER.fullmatch(text) or float(text) > most:
            self.problems.add(
                self.where(name), f"'{name}' of {self.what} wants a number from 0 to {most:g}, not '{text}'."
            )
            return None
        return float(text)

    def length_mm(self, name: str, *, positive: bool = True) -> float | None:
        """Return a field's length in mm: more than 0, or from 0 when not `positive`."""
        value = self.get(name)
        if value is None:
            return None
        length = length_mm(value, f"'{name}' of {self.what}", self.problems)
        if length is not None and (length < 0 or (positive and length == 0)):
            wanted = "more than 0" if positive else "0 or more"
            message = f"'{name}' of {self.what} must be {wanted}, not {length:g} mm."
            self.problems.add(value.where, message)
            return None
        return length

    def rect(self, name: str) -> Rect | None:
        """Return a field's x, y, width, height in mm as a rectangle."""
        value = self.get(name)
        return None if value is None else rect(value, f"'{name}' of {self.what}", self.problems)

    def point(self, name: str) -> Point | None:
        """Return a field's x, y in mm as a point."""
        value = self.get(name)
        return None if value is None else point(value, f"'{name}' of {self.what}", self.problems)


def words(value: Value, what: str, problems: Problems) -> str | None:
    """Return the text of a scalar without white space round it; none, and a problem, for anything else."""
    if not isinstance(value, Text):
        hint = "Put the words in quotes." if isinstance(value, Items | Fields) else None
        problems.add(value.where, f"{what} wants text, not {_kind(value)}.", hint)
        return None
    text = value.value.replace("\t", " ").strip()
    if bad := next((c for c in text if unicodedata.category(c) in ("Cc", "Cs") and c != "\n"), None):
        problems.add(value.where, f"{what} holds U+{ord(bad):04X}, which is no character to letter.")
        return None
    if not text:
        problems.add(value.where, f"{what} is empty.", "Words that begin with '#' need quotes in YAML.")
        return None
    if value.cut_short:
        whole = f"{text} {value.cut_short}".replace('"', '\\"')
        problems.add(
            value.where,
            f"{what} ends before '{value.cut_short}', which YAML takes for a comment.",
            f'Write it with quotes: "{whole}", or leave a space after the # of a comment.',
        )
    return text


def length_mm(value: Value, what: str, problems: Problems) -> float | None:
    """Return a length in mm, of either sign; none, and a problem, for anything else."""
    text = words(value, what, problems)
    if text is None:
        return None
    try:
        length = parse_length_mm(text)
    except ValueError as error:
        problems.add(value.where, f"{what}: {error}.", "Write it like 250 mm, 25 cm, 10 in or 700 pt.")
        return None
    if not math.isfinite(length) or abs(length) > LONGEST_MM:
        problems.add(value.where, f"{what} is longer than {LONGEST_MM:g} mm.")
        return None
    return length


def rect(value: Value, what: str, problems: Problems) -> Rect | None:
    """Return x, y, width, height in mm as a rectangle with an area."""
    numbers = _lengths(value, ("x", "y", "width", "height"), what, problems)
    if numbers is None:
        return None
    if min(numbers[2:]) <= 0:
        problems.add(value.where, f"{what} has no area: width and height must be more than 0.")
        return None
    return Rect.sized(*numbers)


def point(value: Value, what: str, problems: Problems) -> Point | None:
    """Return x, y in mm as a point."""
    numbers = _lengths(value, ("x", "y"), what, problems)
    return Point(*numbers) if numbers else None


def _lengths(value: Value, names: tuple[str, ...], what: str, problems: Problems) -> tuple[float, ...] | None:
    form = f"[{', '.join(names)}]"
    if not isinstance(value, Items):
        problems.add(value.where, f"{what} wants {form} in mm, not {_kind(value)}.")
        return None
    if len(value.values) != len(names):
        message = f"{what} wants {len(names)} numbers, {form} in mm, not {len(value.values)}."
        problems.add(value.where, message)
        return None
    lengths = [
        length_mm(part, f"{name} in {what}", problems) for name, part in zip(names, value.values, strict=True)
    ]
    known = tuple(length for length in lengths if length is not None)
    return known if len(known) == len(names) else None


def _kind(value: Value) -> str:
    if isinstance(value, Text):
        return f"'{value.value[:40]}'" if value.value else "nothing"
    return _KINDS[type(value)]
