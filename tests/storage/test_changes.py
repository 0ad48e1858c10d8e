"""Changes of files: kept by what differs, undone to the byte, never over what others changed."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.errors import LetteringError
from lettering.storage.changes import Change, ElsewhereError, read_change, write_change

SPOILED = {"was": None, "now": None, "at": 0, "out": "!", "in": ""}
HELD = st.none() | st.binary(max_size=60)


@given(st.dictionaries(st.sampled_from("abc"), HELD), st.dictionaries(st.sampled_from("abc"), HELD))
def test_a_change_undone_and_done_again_gives_back_every_byte(
    before: dict[str, bytes | None], after: dict[str, bytes | None]
) -> None:
    """Undoing gives what was and doing again what became, of files that came and went too."""
    change = Change.between("one", 3, before, after)
    named = {name: before.get(name) for name in change.files}
    then = {name: after.get(name) for name in change.files}

    assert change.undone(after) == named
    assert change.redone(before) == then
    assert change.is_before(before)
    assert change.finished(named | {n: then[n] for n in list(then)[:1]}) == then


def test_a_change_comes_back_from_its_file_and_is_small(tmp_path: Path) -> None:
    """One word in a large file takes a few hundred bytes."""
    text = b"".join(b"line %d of a long book\n" % k for k in range(5_000))
    change = Change.between(
        "words", 0, {"book.yaml": text}, {"book.yaml": text.replace(b"line 77 ", b"row 77 ")}
    )
    write_change(change, tmp_path / "1.json")

    assert read_change(tmp_path / "1.json") == change
    assert (tmp_path / "1.json").stat().st_size < 500


def test_what_others_changed_is_never_written_over() -> None:
    """A file that is neither as before nor as after is refused, by name."""
    change = Change.between("words", None, {"a": b"one"}, {"a": b"two"})
    for step in (change.undone, change.redone):
        with pytest.raises(ElsewhereError, match="a: this was changed by another program"):
            step({"a": b"three"})


@pytest.mark.parametrize(
    "text",
    ["", "[]", "{}", '{"label": "x", "spread": null, "files": {"a": 1}}', "[" * 100_000,
     json.dumps({"label": "x", "spread": None, "files": {"a": SPOILED}})],
    ids=["empty", "a list", "nothing", "no delta", "deep", "no base64"],
)  # fmt: skip
def test_what_is_no_change_is_refused(tmp_path: Path, text: str) -> None:
    """A record that was damaged is told, not guessed at."""
    (tmp_path / "1.json").write_text(text)
    with pytest.raises(LetteringError, match="no record of a change"):
        read_change(tmp_path / "1.json")
