"""Writes are whole or have not happened."""

from pathlib import Path

import pytest

from lettering.errors import OutputError
from lettering.storage.atomic import replacing_folder, write_bytes, write_text


def test_a_file_is_written_with_its_folders(tmp_path: Path) -> None:
    """Missing folders are made, and nothing else is left beside the file."""
    path = tmp_path / "deep" / "er" / "words.txt"
    write_text(path, "Åh!\n")

    assert path.read_bytes() == "Åh!\n".encode()
    assert list(path.parent.iterdir()) == [path]


def test_an_interrupted_write_leaves_the_former_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the last step fails the former content stands and no scrap remains."""
    path = tmp_path / "kept.bin"
    write_bytes(path, b"former")

    def refuse(self: Path, target: Path) -> Path:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OutputError, match=r"kept\.bin.*Input/output error.*untouched"):
        write_bytes(path, b"new")

    assert path.read_bytes() == b"former"
    assert list(tmp_path.iterdir()) == [path]


def test_a_path_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    """A file where a folder is needed gives an OutputError with the path."""
    (tmp_path / "file").write_text("x")

    with pytest.raises(OutputError, match="file/inside"):
        write_bytes(tmp_path / "file" / "inside", b"")


def test_a_folder_takes_the_place_of_the_former_at_once(tmp_path: Path) -> None:
    """The new folder stands alone in place of the old."""
    path = tmp_path / "set"
    for word in ("one", "two"):
        with replacing_folder(path) as folder:
            (folder / word).write_text(word)

    assert [p.name for p in path.iterdir()] == ["two"]
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("error", [OSError(28, "No space left"), KeyboardInterrupt(), ValueError("no")])
def test_a_folder_that_could_not_be_filled_changes_nothing(tmp_path: Path, error: BaseException) -> None:
    """Any failure while filling, also an interruption, leaves the former folder and no scrap."""
    path = tmp_path / "set"
    with replacing_folder(path) as folder:
        (folder / "kept").write_text("kept")

    def spoil() -> None:
        with replacing_folder(path) as folder:
            (folder / "half").write_text("half")
            raise error

    with pytest.raises((OutputError, KeyboardInterrupt, ValueError)):
        spoil()
    assert [p.name for p in path.iterdir()] == ["kept"]
    assert list(tmp_path.iterdir()) == [path]
