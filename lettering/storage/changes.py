"""A change of files on disk that can be undone and done again: only the bytes that differ are kept.

Each change is one JSON file. A file that is neither as it was before the change nor as it is after it was
changed by someone else, and is never written over.
"""

import base64
import hashlib
import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lettering.errors import LetteringError
from lettering.storage.atomic import write_text

Contents = Mapping[str, bytes | None]
"""What files hold by name; none for one that is not there."""

MOST_RECORD = 50_000_000
"""Largest file of a change that is read: all letters of a large hand at once."""


class ElsewhereError(LetteringError):
    """A file was changed by someone else and is not written over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Delta:
    """What became of one file: the bytes taken out of it and those put in their place."""

    was: str | None
    """SHA-256 of all it held before; none when it was not there."""
    now: str | None
    """The same afterwards."""
    at: int
    """How many bytes at its beginning stayed."""
    out: bytes
    into: bytes

    @classmethod
    def between(cls, before: bytes | None, after: bytes | None) -> "Delta":
        """Return what makes `after` of `before`."""
        old, new = before or b"", after or b""
        start = _same(old, new)
        end = _same(old[start:][::-1], new[start:][::-1])
        return cls(
            was=_sum(before),
            now=_sum(after),
            at=start,
            out=old[start : len(old) - end],
            into=new[start : len(new) - end],
        )

    def undone(self, held: bytes | None, name: str) -> bytes | None:
        """Return what the file held before; raises ElsewhereError when it is not as the change left it."""
        return _replaced(held, self.now, self.was, self.at, (self.into, self.out), name)

    def redone(self, held: bytes | None, name: str) -> bytes | None:
        """Return what the file holds after; raises ElsewhereError when it is not as it was before."""
        return _replaced(held, self.was, self.now, self.at, (self.out, self.into), name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change, as people call it."""

    label: str
    spread: int | None
    """Where it was, to look at when it is undone."""
    files: Mapping[str, Delta]

    @classmethod
    def between(cls, label: str, spread: int | None, before: Contents, after: Contents) -> "Change":
        """Return the change from `before` to `after`, of the files that differ."""
        names = sorted(name for name in before.keys() | after.keys() if before.get(name) != after.get(name))
        files = {name: Delta.between(before.get(name), after.get(name)) for name in names}
        return cls(label=label, spread=spread, files=files)

    def undone(self, held: Contents) -> dict[str, bytes | None]:
        """Return what its files held before; raises ElsewhereError when one is not as it was left."""
        return {name: delta.undone(held.get(name), name) for name, delta in self.files.items()}

    def redone(self, held: Contents) -> dict[str, bytes | None]:
        """Return what its files hold after; raises ElsewhereError when one is not as it was before."""
        return {name: delta.redone(held.get(name), name) for name, delta in self.files.items()}

    def finished(self, held: Contents) -> dict[str, bytes | None]:
        """Return what its files hold after, where some of them are as before; raises ElsewhereError."""
        return {
            name: held.get(name) if _sum(held.get(name)) == delta.now else delta.redone(held.get(name), name)
            for name, delta in self.files.items()
        }

    def is_before(self, held: Contents) -> bool:
        """Tell whether all of its files are as they were before."""
        return all(_sum(held.get(name)) == delta.was for name, delta in self.files.items())

    def is_between(self, held: Contents) -> bool:
        """Tell whether each of its files is as it was before, or as it was left."""
        return all(_sum(held.get(name)) in (delta.was, delta.now) for name, delta in self.files.items())


def write_change(change: Change, path: Path) -> None:
    """Write a change as JSON; raises OutputError."""
    files = {
        name: {"was": d.was, "now": d.now, "at": d.at, "out": _packed(d.out), "in": _packed(d.into)}
        for name, d in change.files.items()
    }
    facts = {"label": change.label, "spread": change.spread, "files": files}
    write_text(path, json.dumps(facts, ensure_ascii=False, indent=1) + "\n")


def read_change(path: Path) -> Change:
    """Return the change in a file; raises LetteringError when it is none."""
    try:
        if path.stat().st_size > MOST_RECORD:
            raise ValueError("too large")
        facts = json.loads(path.read_bytes())
        files = {str(name): _delta(one) for name, one in facts["files"].items()}
        spread = facts["spread"]
        return Change(label=str(facts["label"]), spread=None if spread is None else int(spread), files=files)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError, zlib.error) as error:
        raise LetteringError(f"this is no record of a change ({error}).", str(path)) from None


def _delta(facts: Mapping[str, Any]) -> Delta:
    was, now = facts["was"], facts["now"]
    return Delta(
        was=None if was is None else str(was),
        now=None if now is None else str(now),
        at=int(facts["at"]),
        out=_unpacked(facts["out"]),
        into=_unpacked(facts["in"]),
    )


def _replaced(
    held: bytes | None, wants: str | None, gives: str | None, at: int, parts: tuple[bytes, bytes], name: str
) -> bytes | None:
    """Return what a file holds with one part in the place of another; all sums must come out."""
    out, into = parts
    old = held or b""
    new = None if gives is None else old[:at] + into + old[at + len(out) :]
    if _sum(held) != wants or _sum(new) != gives:
        raise ElsewhereError("this was changed by another program meanwhile.", name, "It is left as it is.")
    return new


def _same(one: bytes, other: bytes) -> int:
    """Return how many bytes at the beginning of both are the same."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def _sum(data: bytes | None) -> str | None:
    return None if data is None else hashlib.sha256(data).hexdigest()


def _packed(data: bytes) -> str:
    return base64.b64encode(zlib.compress(data, 9)).decode("ascii") if data else ""


def _unpacked(text: str) -> bytes:
    if not text:
        return b""
    packer = zlib.decompressobj()
    data = packer.decompress(base64.b64decode(text, validate=True), MOST_RECORD)
    if packer.unconsumed_tail:
        raise ValueError("too large")
    return data
