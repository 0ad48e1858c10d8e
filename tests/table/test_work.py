"""The work on the table: saved at once, shared with other programs, and undone."""

import json
import shutil
import time
from collections.abc import Callable, Sequence

import httpx
import pytest
import yaml

from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.errors import LetteringError
from lettering.steps.book_changes import FIELDS
from lettering.steps.check import check_book
from lettering.steps.layout import layout
from lettering.steps.on_table import laid
from lettering.steps.place import book_as_placed
from lettering.storage.placements import placements_path
from tests.table.conftest import Served


def edit(client: httpx.Client, kind: str, **fields: object) -> httpx.Response:
    """Change the book as the page does."""
    return client.post("/api/edit", json={"kind": kind, **fields})


def plain(served: Served) -> dict[str, object]:
    """Return the book file as PyYAML reads it."""
    read: dict[str, object] = yaml.safe_load(served.text)
    return read


def until(holds: Callable[[], bool], seconds: float = 90.0) -> bool:
    """Tell whether something comes to hold in time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if holds():
            return True
        time.sleep(0.02)
    return False


CHANGES = [
    ("book", {"name": "title", "value": "Another: band"}, lambda b: b["title"] == "Another: band"),
    ("book", {"name": "bleed", "value": "5 mm"}, lambda b: b["page"]["bleed"] == "5 mm"),
    ("character", {"key": "toad", "height": "8 cm"}, lambda b: b["cast"]["toad"]["height"] == "8 cm"),
    ("character", {"key": "toad", "name": "Old Toad"}, lambda b: b["cast"]["toad"]["name"] == "Old Toad"),
    ("character", {"key": "toad", "hand": "toad.ufo"}, lambda b: b["cast"]["toad"]["hand"] == "toad.ufo"),
    ("character", {"key": "toad", "hand": ""}, lambda b: "hand" not in b["cast"]["toad"]),
    ("character", {"key": "toad", "height": ""}, lambda b: "height" not in b["cast"]["toad"]),
    ("cast-order", {"key": "toad", "to": 0}, lambda b: list(b["cast"]) == ["toad", "wren"]),
    (
        "words",
        {"spread": 0, "line": 3, "was": "It was somebody small.", "says": "Somebody: small."},
        lambda b: b["spreads"][0]["lines"][2]["wren"] == {"says": "Somebody: small.", "voice": "whisper"},
    ),
    (
        "line-field",
        {"spread": 1, "line": 1, "was": "Then who?", "name": "voice", "value": "shout"},
        lambda b: b["spreads"][1]["lines"][0]["wren"] == {"says": "Then who?", "voice": "shout"},
    ),
    (
        "line-field",
        {"spread": 0, "line": 2, "was": "Not *me*!", "name": "voice", "value": "plain"},
        lambda b: b["spreads"][0]["lines"][1]["toad"] == {"says": "Not *me*!"},
    ),
    (
        "speaker",
        {"spread": 0, "line": 3, "was": "Somebody: small.", "who": "toad"},
        lambda b: list(b["spreads"][0]["lines"][2]) == ["toad"],
    ),
    (
        "new-line",
        {"spread": 1, "who": "caption", "says": "Silence."},
        lambda b: b["spreads"][1]["lines"][1] == {"caption": "Silence."},
    ),
    (
        "no-line",
        {"spread": 0, "line": 4, "was": "Nobody answered."},
        lambda b: len(b["spreads"][0]["lines"]) == 3,
    ),
    (
        "copy-figures",
        {"spread": 1, "source": 0},
        lambda b: b["spreads"][1]["figures"]["toad"]["mouth"] == [330, 185],
    ),
    (
        "figure",
        {"spread": 1, "who": "toad", "number": 0, "box": [300, 100, 60, 70.25], "mouth": [320, 120]},
        lambda b: b["spreads"][1]["figures"]["toad"] == {"box": [300, 100, 60, 70.2], "mouth": [320, 120]},
    ),
    (
        "figure",
        {"spread": 1, "who": "wren", "number": 1, "box": [300, 100, 60, 70]},
        lambda b: [f["box"][0] for f in b["spreads"][1]["figures"]["wren"]] == [60, 300],
    ),
    (
        "figure",
        {"spread": 0, "who": "wren", "number": 0, "box": [40, 150, 60, 70], "face": [50, 152, 30, 28]},
        lambda b: b["spreads"][0]["figures"]["wren"]["box"] == [40, 150, 60, 70],
    ),
    (
        "keep-clear",
        {"spread": 1, "number": 0, "box": [1, 2, 3, 4]},
        lambda b: b["spreads"][1]["keep_clear"] == [[1, 2, 3, 4]],
    ),
    (
        "no-figure",
        {"spread": 1, "who": "wren", "number": 0},
        lambda b: [f["box"][0] for f in b["spreads"][1]["figures"]["wren"]] == [300],
    ),
]


def test_every_change_is_saved_at_once_and_undone_to_the_byte(served: Served) -> None:
    """Each change is in the file when it is answered; comments stay; undoing all gives back every byte."""
    first = {path.name: path.read_bytes() for path in served.path.parent.glob("book*")}
    with served.client() as client:
        for kind, fields, holds in CHANGES:
            answer = edit(client, kind, **fields)
            assert answer.status_code == 200, answer.text
            assert holds(plain(served)), kind
            assert "# a working title" in served.text or fields.get("name") == "title"
            assert "# small and sure" in served.text
        last = {path.name: path.read_bytes() for path in served.path.parent.glob("book*")}
        for _ in CHANGES:
            assert client.post("/api/undo", json={}).status_code == 200
        back = {path.name: path.read_bytes() for path in served.path.parent.glob("book*")}
        for _ in CHANGES:
            assert client.post("/api/redo", json={}).status_code == 200
        assert client.post("/api/redo", json={}).status_code == 422

    assert back["book.yaml"] == first["book.yaml"]
    assert json.loads(back["book.placements.json"]) == json.loads(first["book.placements.json"])
    assert {path.name: path.read_bytes() for path in served.path.parent.glob("book*")} == last


def test_what_the_table_shows_is_what_the_commands_do(served: Served) -> None:
    """After moves and edits `lettering check` sees the book as it lies on the table, finding for finding."""
    with served.client() as client:
        client.post("/api/drop", json={"spread": 0, "line": 1, "to": [90, 60]})
        edit(client, "words", spread=0, line=2, was="Not *me*!", says="Not me! Nor mine.")
        client.post("/api/drop", json={"spread": 1, "line": 1, "to": [120, 90]})
        again = check_book(served.path)
        assert until(lambda: served.table.work.book.findings == again.findings)
        opened = served.table.work.book.opened.result

    assert layout(opened)["spreads"] == layout(again)["spreads"]


def test_a_change_on_disk_is_taken_in_and_merged(served: Served) -> None:
    """What an editor wrote meanwhile stays when the page changes something else, and is told."""
    with served.client() as client:
        served.path.write_text(served.text.replace("Nobody answered.", "Nobody said a word."), "utf-8")
        answer = edit(client, "words", spread=1, line=1, was="Then who?", says="Then who was it?")

    assert answer.status_code == 200
    assert "Nobody said a word." in served.text
    assert "Then who was it?" in served.text


def test_a_line_that_was_changed_on_disk_is_not_overwritten(served: Served) -> None:
    """Changing a line whose words are no longer those that were seen is refused, and says what they are."""
    with served.client() as client:
        served.path.write_text(served.text.replace("Then who?", "Who else?"), "utf-8")
        before = served.text
        answer = edit(client, "words", spread=1, line=1, was="Then who?", says="Then who was it?")

    assert answer.status_code == 409
    assert "Who else?" in answer.json()["said"]
    assert served.text == before


def test_a_file_broken_by_an_editor_is_left_and_told(served: Served) -> None:
    """While the book file cannot be read nothing is written; once it is mended work goes on."""
    good = served.text
    with served.client() as client:
        served.path.write_text("title: [", "utf-8")
        assert until(lambda: bool(client.get("/api/book").json()["trouble"]))
        assert edit(client, "book", name="title", value="x").status_code == 422
        assert served.text == "title: ["
        served.path.write_text(good, "utf-8")
        assert until(lambda: not client.get("/api/book").json()["trouble"])
        assert edit(client, "book", name="title", value="Mended").status_code == 200

    assert served.text == good.replace("The Allotment Band", "Mended")


def test_placements_changed_on_disk_are_shown(served: Served) -> None:
    """When git brings other placements, the table shows them."""
    path = placements_path(served.path)
    given = json.loads(path.read_text("utf-8"))
    given["spreads"][1]["lines"][0]["position"] = [130.0, 70.0]
    path.write_text(json.dumps(given), "utf-8")

    def shown() -> bool:
        spread = served.table.work.book.spreads[1]
        return spread is not None and spread.lines[0].placement.centre.x == 130.0

    assert until(shown)


def test_a_release_lets_the_next_placing_move_a_line(served: Served) -> None:
    """A dropped line is held on disk, a released one is not."""

    def held() -> bool:
        return bool(json.loads(placements_path(served.path).read_text())["spreads"][1]["lines"][0]["held"])

    with served.client() as client:
        client.post("/api/drop", json={"spread": 1, "line": 1, "to": [120, 90]})
        assert held()
        client.post("/api/release", json={"spread": 1, "line": 1})
        assert not held()


def test_the_others_settle_round_a_bubble_that_is_left_on_them(served: Served) -> None:
    """A bubble left on top of another stays there; the other moves away until no rule is broken."""
    with served.client() as client:
        lines = client.get("/api/spreads/0").json()["lines"]
        onto = [lines[2]["centre"][0] + 3, lines[2]["centre"][1] + 2]
        assert client.post("/api/move", json={"spread": 0, "line": 1, "to": onto}).json()["broken"]
        after = client.post("/api/drop", json={"spread": 0, "line": 1, "to": onto}).json()

    assert after["lines"][0]["centre"] == onto
    assert after["lines"][2]["centre"] != lines[2]["centre"]
    assert not after["broken"]


def test_a_longer_task_keeps_changes_waiting_and_stops_when_asked(served: Served) -> None:
    """While the book is placed nothing else changes it; stopped, the files are as they were."""
    before = {path.name: path.read_bytes() for path in served.path.parent.glob("book*")}
    with served.client() as client:
        work, tasks = served.table.work, served.table.tasks

        def slow(progress: Callable[[str, int, int], None]) -> tuple[()]:
            for part in range(500):
                progress("slowly", part, 500)
                time.sleep(0.01)
            return ()

        tasks.start("slowly", slow, alone=True)
        assert until(lambda: work.task is not None)
        assert edit(client, "book", name="title", value="x").status_code == 423
        client.post("/api/cancel", json={})
        assert until(lambda: not tasks.running)
        client.post("/api/task", json={"kind": "place-all"})
        client.post("/api/cancel", json={})
        assert until(lambda: not tasks.running)

    assert {path.name: path.read_bytes() for path in served.path.parent.glob("book*")} == before


def test_an_unfinished_book_is_shown_as_far_as_it_goes(served: Served) -> None:
    """A speaker without a figure leaves that spread bare and says so; the other is lettered as before."""
    placed = json.loads(placements_path(served.path).read_text())
    with served.client() as client:
        edit(client, "no-figure", spread=1, who="wren", number=0)
        book = client.get("/api/book").json()["book"]
        edit(client, "figure", spread=1, who="wren", number=0, box=[60, 150, 60, 70], mouth=[90, 168])

    assert [spread["ready"] for spread in book["spreads"]] == [True, False]
    assert "wren speaks and has no figure" in book["spreads"][1]["lacks"][0]
    assert json.loads(placements_path(served.path).read_text()) == placed


def test_every_field_of_a_book_has_one_place() -> None:
    """The single values that the page may set are those of the book file's own table, and no path."""
    assert "hand" not in FIELDS
    assert {place[0] for place in FIELDS.values()} <= {"title", "language", "reader_age", "page", "lettering"}


def test_a_spread_whose_art_is_gone_says_so(served: Served) -> None:
    """A picture that was deleted is told as lacking, not as a fault."""
    text = served.text.replace("  - pages: 6-7\n", "  - pages: 6-7\n    art: gone.png\n")
    served.path.write_text(text, "utf-8")
    with served.client() as client:
        assert until(lambda: not client.get("/api/book").json()["book"]["spreads"][1]["ready"])

    with pytest.raises(LetteringError):
        book_as_placed(served.path)


def test_a_folder_without_a_hand_is_a_beginning(served: Served) -> None:
    """Without its hand every spread waits, and says what for."""
    shutil.rmtree(served.path.parent / "hand.ufo")
    with served.client() as client:
        assert until(lambda: not client.get("/api/book").json()["book"]["spreads"][0]["ready"])
        said = client.get("/api/book").json()["book"]["spreads"][0]["lacks"]
        hand = client.get("/api/hand").json()

    assert said == ["The book has no hand yet: gather a lettered page."]
    assert {"W", "?"} <= set(hand["lacks"])


def test_room_given_to_a_letter_reaches_the_lines_that_show_it_and_moves_no_other(served: Served) -> None:
    """A p with more room: the one line that has a p is set anew where it stands, all else is as it was.

    The book is then what opening it gives; undone, it is what it was.
    """
    work = served.table.work
    before = work.book.spreads
    with served.client() as client:
        assert edit(client, "sides", take="p", by=[1.5, 1.5]).status_code == 200
        after = work.book.spreads
        fresh = laid(served.path).spreads
        client.post("/api/undo")
    back = work.book.spreads

    assert after[1] is before[1]
    assert after[0] is not None
    assert before[0] is not None
    compost, *others = zip(before[0].lines, after[0].lines, strict=True)
    assert "compost" in compost[0].line.says
    assert compost[1].stack.ink.width > compost[0].stack.ink.width + 2.0
    assert compost[1].placement.centre == compost[0].placement.centre
    assert [lies(now) for _, now in others] == [lies(was) for was, _ in others]
    assert drawn(after) == drawn(fresh)
    assert drawn(back) == drawn(before)


def drawn(spreads: Sequence[FinishedSpread | None]) -> list[list[tuple[object, ...]]]:
    """Return where all lines of spreads lie."""
    return [[lies(line) for line in done.lines] for done in spreads if done is not None]


def lies(line: FinishedLine) -> tuple[object, ...]:
    """Return where a line, its bubble and each of its letters lie."""
    glyphs = (glyph.ink for row in line.stack.rows for glyph in row.glyphs)
    return (line.placement, line.bubble and line.bubble.body, *glyphs)
