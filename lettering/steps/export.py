"""Export: the hand-off, files a printer and a publisher can use, written all or none."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from lettering.checks.finding import Finding
from lettering.errors import LetteringError, OutputError, did_you_mean
from lettering.export.condition import Profile, coated_paper, profile
from lettering.steps.check import checked
from lettering.steps.formats import FORMATS, Job, endings
from lettering.steps.laid_out import LaidOut
from lettering.steps.place import book_as_placed
from lettering.steps.progress import Progress, silent, told
from lettering.storage.hand_off import replacing_parts

ALL = "all"
"""Stands for every format."""

MANIFEST = "manifest.json"

LARGEST_PROFILE = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """What was written, and what is to be said of it."""

    written: tuple[Path, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """How the press PDF is wanted."""

    profile: Path | None = None
    """ICC profile of the printing condition; none for coated paper, sheet-fed."""
    with_art: bool = False
    spot: bool = False


PLAIN = Wishes()


def export_book(
    path: Path, out: Path, formats: Sequence[str], *, wishes: Wishes = PLAIN, progress: Progress = silent
) -> Exported:
    """Write the hand-off of the book at `path` into the folder `out`, a folder a format.

    Raises LetteringError for unknown formats and whatever the book or the disk does not allow.
    """
    known(formats)
    result = checked(book_as_placed(path, progress=progress), path, progress=progress)
    written = write_layers(result, out, formats, base=path.parent, wishes=wishes, progress=progress)
    return Exported(written=written, findings=result.findings)


def write_layers(
    result: LaidOut,
    out: Path,
    formats: Sequence[str],
    *,
    base: Path = Path(),
    wishes: Wishes = PLAIN,
    progress: Progress = silent,
) -> tuple[Path, ...]:
    """Write the hand-off of a book that is laid out and return its files, the manifest last.

    `base` is the folder of the book file. What stands in `out` is untouched until all files are made.
    """
    names = known(formats)
    job = Job(
        result=result,
        base=base,
        condition=_condition(wishes.profile) if "pdf" in names else None,
        with_art=wishes.with_art,
        spot=wishes.spot,
    )
    listed: list[dict[str, object]] = []
    with replacing_parts(out) as fresh:
        for name in names:
            _refuse_foreign(out / name, name)
            (fresh / name).mkdir()
            for file, data in told(FORMATS[name](job), job.count(name), f"writing {name}", progress):
                (fresh / name / file).write_bytes(data)
                digest = hashlib.sha256(data).hexdigest()
                listed.append({"path": f"{name}/{file}", "bytes": len(data), "sha256": digest})
        (fresh / MANIFEST).write_text(_manifest(job, names, listed + _earlier(out, names)), encoding="utf-8")
    return (*(out / str(entry["path"]) for entry in listed), out / MANIFEST)


def _earlier(out: Path, names: Sequence[str]) -> list[dict[str, object]]:
    """Return what a former manifest lists of other formats and is still there, marked as earlier."""
    try:
        former = json.loads((out / MANIFEST).read_text("utf-8"))["files"]
        others = [entry for entry in former if entry["path"].split("/")[0] not in names]
        return [{**entry, "earlier": True} for entry in others if (out / entry["path"]).is_file()]
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return []  # no former manifest, or one that is not ours to mend


def _manifest(job: Job, names: Sequence[str], files: list[dict[str, object]]) -> str:
    """Return what was written, with which settings, so that a receiver can tell whether all arrived."""
    condition = job.condition
    whole = {
        "format": "lettering-hand-off",
        "version": 1,
        "program": f"lettering {version('lettering')}",
        "book": job.result.book.title,
        "language": job.result.book.language,
        "settings": {
            "formats": list(names),
            "profile": condition.name if condition else None,
            "profile_sha256": hashlib.sha256(condition.data).hexdigest() if condition else None,
            "with_art": job.with_art,
            "lettering_plate": "own" if job.spot else "black",
        },
        "pdf_standard": "structured to PDF/X-4, not certified" if condition else None,
        "files": sorted(files, key=lambda entry: str(entry["path"])),
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def known(formats: Sequence[str]) -> tuple[str, ...]:
    """Return the formats, each once, 'all' as every one; raises LetteringError for one there is not."""
    for name in formats:
        if name not in (*FORMATS, ALL):
            raise LetteringError(f"no format named '{name}'.", "--formats", did_you_mean(name, FORMATS))
    return tuple(FORMATS) if ALL in formats else tuple(dict.fromkeys(formats))


def _condition(given: Path | None) -> Profile:
    """Return the printing condition; raises OutputError when the profile given cannot be used."""
    if given is None:
        return coated_paper()
    try:
        if given.stat().st_size > LARGEST_PROFILE:
            raise OutputError("the file is too large for an ICC profile.", str(given))
        return profile(given.read_bytes(), str(given))
    except OSError as error:
        raise OutputError(f"cannot be read: {error.strerror}.", str(given)) from None


def _refuse_foreign(folder: Path, name: str) -> None:
    """Refuse to replace a folder that holds anything but files of the format."""
    if folder.is_dir() and any(entry.suffix not in endings(name) for entry in folder.iterdir()):
        raise OutputError(
            f"this folder holds other files than {name}; it would be replaced.",
            str(folder),
            "Choose another --out, or move them away.",
        )
