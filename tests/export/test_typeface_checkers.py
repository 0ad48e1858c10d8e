"""The typeface and the UFO before those who judge such files: good ones pass, spoiled twins do not."""

import io
import json
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import ots
import pytest
from fontTools.ttLib import TTFont

from lettering.export.otf import compile_otf
from lettering.hand.hand import Hand
from lettering.storage.ufo import write_hand
from tests.export.test_otf import accented_otf, lively, lively_otf
from tests.typeface_hand import typeface_hand

FONTBAKERY = Path(sys.prefix) / "fonts" / "bin" / "fontbakery"
"""In an environment of its own (scripts/setup): it wants other versions of some of our libraries."""


def sanitised(data: bytes, path: Path) -> bool:
    """Tell whether the OpenType Sanitizer, by which browsers judge typefaces, passes the file."""
    path.write_bytes(data)
    return int(ots.sanitize(path, capture_output=True).returncode) == 0


@pytest.mark.parametrize("typeface", [lively_otf, accented_otf], ids=["turns", "accents"])
def test_the_sanitiser_passes_the_typeface_and_no_spoiled_one(tmp_path: Path, typeface: object) -> None:
    """OTS finds nothing wrong; with its substitutions overwritten, or cut short, the file is refused."""
    data = typeface()  # type: ignore[operator]
    spoiled = bytearray(data)
    table = TTFont(io.BytesIO(data)).reader.tables["GPOS"]
    spoiled[table.offset + 4 : table.offset + 40] = b"\xff" * 36

    assert sanitised(data, tmp_path / "good.otf")
    assert not sanitised(bytes(spoiled), tmp_path / "spoiled.otf")
    assert not sanitised(data[: len(data) // 2], tmp_path / "short.otf")


def faults(folder: Path, *typefaces: bytes) -> list[list[str]]:
    """Return for each typeface the checks of the universal profile that it fails."""
    files = [folder / f"face{number}.otf" for number in range(len(typefaces))]
    for file, data in zip(files, typefaces, strict=True):
        file.write_bytes(data)
    report = folder / "report.json"
    command = [FONTBAKERY, "check-universal", "-n", "--skip-network", "-q", "--json", report, *files]
    subprocess.run(command, capture_output=True, check=False)
    sections = json.loads(report.read_text("utf-8"))["sections"]
    failed = [
        check for section in sections for check in section["checks"] if check["result"] in ("FAIL", "ERROR")
    ]
    assert sum(len(section["checks"]) for section in sections) > 20
    return [
        [str(check["key"]) for check in failed if check["filename"] in (file.name, None)] for file in files
    ]


def both_cases() -> Hand:
    """Return the hand of an open typeface with those letters that it has as capitals and as small ones."""
    hand = typeface_hand("patrick-hand")
    kept = {char: takes for char, takes in hand.takes.items() if char.swapcase() in hand.takes}
    return replace(hand, takes=kept)


def test_the_universal_profile_of_a_quality_checker_fails_nowhere(tmp_path: Path) -> None:
    """Font Bakery's universal profile has no FAIL; a twin whose rows would be clipped has one."""
    assert FONTBAKERY.exists(), "Run `make test` once: it fetches the checker."
    data = compile_otf(both_cases())
    clipped, file = TTFont(io.BytesIO(data)), io.BytesIO()
    clipped["OS/2"].usWinAscent = 100
    clipped.save(file)
    good, bad = faults(tmp_path, data, file.getvalue())

    assert good == []
    assert any("win_ascent" in check for check in bad)


def ufolint(path: Path) -> int:
    """Return the exit status of ufolint, which reads every file of a UFO against the specification."""
    tool = Path(sys.prefix) / "bin" / "ufolint"
    return subprocess.run([tool, path], capture_output=True, check=False).returncode


def test_a_ufo_linter_passes_the_hand_and_no_spoiled_one(tmp_path: Path) -> None:
    """ufolint accepts the hand on disk; with a glyph that is listed and not there it does not."""
    write_hand(lively(), tmp_path / "hers.ufo")
    shutil.copytree(tmp_path / "hers.ufo", tmp_path / "spoiled.ufo")
    (tmp_path / "spoiled.ufo" / "glyphs" / "a.glif").unlink()

    assert ufolint(tmp_path / "hers.ufo") == 0
    assert ufolint(tmp_path / "spoiled.ufo") != 0


def test_turned_takes_of_a_large_hand_still_fit_their_tables() -> None:
    """A typeface of the lively hand compiles to well-formed tables that fontTools unpacks entirely."""
    font = TTFont(io.BytesIO(compile_otf(lively())), lazy=False)
    font.ensureDecompiled()

    assert {"GSUB", "GPOS", "CFF ", "OS/2", "name"} <= set(font.keys())
