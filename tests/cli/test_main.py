"""The command line as people use it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from lettering.cli.main import COMMANDS, main, parser
from lettering.steps.place import place_book
from tests.steps.books import BOOK, book_on_disk


@pytest.mark.parametrize("command", ["gather", "hand", "place", "check", "export", "demo"])
def test_each_command_has_help_with_an_example(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`--help` of each command shows what to type."""
    with pytest.raises(SystemExit) as stop:
        main([command, "--help"])

    assert stop.value.code == 0
    assert f"example:\n  lettering {command}" in capsys.readouterr().out


def test_help_lists_every_command() -> None:
    """The overview names each command."""
    text = parser().format_help()

    assert all(command.__name__.rsplit(".", 1)[1] in text for command in COMMANDS)


def test_a_command_that_is_mistyped_is_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """The first word is a command, or the nearest one is named."""
    assert main(["plase", "book.yaml"]) == 2
    assert capsys.readouterr().err == "lettering: no command is called 'plase'. Did you mean 'place'?\n"


def test_a_clean_book_is_placed_with_status_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Placing and checking a clean book say so and end with 0."""
    book = book_on_disk(tmp_path)

    assert main(["place", str(book)]) == 0
    assert "4 lines placed on 1 spread\n" in capsys.readouterr().out
    assert main(["check", str(book)]) == 0


def test_findings_that_are_errors_give_status_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A book with lettering below the least size ends with 1 and says what, where and by which source."""
    book = book_on_disk(tmp_path, BOOK.replace("reader_age: 5", "reader_age: 5\nlettering: {x_height: 2 mm}"))

    assert main(["place", str(book)]) == 1
    out = capsys.readouterr().out
    assert "error   pages 4-5, line 1" in out
    assert "BA 1913" in out


def test_what_cannot_be_done_gives_status_2_and_no_traceback(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A missing book, an unknown format and a broken book file end with 2 and a sentence each."""
    broken = tmp_path / "broken.yaml"
    broken.write_text("title: [", encoding="utf-8")
    for arguments in (
        ["place", str(tmp_path / "none.yaml")],
        ["check", str(broken)],
        ["export", str(broken), "--out", str(tmp_path / "out")],
        ["gather", str(broken), "--reading", str(broken), "--into", str(tmp_path / "hand.ufo")],
        ["hand", str(tmp_path / "none.ufo")],
        ["gather", "page.png", "--reading", "page.txt", "--into", "hand.ufo", "--x-height", "6 feet"],
    ):
        assert main(arguments) == 2
        assert capsys.readouterr().err.startswith("lettering: ")


def test_json_on_standard_output_is_nothing_but_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--json -` prints the layout alone, for other programs to read."""
    book = book_on_disk(tmp_path)
    place_book(book)
    main(["check", str(book), "--json", "-"])
    plain = json.loads(capsys.readouterr().out)

    assert plain["format"] == "lettering-layout"
    assert len(plain["spreads"][0]["lines"]) == 4


def test_a_fault_of_the_program_ends_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Even an error that nobody foresaw reaches the user as one line."""

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("unforeseen")

    monkeypatch.setattr("lettering.steps.check.book_as_placed", broken)

    assert main(["check", "book.yaml"]) == 2
    assert capsys.readouterr().err == "lettering: a fault in the program: RuntimeError: unforeseen\n"


def test_the_console_script_is_installed() -> None:
    """`lettering` runs as a command of its own."""
    run = subprocess.run(
        [Path(sys.executable).parent / "lettering", "--help"], capture_output=True, text=True, check=False
    )

    assert run.returncode == 0
    assert "in its illustrator's own hand" in run.stdout
