"""The catalogue is complete: every code that a check can emit is in it, and every code in it is emitted."""

import ast
from pathlib import Path

import lettering.checks
from lettering.checks.catalogue import CATALOGUE, finding

ROOM = Path(lettering.checks.__file__).parent


def emitted() -> set[str]:
    """Return every code that a file of the room names when it makes a finding."""
    trees = [
        ast.parse(path.read_text(encoding="utf-8"))
        for path in ROOM.glob("*.py")
        if path.name != "catalogue.py"
    ]
    strings = {
        node.value
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    calls = {
        call.args[0].value
        for tree in trees
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "finding"
        if isinstance(call.args[0], ast.Constant)
    }
    return {code for code in strings if code in CATALOGUE} | {str(code) for code in calls}


def test_every_code_is_in_the_catalogue_and_used() -> None:
    """The codes in the checks' sources are exactly those of the catalogue."""
    assert emitted() == set(CATALOGUE)


def test_every_finding_names_its_measure_and_the_wanted_value() -> None:
    """Wherever a finding is made, both figures are given, and the catalogue has their unit."""
    calls = [
        (path.name, call)
        for path in ROOM.glob("*.py")
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "finding"
    ]
    bare = [
        f"{name}:{call.lineno}"
        for name, call in calls
        if len(call.args) < 5 or any(isinstance(a, ast.Constant) and a.value is None for a in call.args[3:5])
    ]

    assert len(calls) > 30
    assert bare == []
    assert all(check.unit for check in CATALOGUE.values())


def test_every_entry_says_what_must_be_so() -> None:
    """Each entry has a sentence and a source, and no two share a sentence."""
    assert all(check.sentence.endswith(".") and check.source for check in CATALOGUE.values())
    assert len({check.sentence for check in CATALOGUE.values()}) == len(CATALOGUE)


def test_a_finding_takes_what_the_catalogue_says() -> None:
    """Severity, unit and source are the catalogue's unless the figure has its own source."""
    found = finding("gutter", "pages 4-5, line 1", "too near.", 4.00049, 10.0)

    assert (found.severity, found.unit, found.measured) == ("error", "mm", 4.0)
    assert found.source == CATALOGUE["gutter"].source
    assert finding("size", "x", "small.", 1.0, 2.0, "M BA 1913").source == "M BA 1913"


def test_the_documents_have_every_check_as_the_catalogue_has_it() -> None:
    """Each code stands in docs/checks.md with its severity, its sentence and its source."""
    rows = (ROOM.parents[1] / "docs" / "checks.md").read_text(encoding="utf-8").splitlines()

    for code, check in CATALOGUE.items():
        row = f"| `{code}` | {check.severity} | {check.sentence} | {check.unit} | {check.source} |"
        assert row in rows
