"""Rounds on disk: what was sent, frozen beside the book file, so that it can be compared and brought back."""

import hashlib
import json
import re
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from lettering.errors import LetteringError, OutputError
from lettering.storage.atomic import replacing_folder, write_bytes
from lettering.storage.placements import placements_path

FORMAT, VERSION = "lettering-round", 1
FOLDER, FACTS, BOOK, PLACEMENTS, HAND = "rounds", "round.json", "book.yaml", "placements.json", "hand.ufo"
MOST_BYTES = 200_000_000
"""Largest file of facts that is read back: a long book has some 5 MB."""

_NAME = re.compile(r"\w[\w .-]{0,59}")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLine:
    """One line as it was sent."""

    who: tuple[str, ...]
    says: str
    voice: str
    rows: tuple[str, ...]
    x_height: float
    centre: tuple[float, float]
    """Middle of its ink, mm."""
    lettering: str
    """Outlines of its letters as path data, mm."""
    bubble: str
    """Outline of its bubble; empty when it has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSpread:
    """One spread as it was sent."""

    pages: tuple[int, ...]
    size: tuple[float, float]
    """Trimmed width and height, mm."""
    art: str
    """Where its art is, relative to the book file; empty without."""
    art_sha256: str
    lines: tuple[RoundLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A book as it was sent."""

    title: str
    hand_sha256: str
    """Digest of its hand; of the digests of all where characters have hands of their own."""
    spreads: tuple[RoundSpread, ...]
    findings: tuple[tuple[str, str, str, str], ...]
    """Code, severity, where and what."""
    facts: tuple[tuple[str, str], ...] = ()
    """What the book file says of the book as a whole, name and value; none in rounds of earlier programs."""


def round_folder(book: Path, name: str) -> Path:
    """Return where the round `name` of a book file is kept; raises LetteringError for an unfit name."""
    if not _NAME.fullmatch(name):
        hint = "Use letters, digits, spaces, dots and hyphens, such as 'first proofs'."
        raise LetteringError(f"a round cannot be called '{name}'.", hint=hint)
    return book.parent / FOLDER / name


def round_names(book: Path) -> tuple[str, ...]:
    """Return the names of the rounds of a book file, sorted."""
    return tuple(sorted(path.parent.name for path in (book.parent / FOLDER).glob(f"*/{FACTS}")))


def book_of_round(book: Path, name: str) -> Path:
    """Return where the round `name` keeps the book file; raises LetteringError for an unfit name."""
    return round_folder(book, name) / BOOK


def write_round(book: Path, hands: Sequence[Path], name: str, frozen: Round) -> Path:
    """Freeze the book file, its placements and its `hands` with the facts of them; return the folder.

    Raises LetteringError when there is such a round already, or the disk refuses; nothing is left then.
    """
    folder = round_folder(book, name)
    if folder.exists():
        raise OutputError("there is a round of this name already.", str(folder), "Choose another name.")
    with replacing_folder(folder) as fresh:
        shutil.copyfile(book, fresh / BOOK)
        if placements_path(book).exists():
            shutil.copyfile(placements_path(book), fresh / PLACEMENTS)
        for number, hand in enumerate(hands, 1):
            shutil.copytree(hand, fresh / _kept_hand(number))
        facts = {"format": FORMAT, "version": VERSION, **asdict(frozen)}
        (fresh / FACTS).write_text(json.dumps(facts, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    return folder


def _kept_hand(number: int) -> str:
    """Return what a round calls the hand that its book file names at `number`, from 1."""
    return HAND if number == 1 else HAND.replace(".", f"-{number}.")


def read_round(book: Path, name: str) -> Round:
    """Return the facts of the round `name`; raises LetteringError when there is none, or it is damaged."""
    path = round_folder(book, name) / FACTS
    known = ", ".join(round_names(book)) or "none yet"
    if not path.is_file():
        raise LetteringError(f"no round is called '{name}'.", str(book), f"There are: {known}.")
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ValueError("it is too large")
        return _round(json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise LetteringError(f"the round is damaged: {error}.", str(path)) from None


def _round(facts: Mapping[str, Any]) -> Round:
    if facts["format"] != FORMAT or facts["version"] != VERSION:
        raise ValueError(f"it is no round of version {VERSION}")
    return Round(
        title=str(facts["title"]),
        hand_sha256=str(facts["hand_sha256"]),
        spreads=tuple(_spread(one) for one in facts["spreads"]),
        findings=tuple((str(a), str(b), str(c), str(d)) for a, b, c, d in facts["findings"]),
        facts=tuple((str(name), str(value)) for name, value in facts.get("facts", ())),
    )


def _spread(one: Mapping[str, Any]) -> RoundSpread:
    width, height = one["size"]
    return RoundSpread(
        pages=tuple(int(page) for page in one["pages"]),
        size=(float(width), float(height)),
        art=str(one["art"]),
        art_sha256=str(one["art_sha256"]),
        lines=tuple(_line(line) for line in one["lines"]),
    )


def _line(one: Mapping[str, Any]) -> RoundLine:
    x, y = one["centre"]
    return RoundLine(
        who=tuple(map(str, one["who"])),
        says=str(one["says"]),
        voice=str(one["voice"]),
        rows=tuple(map(str, one["rows"])),
        x_height=float(one["x_height"]),
        centre=(float(x), float(y)),
        lettering=str(one["lettering"]),
        bubble=str(one["bubble"]),
    )


def restore_round(book: Path, name: str, hands: Sequence[Path]) -> tuple[Path, ...]:
    """Put book file and placements of the round `name` back, and its hands at `hands` if given; return them.

    Raises LetteringError when there is no such round or the disk refuses.
    """
    read_round(book, name)
    folder = round_folder(book, name)
    back = [book]
    try:
        book_bytes = (folder / BOOK).read_bytes()
        kept = folder / PLACEMENTS
        placements = kept.read_bytes() if kept.exists() else None
    except OSError as error:
        raise LetteringError(f"the round is damaged: {error.strerror}.", str(folder)) from None
    for number, hand in enumerate(hands, 1):
        with replacing_folder(hand) as fresh:
            shutil.copytree(folder / _kept_hand(number), fresh, dirs_exist_ok=True)
        back.append(hand)
    if placements is not None:
        write_bytes(placements_path(book), placements)
        back.append(placements_path(book))
    write_bytes(book, book_bytes)
    return tuple(back)


def folders_sha256(folders: Sequence[Path]) -> str:
    """Return a digest of all files below several folders; that of the folder where there is one alone."""
    digests = [folder_sha256(folder) for folder in folders]
    return digests[0] if len(digests) == 1 else hashlib.sha256("".join(digests).encode()).hexdigest()


def folder_sha256(folder: Path) -> str:
    """Return a digest of all files below `folder`, their names among them."""
    digest = hashlib.sha256()
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        digest.update(str(path.relative_to(folder)).encode() + b"\0")
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def file_sha256(path: Path) -> str:
    """Return a digest of a file's content."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
