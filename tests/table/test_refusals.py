"""What is refused on the page: it says why beside the place, what to do next, and keeps what was typed."""

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.table.conftest import Served
from tests.table.page import Opener, png, spreads, until
from tests.table.test_whole_job import MANUSCRIPT

TYPED = [
    ("book", "#book-title", " ", "it may be a working title"),
    ("book", "#page-bleed", "wide", "Write it like 250 mm"),
    ("book", "#page-width", "5", "Make safe (8 mm) or gutter (10 mm) smaller"),
    ("book", "#height-toad", "tall", "Write it like 250 mm"),
    ("lines", "#words", "  ", "Take the line out instead"),
    ("figures", '[data-id="Box-0"]', "900", "x must lie from -3 to 503 mm"),
    ("figures", '[data-id="Mouth-1"]', "low", "a number of mm, such as 12.5"),
]
"""On which slip, in which field, what is typed, and of what it says what to do next."""


def note(page: Page, place: str) -> str:
    """Return what is said at a place of the page where something was refused."""
    shown = page.locator(f'[data-refused="{place}"] p')
    expect(shown).to_be_visible()
    return shown.inner_text()


def test_refused_fields_keep_what_was_typed_and_say_what_to_do(served: Served, opened: Opener) -> None:
    """Of every field: beside it stands why and what next, the typed words stay, and the file stays."""
    page, before = opened(served), served.text
    page.locator('[data-id="entry-4"]').click()
    page.locator("#tab-figures").click()
    page.locator('[data-id="list-wren-0"]').click()
    for sheet, field, typed, advice in TYPED:
        page.locator(f"#tab-{sheet}").click()
        page.locator(field).fill(typed)
        page.locator(field).blur()
        expect(page.locator(".refused p").filter(has_text=advice)).to_be_visible()
        expect(page.locator(field)).to_have_attribute("aria-invalid", "true")
        page.locator("#tab-checks").click()
        page.locator(f"#tab-{sheet}").click()
        expect(page.locator(field)).to_have_value(typed)
        assert page.locator(field).get_attribute("aria-describedby") == page.locator(
            ".refused:not(:empty)"
        ).last.get_attribute("id")
        page.locator(".refused:not(:empty) button").last.click()
        expect(page.locator(".refused:not(:empty)")).to_have_count(0)

    assert served.text == before


def test_a_new_line_that_is_refused_stays_written(served: Served, opened: Opener) -> None:
    """Without words it is refused; typed words outlast a change of slip until they are in the book."""
    page = opened(served)
    page.locator("summary", has_text="Another line").click()
    page.get_by_role("button", name="Add it").click()
    assert "Write its words first." in note(page, "new-line")
    page.locator("#new-says").fill("Me neither.")
    page.locator("#tab-checks").click()
    page.locator("#tab-lines").click()
    page.locator("summary", has_text="Another line").click()
    expect(page.locator("#new-says")).to_have_value("Me neither.")
    page.get_by_role("button", name="Add it").click()
    until(lambda: spreads(served)[0]["lines"][-1] == {"wren": "Me neither."}, page)

    expect(page.locator("#new-says")).to_have_value("")
    expect(page.locator('[data-refused="new-line"]')).to_be_empty()


def test_words_that_changed_meanwhile_are_for_her_to_decide(served: Served, opened: Opener) -> None:
    """Neither her words nor those of the other program are lost: she sees both and chooses."""
    page = opened(served)
    page.locator('[data-id="entry-4"]').click()
    was = "Nobody answered."
    for theirs, choice in (("Nobody spoke.", "Leave it as it is"), ("Nobody said it.", "Write mine over it")):
        page.locator("#words").fill("Nobody at all answered.")
        served.path.write_text(served.text.replace(was, theirs), "utf-8")
        expect(page.locator("#lettering-4 title")).to_have_text(theirs)
        page.locator("#words").blur()
        assert f"It now says '{theirs}'" in note(page, "line 0 4 words")
        assert theirs in served.text
        expect(page.locator("#words")).to_have_value("Nobody at all answered.")
        page.get_by_role("button", name=choice).click()
        expect(page.locator('[data-refused="line 0 4 words"]')).to_be_empty()
        was = "Nobody at all answered." if choice.startswith("Write") else theirs
        expect(page.locator("#words")).to_have_value(was)
        until(lambda was=was: was in served.text, page)  # type: ignore[misc]


def test_no_value_is_written_over_another_programs(served: Served) -> None:
    """Title, character, figure, place, art and bubble: each is refused when it is not as it was seen."""
    with served.client() as client:
        seen = client.get("/api/spreads/0").json()
        text = served.text.replace("The Allotment Band", "The Garden Band").replace("name: Toad", "name: Tod")
        served.path.write_text(text.replace("[38, 150, 60, 70]", "[30, 150, 60, 70]"), "utf-8")
        client.post("/api/drop", json={"spread": 0, "line": 1, "to": [90, 60]})
        theirs = served.text
        figure = {key: seen["figures"][0][key] for key in ("box", "face", "mouth")}
        wren = {"spread": 0, "who": "wren", "number": 0, "was": figure}
        place = {"spread": 0, "number": 0, "was": [1, 2, 3, 4]}
        for given in (
            {"kind": "book", "name": "title", "value": "Mine", "was": "The Allotment Band"},
            {"kind": "character", "key": "toad", "name": "Mine", "was": "Toad"},
            {"kind": "character", "key": "toad", "hand": "toad.ufo", "was": "other.ufo"},
            {"kind": "figure", "box": [50, 150, 60, 70], **wren},
            {"kind": "no-figure", **wren},
            {"kind": "keep-clear", "box": [5, 6, 7, 8], **place},
        ):
            assert client.post("/api/edit", json=given).status_code == 409, given
        art = client.post(
            "/api/upload/art", params={"name": "a.png", "spread": "0", "was": "art/b.png"}, content=png()
        )
        moved = {"spread": 0, "line": 1, "to": [99, 70], "was": seen["lines"][0]["centre"]}
        assert client.post("/api/drop", json=moved).status_code == 409

    assert art.status_code == 409
    assert served.text == theirs


def test_files_that_are_refused_say_why_beside_their_button(
    served: Served, opened: Opener, tmp_path: Path
) -> None:
    """A picture that is none and a manuscript without spreads are named, with what to do next."""
    (tmp_path / "garden.png").write_text("no picture", "utf-8")
    (tmp_path / "words.txt").write_text("Hello", "utf-8")
    page, before = opened(served), served.text
    page.locator("#tab-book").click()
    page.locator("#art-file").set_input_files(tmp_path / "garden.png")
    assert note(page, "art").startswith("garden.png: this is no picture that can be read. Give a PNG")
    page.locator("#manuscript-file").set_input_files(tmp_path / "words.txt")
    assert note(page, "manuscript").startswith("words.txt: no spread is headed in this manuscript. Head each")

    assert served.text == before


def test_tasks_that_fail_say_why_beside_their_button(served: Served, opened: Opener) -> None:
    """A hand-off of no files, a round that is there already: said where it was asked, until it is well."""
    page = opened(served)
    page.locator("#tab-handoff").click()
    for name in ("svg", "png"):
        page.locator(f'[data-id="format-{name}"]').uncheck()
    page.get_by_role("button", name="Write the hand-off").click()
    assert "Choose one or more of the files" in note(page, "hand-off")
    page.locator("#round-name").fill("first")
    page.get_by_role("button", name="Keep as a round").click()
    expect(page.locator('[data-id="round-first"]')).to_be_visible()
    until(lambda: not served.table.tasks.running, page)
    page.get_by_role("button", name="Keep as a round").click()
    assert note(page, "round") == "rounds/first: there is a round of this name already. Choose another name."
    page.locator("#round-name").fill("second")
    page.get_by_role("button", name="Keep as a round").click()

    expect(page.locator('[data-refused="round"]')).to_be_empty()


def test_a_beginning_that_is_refused_keeps_what_was_typed(
    served_empty: Served, opened: Opener, tmp_path: Path
) -> None:
    """A page without a width begins no book; set right, the same manuscript does."""
    (tmp_path / "well.txt").write_text(MANUSCRIPT, "utf-8")
    page = opened(served_empty, waits_for=".beginning")
    page.locator("#new-width").fill("broad")
    page.locator("#first-manuscript").set_input_files(tmp_path / "well.txt")
    assert "Write it like 250x250mm" in note(page, "first-manuscript")
    expect(page.locator("#new-width")).to_have_value("broad")
    assert not served_empty.path.exists()
    page.locator("#new-width").fill("240")
    page.locator("#first-manuscript").set_input_files(tmp_path / "well.txt")

    expect(page.locator("#title")).to_have_text("The Well")
    assert "width: 240 mm" in served_empty.text
