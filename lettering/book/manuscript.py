"""A manuscript: what an author wrote, divided into spreads and lines of dialogue."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from lettering.book.line import Voice
from lettering.errors import LetteringError, Where

LONGEST_NAME = 4
"""Most words in the name of a speaker, as in 'The Very Old Moon': what is longer is narration."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """One paragraph of a manuscript."""

    text: str
    """Its words, emphasis between asterisks."""
    row: int
    """Row of the file, or number of the paragraph, from 1."""
    heading: bool = False
    """Whether it is set as a heading."""
    aside: bool = False
    """Whether all of it is in italics, as notes to the illustrator are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """Something that is said, narrated or heard."""

    who: tuple[str, ...]
    """Names of those who speak, as the author calls them; empty for a caption or a sound."""
    says: str
    voice: Voice = "plain"
    notes: tuple[str, ...] = ()
    """Notes to the illustrator that stand before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ManuscriptSpread:
    """What the author wrote for one spread or page."""

    pages: tuple[int, ...]
    lines: tuple[Speech, ...]
    notes: tuple[str, ...] = ()
    """Notes that stand behind its last line, or alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manuscript:
    """A whole text."""

    title: str | None
    spreads: tuple[ManuscriptSpread, ...]

    @property
    def cast(self) -> dict[str, str]:
        """By key, in the order in which they first speak, the name of every speaker."""
        names = (name for spread in self.spreads for line in spread.lines for name in line.who)
        return {key_of(name): _display(name) for name in names}


def key_of(name: str) -> str:
    """Return what the book file calls a speaker: 'Mrs. WREN' is mrs-wren."""
    plain = "".join(c for c in unicodedata.normalize("NFKC", name).casefold() if c.isalnum() or c in " -")
    return "-".join(plain.split())


def _display(name: str) -> str:
    return name.title() if name.isupper() else name


_NUMBERS = r"(?P<first>\d{1,3})(?:\s*(?:-|–|—|to|and|&|/)\s*(?P<last>\d{1,3}))?"
_PAGES = re.compile(rf"(?:pages?|pp?\.?)\s*{_NUMBERS}", re.IGNORECASE)
_SPREAD = re.compile(
    r"(?:double[- ]?page\s+)?(?:spread|opening)\s*(?:no\.?\s*)?(?P<number>\d{1,3})", re.IGNORECASE
)
_BARE = re.compile(_NUMBERS)
_BYLINE = re.compile(
    r"(?:(?:a )?(?:story|text|words|written|illustrated|pictures) )?(?:and .* )?(?:by|von|par|por)\b|©",
    re.IGNORECASE,
)
_TITLE = re.compile(r"title\s*:\s*(?P<title>.+)", re.IGNORECASE)
_HEADED = re.compile(r"[\[(]?\s*(?P<head>[^:\[\]]{1,40}?)\s*[\])]?\s*(?::\s*(?P<rest>.*))?")


def manuscript_of(paragraphs: Sequence[Paragraph], file: str) -> Manuscript:
    """Return the manuscript made of `paragraphs`; `file` is what people call it.

    A heading 'Pages 4-5', 'p. 4' or 'Spread 2' begins a spread; two pages that face each other, headed one
    by one, are one spread. `NAME: words` is speech, brackets and italics are notes, everything else is
    narration. Raises LetteringError when no spread is headed or nothing is said.
    """
    parts = list(_parts(paragraphs))
    spreads = [spread for spread in _facing(parts) if spread.lines or spread.notes]
    if not spreads:
        hint = (
            "Head each spread in a row of its own, such as 'Pages 4-5' or 'Spread 1', with its words below."
        )
        raise LetteringError("no spread is headed in this manuscript.", Where(file), hint)
    title = next((t for p in paragraphs if (t := _title(p, paragraphs))), None)
    return Manuscript(title=title, spreads=tuple(spreads))


@dataclass(slots=True)
class _Part:
    """One spread while it is read."""

    pages: tuple[int, ...]
    lines: list[Speech] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, paragraph: Paragraph) -> None:
        words, notes = _without_notes(paragraph)
        self.notes += notes
        if words:
            self.lines.append(replace(speech(words), notes=tuple(self.notes)))
            self.notes = []

    def closed(self) -> ManuscriptSpread:
        return ManuscriptSpread(pages=self.pages, lines=tuple(self.lines), notes=tuple(self.notes))


def _parts(paragraphs: Iterable[Paragraph]) -> Iterator[ManuscriptSpread]:
    part: _Part | None = None
    for paragraph in paragraphs:
        headed = pages_headed(paragraph)
        if headed is not None:
            if part:
                yield part.closed()
            pages, rest = headed
            part = _Part(pages)
            if rest:
                part.add(replace(paragraph, text=rest, heading=False))
        elif part and paragraph.text.strip():
            part.add(paragraph)
    if part:
        yield part.closed()


def pages_headed(paragraph: Paragraph) -> tuple[tuple[int, ...], str] | None:
    """Return the pages that a heading names, and the words that follow it; none when it is no heading."""
    match = _HEADED.fullmatch(paragraph.text.strip().strip("*_").strip())
    if match is None:
        return None
    head, rest = match["head"].strip(" .*_"), (match["rest"] or "").strip(" *_")
    pages = _pages_in(head, bare=paragraph.heading)
    return (pages, rest) if pages else None


def _pages_in(head: str, *, bare: bool) -> tuple[int, ...] | None:
    """Return the pages in 'Pages 4-5', 'Spread 2' or 'Spread 2 (pages 4-5)'; `bare` numbers in headings."""
    inner = re.fullmatch(
        rf"{_SPREAD.pattern}\s*[-–—,(]\s*(?P<pages>{_PAGES.pattern})\)?", head, re.IGNORECASE
    )
    if match := _PAGES.fullmatch(inner["pages"] if inner else head):
        return _run(match)
    if match := _SPREAD.fullmatch(head):
        # Common practice, no source: the first spread is what lies open after the cover, pages 2 and 3.
        number = int(match["number"])
        return (2 * number, 2 * number + 1) if number else None
    if bare and (match := _BARE.fullmatch(head)):
        return _run(match)
    return None


def _run(match: re.Match[str]) -> tuple[int, ...] | None:
    first = int(match["first"])
    last = int(match["last"] or first)
    return (first,) if first == last and first else (first, last) if 0 < first == last - 1 else None


def _facing(spreads: Iterable[ManuscriptSpread]) -> Iterator[ManuscriptSpread]:
    """Yield the spreads with facing pages that were headed one by one put together, the left one even."""
    waiting: ManuscriptSpread | None = None
    for spread in spreads:
        if waiting and spread.pages == (waiting.pages[0] + 1,):
            yield _together(waiting, spread)
            waiting = None
            continue
        if waiting:
            yield waiting
        left = len(spread.pages) == 1 and spread.pages[0] % 2 == 0
        waiting = spread if left else None
        if not left:
            yield spread
    if waiting:
        yield waiting


def _together(left: ManuscriptSpread, right: ManuscriptSpread) -> ManuscriptSpread:
    lines = right.lines
    notes = left.notes + right.notes
    if lines and left.notes:
        lines = (replace(lines[0], notes=left.notes + lines[0].notes), *lines[1:])
        notes = right.notes
    return ManuscriptSpread(pages=left.pages + right.pages, lines=left.lines + lines, notes=notes)


def _title(paragraph: Paragraph, paragraphs: Sequence[Paragraph]) -> str | None:
    """Return the title that a paragraph is: said to be it, or a heading above the first spread."""
    first = next((i for i, p in enumerate(paragraphs) if pages_headed(p)), len(paragraphs))
    if paragraph not in paragraphs[:first]:
        return None
    if match := _TITLE.fullmatch(paragraph.text.strip()):
        return match["title"].strip()
    above = [p for p in paragraphs[:first] if p.text.strip() and not _BYLINE.match(p.text.strip(" *_"))]
    alone = above == [paragraph] and len(paragraph.text.split()) <= 12
    return paragraph.text.strip() if paragraph.heading or alone else None


_NOTE = re.compile(r"\[([^\[\]]*)\]")
_LABELLED = re.compile(
    r"\(?\s*(?:(?:art|illo|illustration|picture)\s*(?:notes?)?|notes?)\s*:\s*(?P<note>.*?)\)?", re.IGNORECASE
)


def _without_notes(paragraph: Paragraph) -> tuple[str, list[str]]:
    """Return the words of a paragraph, and the notes in it: brackets, italics, 'Art note: …'."""
    text = paragraph.text.strip()
    if paragraph.aside:
        return "", [text.strip("*_ ")]
    if match := _LABELLED.fullmatch(text.strip("*_ ")):
        return "", [match["note"].strip()]
    notes = [note.strip() for note in _NOTE.findall(text)]
    return " ".join(_NOTE.sub(" ", text).split()), [note for note in notes if note]


_SPOKEN = re.compile(
    r"\**(?P<name>[^:*()]{1,60}?)\**\s*(?:\**\((?P<how>[^()]*)\))?\**\s*:(?!(?<=\d:)\d)\**\s*(?P<says>\S.*)"
)
_SEVERAL = re.compile(r"\s*(?:,|\+|&|\band\b)\s*", re.IGNORECASE)
_MANNERS: dict[str, Voice] = {
    "shout": "shout", "yell": "shout", "loud": "shout",
    "whisper": "whisper", "softly": "whisper", "quiet": "whisper",
    "think": "thought", "thought": "thought",
}  # fmt: skip
"""Beginnings of the words by which authors say how a line is spoken."""
_NARRATORS = {"caption", "narrator", "narration", "text"}
_SOUNDS = {"sound", "sounds", "noise", "sfx"}


def speech(text: str) -> Speech:
    """Return a paragraph as speech: `NAME: words`, `NAME (whispering): words`, or narration."""
    match = _SPOKEN.fullmatch(text)
    names = tuple(filter(None, _SEVERAL.split(match["name"].strip()))) if match else ()
    if match is None or not all(map(_is_name, names)):
        return Speech(who=(), says=_unquoted(text), voice="caption")
    says, how = _unquoted(match["says"]), (match["how"] or "").casefold()
    label = names[0].casefold() if len(names) == 1 else ""
    if label in _NARRATORS:
        return Speech(who=(), says=says, voice="caption")
    if label in _SOUNDS:
        return Speech(who=(), says=says, voice="sound")
    voice: Voice = next((voice for manner, voice in _MANNERS.items() if manner in how), "plain")
    return Speech(who=names, says=says, voice=voice)


def _is_name(name: str) -> bool:
    """Tell whether words before a colon name a speaker: few, and each with a capital, as names are."""
    words = name.split()
    return (
        0 < len(words) <= LONGEST_NAME
        and any(letter.isalpha() for letter in name)
        and all(word[0].isupper() or word[0].isdigit() or word in ("the", "of") for word in words)
    )


_QUOTES = {"“": "”", '"': '"', "«": "»", "„": "“", "‘": "’"}


def _unquoted(says: str) -> str:
    """Return words without quotation marks round all of them: a bubble says that they are spoken."""
    says = says.strip()
    close = _QUOTES.get(says[:1])
    if (
        close
        and says.endswith(close)
        and len(says) > 2
        and close not in says[1:-1]
        and says[0] not in says[1:-1]
    ):
        return says[1:-1].strip()
    return says
