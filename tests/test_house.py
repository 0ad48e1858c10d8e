"""The house keeps its own rules: who imports whom, what loads when, and a sentence for every test."""

import ast
import subprocess
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "lettering"

GROUND = {"errors", "units", "geometry", "drawing", "book"}
CRAFT = {"capture", "outlines", "hand", "setting", "bubbles", "placing", "checks"}
MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "units": {"errors"},
    "geometry": {"errors", "units"},
    "drawing": {"errors", "units", "geometry"},
    "book": {"errors", "units", "geometry"},
    "capture": GROUND,
    "outlines": GROUND,
    "hand": GROUND,
    "setting": GROUND | {"hand"},
    "bubbles": GROUND,
    "placing": GROUND | {"bubbles"},
    "checks": GROUND | {"hand", "setting", "bubbles", "placing"},
    "storage": GROUND | CRAFT - {"checks"},
    "export": GROUND | {"hand"},
    "steps": GROUND | CRAFT | {"storage", "export"},
    "cli": {"errors", "steps"},
    "table": {"errors", "steps"},
}
"""For each room the rooms it may import, after the table in DEVELOPERS.md."""

HEAVY = {
    "numpy", "scipy", "PIL", "shapely", "fontTools", "ufoLib2", "ufo2ft", "svgwrite",
    "cairosvg", "yaml", "uniseg", "ortools", "pikepdf", "numba", "zxingcpp", "docx",
    "starlette", "uvicorn", "anyio", "resvg_py", "defusedxml",
}  # fmt: skip

ONE_ROOM = {
    "shapely": ("geometry",),
    "ortools": ("placing",),
    "contourpy": ("outlines",),
    "PIL": ("capture", "outlines", "storage"),
    "ufoLib2": ("storage", "export", "hand"),
    "ufo2ft": ("export",),
    "yaml": ("storage",),
    "svgwrite": ("export",),
    "cairosvg": ("export",),
    "uniseg": ("setting",),
    "numba": ("geometry", "capture", "outlines"),
    "zxingcpp": ("capture",),
    "docx": ("storage",),
    "resvg_py": ("storage",),
    "defusedxml": ("storage",),
    "pikepdf": ("export",),
    "starlette": ("table",),
    "uvicorn": ("table",),
}
"""Outside libraries that live in one room (or the few the house names)."""


def room_of(path: Path) -> str:
    """Return the room that a file of the package belongs to."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def sources() -> Iterator[tuple[str, Path]]:
    """Yield each file of the package with its room, the package's own first file aside."""
    for path in sorted(PACKAGE.rglob("*.py")):
        if path != PACKAGE / "__init__.py":
            yield room_of(path), path


def imported(text: str, package: tuple[str, ...]) -> Iterator[str]:
    """Yield the dotted names that a source text in `package` imports, however the import is spelled."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            stem = ".".join((*base, *(node.module.split(".") if node.module else ())))
            yield stem
            yield from (f"{stem}.{alias.name}" for alias in node.names)


@cache
def imports_of(path: Path) -> tuple[str, ...]:
    """Return the dotted names that a file of the package imports."""
    folder = path.relative_to(PACKAGE).parent.parts
    return tuple(imported(path.read_text(encoding="utf-8"), ("lettering", *folder)))


def rooms_of(names: Iterable[str]) -> set[str]:
    """Return the rooms of the house among imported names."""
    parts = (name.split(".") for name in names if name.startswith("lettering."))
    return {part[1] for part in parts if part[1] in MAY_IMPORT}


@pytest.mark.parametrize(
    ("room", "path"), list(sources()), ids=lambda value: str(value).removeprefix(str(PACKAGE))
)
def test_a_room_imports_only_what_the_table_allows(room: str, path: Path) -> None:
    """Every file imports from its own room and the rooms that the table names for it."""
    assert rooms_of(imports_of(path)) - {room} <= MAY_IMPORT[room]


def test_the_table_has_every_room_and_no_circle() -> None:
    """Each room of the package is in the table, and the table orders them one way."""
    assert {room for room, _ in sources()} == set(MAY_IMPORT)
    left = dict(MAY_IMPORT)
    while left:
        free = {room for room, needs in left.items() if not needs & set(left)}
        assert free, f"a circle among {sorted(left)}"
        left = {room: needs for room, needs in left.items() if room not in free}


@pytest.mark.parametrize(
    ("inner", "barred"),
    [
        ("ink", ("paper", "letters", "read", "turned")),
        ("paper", ("letters", "read", "turned")),
        ("letters", ("paper", "read", "turned")),
    ],
)
def test_capture_goes_from_ink_to_paper_and_letters(inner: str, barred: tuple[str, ...]) -> None:
    """Ink knows neither of flat paper nor of letters, and these two know nothing of each other."""
    names = [name for path in (PACKAGE / "capture" / inner).glob("*.py") for name in imports_of(path)]

    assert not [name for name in names if name.startswith(tuple(f"lettering.capture.{b}" for b in barred))]


def test_an_import_in_any_spelling_is_seen() -> None:
    """Absolute, relative and from-package imports of a room all count."""
    text = (
        "import lettering.hand.hand\n"
        "from ..setting import rows\n"
        "from lettering import capture\n"
        "from .. import cli\n"
    )

    assert rooms_of(imported(text, ("lettering", "placing"))) == {"hand", "setting", "capture", "cli"}


@pytest.mark.parametrize("library", ONE_ROOM)
def test_an_outside_library_stays_in_its_room(library: str) -> None:
    """Each outside library is imported only in the rooms that the house gives it."""
    users = {room for room, path in sources() if any(n.split(".")[0] == library for n in imports_of(path))}

    assert users <= set(ONE_ROOM[library])


@pytest.mark.parametrize(
    "code",
    ["import lettering", "from lettering.cli.main import main; main(['--help'])"],
    ids=["import", "help"],
)
def test_the_door_opens_without_heavy_libraries(code: str) -> None:
    """Importing the package or asking for help loads no image, font, geometry or solver library."""
    script = f"""
import sys
try:
    {code}
except SystemExit:
    pass
print("|", *sys.modules, file=sys.stderr)
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    loaded = {name.split(".")[0] for name in run.stderr.split("|")[-1].split()}

    assert not loaded & HEAVY


def test_every_test_says_in_one_sentence_what_must_hold() -> None:
    """Each test function has a docstring of one sentence."""
    silent = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in sorted((ROOT / "tests").rglob("test_*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_") and not ast.get_docstring(node)
    ]

    assert not silent


def test_no_path_of_a_machine_or_scratch_folder_is_in_the_tree() -> None:
    """No tracked text names a place on somebody's machine."""
    tracked = subprocess.run(["git", "ls-files"], capture_output=True, text=True, check=True, cwd=ROOT)
    suffixes = {".py", ".md", ".toml", ".yaml", ".txt", ".sh", ""}
    places = [f"{folder}/" for folder in (ROOT, Path.home()) if len(folder.parts) > 1]
    marked = [
        name
        for name in tracked.stdout.split()
        if Path(name).suffix in suffixes and name != "tests/test_house.py" and (ROOT / name).is_file()
        for text in [(ROOT / name).read_text(encoding="utf-8", errors="ignore")]
        if any(place in text for place in places)
    ]

    assert not marked
