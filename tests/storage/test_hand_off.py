"""The hand-off is put in place whole, or not at all, and by one run at a time."""

import errno
from pathlib import Path

import pytest

from lettering.errors import OutputError
from lettering.storage.hand_off import replacing_parts


def files(folder: Path) -> dict[str, str]:
    """Return every file below a folder with its text."""
    return {str(p.relative_to(folder)): p.read_text() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture
def former(tmp_path: Path) -> Path:
    """A folder with a former hand-off and somebody's note."""
    for name, text in (("svg/a.svg", "old a"), ("png/a.png", "old png"), ("note.txt", "mine")):
        path = tmp_path / "out" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return tmp_path / "out"


def fill(fresh: Path) -> None:
    """Make a new svg folder and a manifest."""
    (fresh / "svg").mkdir()
    (fresh / "svg" / "b.svg").write_text("new b")
    (fresh / "manifest.json").write_text("{}")


def test_new_parts_take_the_place_of_the_former_ones(former: Path) -> None:
    """A part is replaced as a whole, other parts and foreign files stay, and nothing else is left."""
    with replacing_parts(former) as fresh:
        fill(fresh)

    assert files(former) == {
        "manifest.json": "{}",
        "note.txt": "mine",
        "png/a.png": "old png",
        "svg/b.svg": "new b",
    }


@pytest.mark.parametrize("error", [KeyboardInterrupt(), OSError(errno.ENOSPC, "No space left on device")])
def test_an_interrupted_run_leaves_the_former_hand_off(former: Path, error: BaseException) -> None:
    """When making the files fails, at whatever point, what was there is untouched."""
    before = files(former)

    def make() -> None:
        with replacing_parts(former) as fresh:
            fill(fresh)
            raise error

    with pytest.raises((KeyboardInterrupt, OutputError)):
        make()
    assert files(former) == before


@pytest.mark.parametrize("fails", range(4))
def test_a_failure_at_any_rename_puts_the_former_parts_back(
    former: Path, fails: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Putting in place takes three renames here; after a failure at any of them all is as before."""
    before, done = files(former), []
    rename = Path.rename

    def failing(self: Path, target: Path) -> Path:
        done.append(target)
        if len(done) == fails + 1:
            raise OSError(errno.EIO, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)

    def make() -> None:
        with replacing_parts(former) as fresh:
            fill(fresh)

    if fails < 3:
        with pytest.raises(OutputError, match="former hand-off is untouched"):
            make()
        assert files(former) == before
    else:
        make()
        assert files(former)["svg/b.svg"] == "new b"


def test_two_runs_into_one_folder_do_not_mix(former: Path) -> None:
    """A second run is refused while the first is at work, and may go on after it."""
    before = files(former)
    with (
        replacing_parts(former),
        pytest.raises(OutputError, match="another export"),
        replacing_parts(former) as second,
    ):
        fill(second)
    assert files(former) == before
    with replacing_parts(former) as fresh:
        fill(fresh)
    assert "svg/b.svg" in files(former)
