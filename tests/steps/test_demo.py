"""The whole job on the demo book, and the glyph set that the project carries."""

from pathlib import Path

import pytest
import yaml

import lettering
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.steps.demo import run_demo
from lettering.steps.export import Exported
from lettering.steps.layout import layout
from lettering.steps.place import book_as_placed
from lettering.storage.ufo import read_hand
from tests.independent_checker import violations

ROOT = Path(lettering.__file__).parents[1]

NEAR = 2.0
"""Font units, 0.02 mm on paper, that another machine's arithmetic may move an outline by."""

pytestmark = pytest.mark.timeout(1500)


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that the demo was run into."""
    return tmp_path_factory.mktemp("demo")


@pytest.fixture(scope="module")
def exported(out: Path) -> Exported:
    """What the demo wrote."""
    return run_demo(out)


def test_the_demo_writes_every_layer_and_finds_no_error(out: Path, exported: Exported) -> None:
    """Specimen, previews, SVG, PNG and typeface are there, and no finding is an error."""
    names = {str(path.relative_to(out)) for path in exported.written}
    pages = ("04-05", "06-07", "08-09")

    assert names >= {"hand.png", "hand-off/otf/demo.otf"} | {f"hand-off/svg/pages-{p}.svg" for p in pages}
    assert names >= {f"hand-off/png/pages-{p}-{ppi}ppi.png" for p in pages for ppi in (300, 600)}
    assert all(path.is_file() for path in exported.written)
    assert [finding for finding in exported.findings if finding.severity == "error"] == []


def test_the_demo_keeps_every_hard_rule(out: Path, exported: Exported) -> None:
    """The independent checker finds nothing wrong in the demo's layout."""
    book = out / "book" / "book.yaml"

    assert violations(layout(book_as_placed(book)), yaml.safe_load(book.read_text("utf-8"))) == []


def test_the_glyph_set_of_the_project_is_what_gather_makes_of_the_pages(
    out: Path, exported: Exported
) -> None:
    """Gathering the demo's pages gives the same takes from the same places, and outlines that agree."""
    made, kept = read_hand(out / "glyph_sets" / "demo.ufo"), read_hand(ROOT / "glyph_sets" / "demo.ufo")
    now, then = by_origin(made), by_origin(kept)

    assert {place: take.char for place, take in now.items()} == {
        place: take.char for place, take in then.items()
    }
    assert [take.name for place, take in now.items() if difference(take, then[place]) > NEAR] == []
    assert made.metrics.x_height == pytest.approx(kept.metrics.x_height, abs=NEAR)


def by_origin(hand: Hand) -> dict[tuple[str, int, int], Take]:
    """Return every take by the page, row and place that it was drawn at."""
    takes = (take for takes in hand.takes.values() for take in takes)
    return {(t.source.page, t.source.row, t.source.place): t for t in takes if t.source}


def difference(one: Take, other: Take) -> float:
    """Return how far bounds and advance of two takes differ, font units."""
    a, b = one.outline.bounds, other.outline.bounds
    sides = (a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1, one.advance - other.advance)
    return max(map(abs, sides))
