"""Manuscripts on disk: text, Markdown and .docx."""

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from docx import Document
from docx.oxml import OxmlElement

from lettering.errors import LetteringError
from lettering.storage.manuscript import MOST_UNPACKED, read_manuscript

TEXT = """The Lost Button

Pages 4-5
Nobody saw it roll.
WREN: A row that the editor wrapped, since it was far too long to stand
in one row of the file.
TOAD: Not me!
"""


def says(path: Path) -> list[str]:
    """Return the words of all lines."""
    return [line.says for spread in read_manuscript(path).spreads for line in spread.lines]


def test_rows_of_plain_text_that_were_wrapped_are_one_paragraph(tmp_path: Path) -> None:
    """A long row goes on in the next one; a speaker begins a line wherever it stands."""
    path = tmp_path / "m.txt"
    path.write_text(TEXT)

    assert read_manuscript(path).title == "The Lost Button"
    assert says(path)[1] == (
        "A row that the editor wrapped, since it was far too long to stand in one row of the file."
    )
    assert says(path)[2] == "Not me!"


def test_markdown_keeps_its_emphasis_and_its_notes_apart(tmp_path: Path) -> None:
    """Emphasis comes as CommonMark has it; a paragraph all in italics is a note."""
    path = tmp_path / "m.md"
    path.write_text("# Title\n\n## Pages 4-5\n\n*Dusk.*\n\n**Wren:** Not __me__ and not *you*, 2\\*3!\n")
    found = read_manuscript(path)

    assert found.title == "Title"
    assert found.spreads[0].lines[0].says == "Not *me* and not *you*, 2*3!"
    assert found.spreads[0].lines[0].notes == ("Dusk.",)


def test_a_word_processor_file_is_read_with_its_italics(tmp_path: Path) -> None:
    """Headings, italic notes and stressed words of a .docx written by python-docx are understood."""
    document = Document()
    document.add_heading("The Lost Button", 0)
    document.add_heading("Pages 4-5", 1)
    document.add_paragraph().add_run("Dusk, no stars.").italic = True
    spoken = document.add_paragraph()
    spoken.add_run("WREN:").bold = True
    spoken.add_run(" Did ")
    spoken.add_run("you ").italic = True
    spoken.add_run("see it?")
    path = tmp_path / "m.docx"
    document.save(str(path))
    found = read_manuscript(path)

    assert found.title == "The Lost Button"
    assert found.spreads[0].lines[0].who == ("WREN",)
    assert found.spreads[0].lines[0].says == "Did *you* see it?"
    assert found.spreads[0].lines[0].notes == ("Dusk, no stars.",)


def tracked(tag: str, text: str, words: str = "w:t") -> Any:
    """Return a tracked change as ISO/IEC 29500-1, 17.13.5 has it: w:ins or w:del round a run."""
    change, run, said = OxmlElement(tag), OxmlElement("w:r"), OxmlElement(words)
    said.text = text
    run.append(said)
    change.append(run)
    return change


def test_tracked_changes_links_and_tables_are_read(tmp_path: Path) -> None:
    """What the editor put in is there and what was struck out is not; words in links and tables are words."""
    document = Document()
    document.add_heading("Pages 4-5", 1)
    spoken = document.add_paragraph("WREN: Who left ")
    spoken._p.append(tracked("w:ins", "a cello"))
    spoken._p.append(tracked("w:del", "a drum", "w:delText"))
    spoken.add_run(" in ")
    spoken._p.append(tracked("w:hyperlink", "here?"))
    document.add_table(1, 1).cell(0, 0).text = "TOAD: Not me."
    document.add_paragraph("Nobody answered.")
    path = tmp_path / "m.docx"
    document.save(str(path))

    assert says(path) == ["Who left a cello in here?", "Not me.", "Nobody answered."]


def test_marks_of_lists_and_quotations_are_no_words(tmp_path: Path) -> None:
    """Bullets and quotations of Markdown say who speaks as plain rows do; its comments are notes."""
    path = tmp_path / "m.md"
    path.write_text("# Pages 4-5\n\n- Wren: Who?\n\n> **Toad** *(shouting)*: Me!\n\n<!-- Ask Ann. -->\n")
    found = read_manuscript(path).spreads[0]

    assert [(line.who, line.says) for line in found.lines] == [(("Wren",), "Who?"), (("Toad",), "Me!")]
    assert found.lines[1].voice == "shout"
    assert found.notes == ("Ask Ann.",)


def packed_bomb() -> bytes:
    """Return a small archive that would unpack to more than is read."""
    file = io.BytesIO()
    with (
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("word/document.xml", "w") as entry,
    ):
        for _ in range(MOST_UNPACKED // 1_000_000 + 1):
            entry.write(bytes(1_000_000))
    return file.getvalue()


@pytest.mark.parametrize(
    ("name", "data", "message"),
    [
        ("m.docx", b"no archive", "no .docx file"),
        ("m.txt", b"Pages 4-5\n\xff\n", "not UTF-8"),
        ("m.txt", b"", "no spread is headed"),
        ("m.pages", b"x", "no kind of manuscript"),
        ("m.txt", b"a" * 2_000_001, "at most 2,000,000"),
    ],
)
def test_files_that_are_no_manuscript_are_refused(
    name: str, data: bytes, message: str, tmp_path: Path
) -> None:
    """What cannot be read is refused in a sentence."""
    path = tmp_path / name
    path.write_bytes(data)

    with pytest.raises(LetteringError, match=message):
        read_manuscript(path)


def test_an_archive_that_unpacks_too_large_is_refused(tmp_path: Path) -> None:
    """The unpacked size is known before anything is unpacked."""
    path = tmp_path / "bomb.docx"
    path.write_bytes(packed_bomb())

    assert path.stat().st_size < 100_000
    with pytest.raises(LetteringError, match="too large"):
        read_manuscript(path)


def test_a_missing_manuscript_is_named(tmp_path: Path) -> None:
    """A path that leads nowhere is said so."""
    with pytest.raises(LetteringError, match="no such file"):
        read_manuscript(tmp_path / "none.txt")
