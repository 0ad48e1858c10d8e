"""Single values in a book file changed by place; PyYAML's own loader reads what came of it."""

import difflib

import pytest
import yaml

from lettering.storage.book_places import with_value, without

TEXT = """\
# kept
title: A Book   # so called
page: {width: 250 mm, height: 250 mm}
cast:
  wren: {name: Wren}   # small
spreads:
  - pages: 4-5
    figures:
      # wren: {box: [x, y, width, height], mouth: [x, y]}
    lines:
      - wren: Who left a cello?
  # the second
  - pages: 6-7
    art: art/06.png
    figures:
      wren:
        box: [1, 2, 30, 40]
        mouth: [5, 6]
      toad: [{box: [50, 2, 30, 40]}, {box: [90, 2, 30, 40]}]
    keep_clear:
      - [1, 1, 2, 2]   # the lamp
      - [3, 3, 2, 2]
    lines:
      - toad: {says: Me., voice: shout}
"""


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("title",), "Another"),
        (("page", "width"), "210 mm"),
        (("page", "bleed"), "5 mm"),
        (("cast", "toad"), "{name: Toad}"),
        (("cast", "wren", "height"), "10 cm"),
        (("spreads", 0, "figures", "wren"), "{box: [1, 2, 3, 4]}"),
        (("spreads", 0, "art"), "art/04.png"),
        (("spreads", 0, "keep_clear", 0), "[1, 2, 3, 4]"),
        (("spreads", 1, "figures", "wren", "box"), "[2, 2, 30, 40]"),
        (("spreads", 1, "figures", "wren", "face"), "[2, 2, 3, 4]"),
        (("spreads", 1, "figures", "toad", 1, "mouth"), "[95, 6]"),
        (("spreads", 1, "keep_clear", 2), "[5, 5, 2, 2]"),
        (("spreads", 1, "lines", 0, "toad", "says"), "You."),
        (("lettering", "x_height"), "4 mm"),
    ],
)
def test_a_value_is_set_and_nothing_else_changes(place: tuple[str | int, ...], value: str) -> None:
    """The value is read back at its place, and everywhere else the file says what it said."""
    after = with_value(TEXT, place, value)
    want = yaml.safe_load(TEXT)
    inner = want
    for name, following in zip(place, [*place[1:], None], strict=True):
        if following is None:
            new = yaml.safe_load(value)
            if isinstance(inner, list) and name == len(inner):
                inner.append(new)
            else:
                inner[name] = new
        elif isinstance(inner, dict) and inner.get(name) is None:
            inner[name] = [] if isinstance(following, int) else {}
        inner = inner[name]

    assert yaml.safe_load(after) == want
    changed = [row for row in difflib.ndiff(TEXT.splitlines(), after.splitlines()) if row[0] == "-"]
    assert len(changed) <= 1
    assert all(
        comment in after for comment in ("# kept", "# so called", "# small", "# the second", "# the lamp")
    )


@pytest.mark.parametrize(
    "place",
    [
        ("page", "width"),
        ("page", "height"),
        ("spreads", 1, "art"),
        ("spreads", 1, "figures", "wren"),
        ("spreads", 1, "figures", "toad"),
        ("spreads", 1, "figures", "toad", 0),
        ("spreads", 1, "keep_clear", 0),
        ("spreads", 1, "keep_clear", 1),
        ("spreads", 1, "lines", 0, "toad", "voice"),
    ],
)
def test_a_value_is_taken_out_and_nothing_else_changes(place: tuple[str | int, ...]) -> None:
    """What was at the place is gone, and everywhere else the file says what it said."""
    want = yaml.safe_load(TEXT)
    inner = want
    for name in place[:-1]:
        inner = inner[name]
    del inner[place[-1]]

    assert yaml.safe_load(without(TEXT, place)) == want


def test_the_last_of_a_list_takes_its_field_along() -> None:
    """A list that would be left empty goes as a whole, for an empty one is no list in YAML rows."""
    once = without(TEXT, ("spreads", 1, "keep_clear", 0))
    twice = without(once, ("spreads", 1, "keep_clear", 0))

    assert "keep_clear" not in yaml.safe_load(twice)["spreads"][1]


def test_a_file_without_a_last_line_feed_can_be_added_to() -> None:
    """A row is begun before something is added behind the last one."""
    after = with_value("a: 1\nb:\n  c: 2", ("b", "d"), "3")

    assert yaml.safe_load(after) == {"a": 1, "b": {"c": 2, "d": 3}}
