"""What tests of the page do with it: wait, drag, read back what is kept."""

import io
import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import yaml
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from lettering.storage.placements import placements_path
from tests.table.conftest import Served

AXE = Path(sys.prefix) / "web" / "node_modules" / "axe-core" / "axe.min.js"

Opener = Callable[..., Page]


NAMED = "(({dataset, id, textContent: t}) => dataset.id || id || t.trim())(document.activeElement)"
"""What has the focus, by its own name."""
SLID = "(slide, to) => { slide.value = to; slide.dispatchEvent(new Event('input')); }"
"""Slides a slider, as far as the page can tell."""


def spreads(served: Served) -> list[dict[str, Any]]:
    """Return the spreads of the book file as PyYAML reads them."""
    read: list[dict[str, Any]] = yaml.safe_load(served.text)["spreads"]
    return read


def kept(served: Served, spread: int, line: int) -> dict[str, Any]:
    """Return what is kept on disk of where a line is."""
    whole = json.loads(placements_path(served.path).read_text("utf-8"))
    found: dict[str, Any] = whole["spreads"][spread]["lines"][line - 1]
    return found


def until(holds: Callable[[], bool], page: Page, seconds: float = 90.0) -> None:
    """See that something comes to hold in time, while the page goes on."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "it did not come to hold"
        page.wait_for_timeout(25)


def at_rest(served: Served, page: Page) -> None:
    """Wait until the book file has stood still for a second."""
    last, since = served.text, time.monotonic()
    while time.monotonic() - since < 1:
        page.wait_for_timeout(100)
        if served.text != last:
            last, since = served.text, time.monotonic()


def turn_to(page: Page, index: int) -> None:
    """Look at another spread of the strip, and wait until it is the one that is seen."""
    thumbnail = page.locator("#strip li").nth(index)
    thumbnail.locator("button").click()
    expect(thumbnail.locator("[aria-current]")).to_be_visible()


def middle(thing: Locator) -> tuple[float, float]:
    """Return the middle of something on the page, px."""
    for _ in range(40):  # the page may be drawing it anew
        if box := thing.bounding_box():
            return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        thing.page.wait_for_timeout(25)
    raise AssertionError(f"{thing} is not on the page")


def holds(outer: Locator, inner: Locator) -> bool:
    """Tell whether one thing lies within another from left to right."""
    one, other = outer.bounding_box(), inner.bounding_box()
    if not one or not other:
        return False
    return one["x"] <= other["x"] and other["x"] + other["width"] <= one["x"] + one["width"]


def px_per_mm(page: Page) -> float:
    """Return how large a mm of the spread is on the screen."""
    return float(page.evaluate("document.getElementById('sheet').getScreenCTM().a"))


def drag(page: Page, start: tuple[float, float], by_mm: tuple[float, float], steps: int = 6) -> None:
    """Drag with the pointer from `start`, px, by so many mm, and let go."""
    scale = px_per_mm(page)
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start[0] + by_mm[0] * scale, start[1] + by_mm[1] * scale, steps=steps)
    page.wait_for_timeout(60)
    page.mouse.up()


def drop(page: Page, onto: Locator, file: Path) -> None:
    """Drop a file from another window, as the browser itself tells it to the page (DevTools protocol)."""
    x, y = middle(onto)
    browser = page.context.new_cdp_session(page)
    data = {"items": [], "files": [str(file)], "dragOperationsMask": 1}
    for kind in ("dragEnter", "dragOver", "drop"):
        browser.send("Input.dispatchDragEvent", {"type": kind, "x": x, "y": y, "data": data})
    browser.detach()


def touch(page: Page, start: tuple[float, float], by_mm: tuple[float, float]) -> None:
    """Drag with a finger from `start`, px, by so many mm."""
    scale = px_per_mm(page)
    browser = page.context.new_cdp_session(page)
    for kind, part in (("touchStart", 0.0), ("touchMove", 0.5), ("touchMove", 1.0), ("touchEnd", None)):
        points = (
            []
            if part is None
            else [{"x": start[0] + part * by_mm[0] * scale, "y": start[1] + part * by_mm[1] * scale}]
        )
        browser.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    browser.detach()


def press(page: Page, thing: Locator, how: str) -> None:
    """Press something with the mouse, a finger or a pen (DevTools protocol)."""
    if how == "mouse":
        return thing.click()
    thing.hover()  # waits until it stands still, also where the slip is drawn again meanwhile
    x, y = middle(thing)
    browser = page.context.new_cdp_session(page)
    if how == "finger":
        browser.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        browser.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    else:
        pen = {"x": x, "y": y, "button": "left", "clickCount": 1, "pointerType": "pen"}
        browser.send("Input.dispatchMouseEvent", {"type": "mousePressed", "buttons": 1, **pen})
        browser.send("Input.dispatchMouseEvent", {"type": "mouseReleased", "buttons": 0, **pen})
    browser.detach()


def stroke(page: Page, start: tuple[float, float], by_mm: tuple[float, float]) -> None:
    """Drag with a pen from `start`, px, by so many mm."""
    scale = px_per_mm(page)
    browser = page.context.new_cdp_session(page)
    for kind, part in (("Pressed", 0.0), ("Moved", 0.5), ("Moved", 1.0), ("Released", 1.0)):
        at = {"x": start[0] + part * by_mm[0] * scale, "y": start[1] + part * by_mm[1] * scale}
        how = {"button": "left", "buttons": 1, "clickCount": 1, "pointerType": "pen"}
        browser.send("Input.dispatchMouseEvent", {"type": f"mouse{kind}", **how, **at})
    browser.detach()


def faults(page: Page, within: str = "html") -> list[str]:
    """Return what axe (Deque's rules for WCAG 2.2) finds wrong, also the size of what is pressed."""
    assert AXE.is_file(), "axe-core is not installed: scripts/setup .venv test"
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text("utf-8"))
    wished = "{resultTypes: ['violations'], rules: {'target-size': {enabled: true}}}"
    return [
        f"{one['id']} ({one['impact']}): {node['target']} {node.get('failureSummary', '')}"
        for one in page.evaluate(f"axe.run('{within}', {wished})")["violations"]
        for node in one["nodes"]
    ]


def serious(page: Page) -> list[str]:
    """Return what of it axe calls serious or critical."""
    return [one for one in faults(page) if "(serious)" in one or "(critical)" in one]


def png(size: tuple[int, int] = (64, 32)) -> bytes:
    """Return a small picture."""
    file = io.BytesIO()
    Image.new("RGB", size, (200, 220, 230)).save(file, "PNG")
    return file.getvalue()
