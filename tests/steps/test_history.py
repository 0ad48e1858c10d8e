"""The history of a book: on disk beside it, whole after a crash at any moment."""

from collections.abc import Callable
from pathlib import Path

import pytest

from lettering.errors import LetteringError, OutputError
from lettering.steps import history as subject
from lettering.steps.history import History
from lettering.steps.table_files import history_folder, write
from lettering.storage.changes import ElsewhereError
from tests.steps.books import BOOK

HANDS = ("hand.ufo",)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book file and something like a glyph set."""
    (tmp_path / "hand.ufo" / "glyphs").mkdir(parents=True)
    (tmp_path / "hand.ufo" / "glyphs" / "a.glif").write_bytes(b"a0")
    (tmp_path / "hand.ufo" / "glyphs" / "b.glif").write_bytes(b"b0")
    path = tmp_path / "book.yaml"
    path.write_text(BOOK)
    return path


def held(book: Path) -> dict[str, bytes]:
    """Return every file of the book."""
    every = [book, *sorted((book.parent / "hand.ufo").rglob("*.glif"))]
    return {str(p.relative_to(book.parent)): p.read_bytes() for p in every if p.is_file()}


def opened(book: Path) -> History:
    """Return the history as a table that is opened has it."""
    history = History(book)
    history.open()
    return history


def step(history: History, way: int) -> None:
    """Undo, or do again."""
    history.take(history.step(way, HANDS), HANDS)


def changes(book: Path, history: History) -> list[dict[str, bytes]]:
    """Make three changes, one of several files, and return what was held before and after each."""
    states = [held(book)]
    title = "book.yaml", book.read_bytes().replace(b"Allotment", b"Garden")
    a, b, c = (f"hand.ufo/glyphs/{n}.glif" for n in "abc")
    for label, after in (
        ("title", dict([title])),
        ("letters", {a: b"a1", b: None, c: b"c1"}),
        ("one more", {a: b"a2"}),
    ):
        before = {name: states[-1].get(name) for name in after}
        history.make(label, before, after, hands=HANDS, spread=None)
        states.append(held(book))
    return states


def test_all_is_undone_and_done_again_by_a_later_session(book: Path) -> None:
    """Another session undoes everything to the byte, the next does it again."""
    states = changes(book, opened(book))
    later = opened(book)
    assert (later.undoable, later.redoable) == ("one more", None)
    for state in reversed(states[:-1]):
        step(later, -1)
        assert held(book) == state
    again = opened(book)
    assert (again.undoable, again.redoable) == (None, "title")
    for state in states[1:]:
        step(again, 1)
        assert held(book) == state
    with pytest.raises(LetteringError, match="nothing to do again"):
        step(again, 1)


def test_what_was_undone_is_forgotten_when_something_else_is_done(book: Path) -> None:
    """A change after undoing takes the place of what was undone, also for the next session."""
    history = opened(book)
    states = changes(book, history)
    step(history, -1)
    history.make(
        "other", {"book.yaml": book.read_bytes()}, {"book.yaml": b"title: x\n"}, hands=HANDS, spread=2
    )

    assert (history.undoable, history.redoable) == ("other", None)
    later = opened(book)
    assert (later.undoable, later.redoable) == ("other", None)
    step(later, -1)
    assert held(book) == states[2]


def test_a_file_that_another_program_changed_is_left(book: Path) -> None:
    """It says which; changes of other files can still be undone."""
    history = opened(book)
    changes(book, history)
    book.write_text("title: theirs\n")
    for _ in range(2):
        step(history, -1)
    for session in (history, opened(book)):
        with pytest.raises(ElsewhereError, match=r"book\.yaml: this was changed by another program"):
            step(session, -1)

    assert book.read_text() == "title: theirs\n"


class CutError(BaseException):
    """The machine stops here."""


@pytest.mark.parametrize("way", [0, -1, 1], ids=["made", "undone", "done again"])
@pytest.mark.parametrize("when", ["before", "amid", "after"])
def test_a_crash_at_any_moment_leaves_one_state_or_the_other(
    book: Path, way: int, when: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut off before, amid or after the writing, the next session finds all files old or all of them new."""
    history = opened(book)
    both = {"book.yaml": book.read_bytes() + b"# more\n", "hand.ufo/glyphs/a.glif": b"a1"}
    old, whole = held(book), dict(both)

    def make() -> None:
        before = {name: old[name] for name in both}
        history.make("both", before, both, hands=HANDS, spread=None)

    if way:
        make()
    if way == 1:
        step(history, -1)
    monkeypatch.setattr(subject, "write", cut_off(when))
    with pytest.raises(CutError):
        make() if way == 0 else step(history, way)
    monkeypatch.undo()
    later = opened(book)

    assert held(book) in (old, old | whole)
    there = later.undoable == "both"
    assert held(book) == (old | whole if there else old)
    step(later, -1 if there else 1)
    assert held(book) == (old if there else old | whole)


def cut_off(when: str) -> Callable[..., None]:
    """Return a writer that stops before its work, in the middle of it, or after."""

    def writes(path: Path, hands: object, before: dict[str, bytes], after: dict[str, bytes]) -> None:
        names = {"before": 0, "amid": 1, "after": 2}[when]
        write(path, HANDS, before, dict(list(after.items())[:names]))
        raise CutError

    return writes


def test_a_disk_that_refuses_leaves_no_change(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the files cannot be written the change is not in the history either."""

    def full(*_: object) -> None:
        raise OutputError("cannot write: no space left.", str(book))

    history = opened(book)
    monkeypatch.setattr(subject, "write", full)
    with pytest.raises(OutputError):
        history.make("more", {"book.yaml": b"x"}, {"book.yaml": b"y"}, hands=HANDS, spread=None)

    assert history.undoable is None
    assert not list(history_folder(book).glob("*.json"))


def test_former_sessions_are_kept_as_far_as_there_is_room(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beyond the bound the oldest go when a table is opened; of this session none does."""
    history = opened(book)
    changes(book, history)
    sizes = [p.stat().st_size for p in sorted(history_folder(book).glob("*.json"))]
    monkeypatch.setattr(subject, "MOST_KEPT", sizes[-1] + 1)
    assert history.undoable == "one more"
    later = opened(book)
    step(later, -1)

    assert later.undoable is None
    assert len(list(history_folder(book).glob("*.json"))) == 1


@pytest.mark.parametrize(
    "name", ["../elsewhere.txt", "/etc/hostname", "hand.ufo/../../elsewhere.txt", "other.ufo/a.glif"]
)
def test_a_history_from_elsewhere_touches_nothing_but_the_book(book: Path, name: str) -> None:
    """A record that names any other file is refused."""
    history = opened(book)
    history.make(
        "title", {"book.yaml": book.read_bytes()}, {"book.yaml": b"title: x\n"}, hands=HANDS, spread=None
    )
    record = next(history_folder(book).glob("*.json"))
    record.write_text(record.read_text().replace('"book.yaml"', f'"{name}"'))
    with pytest.raises(LetteringError, match="no file of the book"):
        step(opened(book), -1)


def test_a_damaged_record_ends_what_can_be_undone(book: Path) -> None:
    """What lies behind it can be undone, what lies before it cannot."""
    changes(book, opened(book))
    sorted(history_folder(book).glob("*.json"))[1].write_text("{")
    later = opened(book)
    step(later, -1)

    assert later.undoable is None
