"""Manuscripts on disk: plain text, Markdown and .docx, read as paragraphs."""

import io
import re
import zipfile
from collections.abc import Iterator
from itertools import takewhile
from pathlib import Path
from typing import Any

from lettering.book.manuscript import Manuscript, Paragraph, manuscript_of, pages_headed, speech
from lettering.errors import LetteringError

MOST_BYTES = 2_000_000
"""Largest text that is read: a picture book has some 5,000 bytes, a novel 500,000."""
MOST_UNPACKED = 50_000_000
"""Largest content of a .docx, its pictures included, when unpacked."""
WRAPPED = 55
"""A row at least so long was broken by the editor, and the next one goes on with its paragraph."""

TEXTS, MARKDOWN, WORD = (".txt", ".text", ""), (".md", ".markdown"), (".docx",)


def read_manuscript(path: Path) -> Manuscript:
    """Return the manuscript in the file at `path`: .txt, .md or .docx.

    Raises LetteringError when it cannot be read, is too large, or heads no spread.
    """
    data, kind = _bytes(path), path.suffix.lower()
    if kind in WORD:
        paragraphs = list(_word_paragraphs(data, str(path)))
    elif kind in TEXTS + MARKDOWN:
        paragraphs = list(_text_paragraphs(_decoded(data, str(path)), markdown=kind in MARKDOWN))
    else:
        hint = "Save it as .txt, .md or .docx."
        raise LetteringError(f"'{path.suffix}' is no kind of manuscript that can be read.", str(path), hint)
    return manuscript_of(paragraphs, str(path))


def _bytes(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_UNPACKED:
            raise LetteringError("the file is too large for a manuscript.", str(path))
        return path.read_bytes()
    except FileNotFoundError:
        raise LetteringError("there is no such file.", str(path), "Give the path of a manuscript.") from None
    except OSError as error:
        raise LetteringError(f"cannot be read: {error.strerror}.", str(path)) from None


def _decoded(data: bytes, file: str) -> str:
    if len(data) > MOST_BYTES:
        raise LetteringError(f"the text has {len(data):,} bytes; at most {MOST_BYTES:,} are read.", file)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = f"byte {data[error.start]:#04x} is not UTF-8 text."
        raise LetteringError(message, file, "Save the file as UTF-8 in your editor.") from None


_HEADING = re.compile(r"#{1,6}\s+(?P<text>.*?)\s*#*")
_MARKED = re.compile(r"(?:>\s?|[-+*]\s+)+")
"""The marks of quotations and lists, which CommonMark puts before their words."""
_COMMENT = re.compile(r"<!--\s*(?P<text>.*?)\s*-->")
_ASIDE = re.compile(r"([*_])(?!\1)(?P<text>[^*_].*[^*_]|[^*_])\1")


def _text_paragraphs(text: str, *, markdown: bool) -> Iterator[Paragraph]:
    """Yield paragraphs: rows that an editor has wrapped are put together, blank rows part them."""
    words, began, before = "", 0, ""
    for number, row in enumerate([*text.splitlines(), ""], 1):
        bare = row.strip()
        goes_on = bool(words and bare) and len(before) >= WRAPPED and not _begins(bare)
        if goes_on:
            words += " " + bare
        else:
            if words:
                yield _paragraph(words, began, markdown=markdown)
            words, began = bare, number
        before = bare


def _begins(row: str) -> bool:
    """Tell whether a row begins a paragraph of its own, whatever stands above it."""
    alone = Paragraph(text=_plain(row), row=0, heading=row.startswith("#"))
    return row[0] in "#[(" or pages_headed(alone) is not None or bool(speech(row).who)


def _paragraph(text: str, row: int, *, markdown: bool) -> Paragraph:
    heading = _HEADING.fullmatch(text) if markdown else None
    if heading:
        return Paragraph(text=_plain(heading["text"]), row=row, heading=True)
    aside = _ASIDE.fullmatch(text) or (_COMMENT.fullmatch(text) if markdown else None)
    if aside:
        return Paragraph(text=aside["text"], row=row, aside=True)
    return Paragraph(
        text=_emphasised(text[marks.end() :] if (marks := _MARKED.match(text)) else text)
        if markdown
        else text,
        row=row,
    )


def _plain(text: str) -> str:
    return re.sub(r"[*_]{1,3}", "", text)


def _emphasised(text: str) -> str:
    """Return Markdown with every emphasis between single asterisks, and its escapes undone."""
    text = re.sub(r"(?<!\w)(\*{1,3}|_{1,3})(?=\S)(.+?)(?<=\S)\1(?!\w)", r"*\2*", text)
    return re.sub(r"\\([\\`*_{}\[\]()#+.!-])", r"\1", text)


def _word_paragraphs(data: bytes, file: str) -> Iterator[Paragraph]:
    """Yield the paragraphs of a .docx in the order of the file, those in tables and text boxes too."""
    from docx.text.paragraph import Paragraph as Found  # noqa: PLC0415  see `_document`

    document = _document(data, file)
    for number, element in enumerate(document.element.body.iter(_W + "p"), 1):
        paragraph = Found(element, document)
        runs = list(_runs(paragraph))
        style = (paragraph.style.name or "") if paragraph.style is not None else ""
        heading = style.startswith(("Heading", "Title"))
        text = "".join(run.text for run in runs).replace("\n", " ").strip()
        if not text:
            continue
        inked = [run for run in runs if run.text.strip()]
        aside = all(run.italic for run in inked) and not heading
        whole = heading or aside or all(bool(run.bold) for run in inked)
        words = text if whole else "".join(_run(run) for run in runs).replace("\n", " ").strip()
        yield Paragraph(text=words, row=number, heading=heading, aside=aside)


_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
"""Namespace of a .docx (ISO/IEC 29500-1)."""
_GONE = (_W + "del", _W + "moveFrom", "{http://schemas.openxmlformats.org/markup-compatibility/2006}Fallback")
"""What tracked changes have taken away (ISO/IEC 29500-1, 17.13.5), and what stands twice (29500-3)."""


def _runs(paragraph: Any) -> Iterator[Any]:
    """Yield the runs of a paragraph that have text, as if every tracked change were accepted."""
    from docx.text.run import Run  # noqa: PLC0415  see `_document`

    for element in paragraph._p.iter(_W + "r"):
        inside = takewhile(lambda one: one is not paragraph._p, element.iterancestors())
        gone = any(one.tag in _GONE for one in element.iterancestors())
        if not gone and all(one.tag != _W + "p" for one in inside):
            run = Run(element, paragraph)
            if run.text:
                yield run


def _run(run: Any) -> str:
    """Return the words of one run, between asterisks when it stands out; spaces stay outside them."""
    text = str(run.text)
    # A speaker's name is often bold; emphasis is what stands out in the middle of the words.
    if not (run.italic or run.bold) or not text.strip() or text.rstrip().endswith(":"):
        return text
    core = text.strip()
    start = text.index(core)
    return f"{text[:start]}*{core}*{text[start + len(core) :]}"


def _document(data: bytes, file: str) -> Any:
    """Open a .docx after its unpacked size is known to be bounded."""
    from docx import Document  # noqa: PLC0415  half a second to load, for one kind of file

    damaged = LetteringError("this is no .docx file that can be read.", file, "Save it again, or as .txt.")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > MOST_UNPACKED:
                raise LetteringError("unpacked, the file is too large for a manuscript.", file)
        return Document(io.BytesIO(data))
    except LetteringError:
        raise
    except Exception as error:  # the library raises whatever its parsers raise
        raise damaged from error
