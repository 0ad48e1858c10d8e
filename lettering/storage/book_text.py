"""The book file as text: written anew from a manuscript, or changed in only what the manuscript changed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lettering.book.manuscript import Manuscript, ManuscriptSpread, Speech, key_of
from lettering.book.page import PageFormat
from lettering.storage.yaml_text import Text, compose


@dataclass(frozen=True, slots=True)
class Edit:
    """A stretch of text, from `start` up to `end`, that becomes `text`."""

    start: int
    end: int
    text: str


def edited(text: str, edits: Iterable[Edit]) -> str:
    """Return `text` with all `edits` made; they must not overlap. Every other character stays."""
    parts, at = [], 0
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end)):
        if edit.start < at:
            raise ValueError("edits overlap")
        parts += [text[at : edit.start], edit.text]
        at = edit.end
    return "".join((*parts, text[at:]))


def words_in_yaml(words: str, *, in_braces: bool = False) -> str:
    """Return `words` as YAML takes them: bare where that reads back the same, else in quotes."""
    before, behind = ("k: {says: ", "}") if in_braces else ("k: ", "")
    read = compose(f"{before}{words}{behind}\n".encode(), "")
    value = getattr(read.value, "values", {}).get("k", (None, None))[1]
    if in_braces:
        value = getattr(value, "values", {}).get("says", (None, None))[1]
    bare = isinstance(value, Text) and value.value == words and not value.cut_short and not read.problems
    if bare and words[0] not in "'\"":
        return words
    if '"' not in words and "\\" not in words and "\n" not in words:
        return f'"{words}"'
    if "\n" not in words:
        return "'" + words.replace("'", "''") + "'"
    return '"' + words.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'


def key_for(speech: Speech) -> str:
    """Return what stands before the colon of a line."""
    return " + ".join(map(key_of, speech.who)) or speech.voice


def line_rows(speech: Speech, indent: int) -> str:
    """Return the rows of a line, its notes as comments above it."""
    pad = " " * indent
    voiced = bool(speech.who) and speech.voice != "plain"
    if voiced:
        said = f"{{says: {words_in_yaml(speech.says, in_braces=True)}, voice: {speech.voice}}}"
    else:
        said = words_in_yaml(speech.says)
    return _comments(speech.notes, indent) + f"{pad}- {key_for(speech)}: {said}\n"


def _comments(notes: Iterable[str], indent: int) -> str:
    return "".join(f"{' ' * indent}# {' '.join(note.split())}\n" for note in notes)


def lines_rows(lines: Sequence[Speech], notes: Iterable[str], indent: int) -> str:
    """Return the rows of all lines of a spread, and of the notes behind them."""
    return "".join(line_rows(line, indent) for line in lines) + _comments(notes, indent)


def spread_rows(spread: ManuscriptSpread, indent: int = 4) -> str:
    """Return the rows of a new spread whose fields stand in column `indent`; its figures are to be drawn."""
    pad = " " * indent
    speakers = list(dict.fromkeys(key_of(name) for line in spread.lines for name in line.who))
    figures = ""
    if speakers:
        rows = "".join(f"{pad}  # {who}: {{box: [x, y, width, height], mouth: [x, y]}}\n" for who in speakers)
        figures = f"{pad}figures:\n{rows}"
    return (
        f"{' ' * (indent - 2)}- pages: {'-'.join(map(str, spread.pages))}\n{figures}"
        f"{pad}lines:\n{lines_rows(spread.lines, spread.notes, indent + 2)}"
    )


def character_row(key: str, name: str, indent: int = 2) -> str:
    """Return the row of a character in the cast."""
    return f"{' ' * indent}{words_in_yaml(key)}: {{name: {words_in_yaml(name, in_braces=True)}}}\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Beginning:
    """What a manuscript does not say of its book."""

    hand: str
    """The glyph set, relative to the book file."""
    language: str
    """BCP 47."""
    reader_age: str
    """Years: one number, or two when the book is read aloud."""
    page: PageFormat


def book_text(manuscript: Manuscript, beginning: Beginning) -> str:
    """Return a book file with the words of the manuscript, its cast, and figures still to be drawn."""
    page = beginning.page
    cast = "".join(character_row(key, name) for key, name in manuscript.cast.items())
    spreads = "".join(spread_rows(spread) for spread in manuscript.spreads)
    return (
        f"title: {words_in_yaml(manuscript.title or 'Untitled')}\n"
        f"language: {beginning.language}\n"
        f"reader_age: {beginning.reader_age}\n"
        f"hand: {words_in_yaml(beginning.hand)}\n"
        "page:\n"
        f"  width: {page.width_mm:g} mm\n"
        f"  height: {page.height_mm:g} mm\n"
        f"  bleed: {page.bleed_mm:g} mm\n"
        f"  safe: {page.safe_mm:g} mm\n"
        f"  gutter: {page.gutter_mm:g} mm\n" + (f"cast:\n{cast}" if cast else "") + f"spreads:\n{spreads}"
    )
