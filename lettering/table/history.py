"""Every change of the work that can be undone: what the files said before and after it."""

import zlib
from dataclasses import dataclass

Texts = dict[str, str]
"""By name of the file, what it says."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change, as people call it, with the files before and after; packed, for there may be thousands."""

    label: str
    before: bytes
    after: bytes
    spread: int | None
    """Where it was, to look at when it is undone."""


class History:
    """Changes in order, and how many of them are done."""

    def __init__(self) -> None:
        self._changes: list[Change] = []
        self._done = 0

    @property
    def undoable(self) -> str | None:
        """What undoing would undo."""
        return self._changes[self._done - 1].label if self._done else None

    @property
    def redoable(self) -> str | None:
        """What redoing would do again."""
        return self._changes[self._done].label if self._done < len(self._changes) else None

    def note(self, label: str, before: Texts, after: Texts, spread: int | None = None) -> None:
        """Remember a change; what was undone before it can no longer be done again."""
        if before == after:
            return
        del self._changes[self._done :]
        self._changes.append(Change(label, packed(before), packed(after), spread))
        self._done += 1

    def back(self) -> tuple[Change, Texts, Texts] | None:
        """Return the change to undo, with its texts after and before it."""
        if not self._done:
            return None
        change = self._changes[self._done - 1]
        return change, unpacked(change.after), unpacked(change.before)

    def forth(self) -> tuple[Change, Texts, Texts] | None:
        """Return the change to do again with its texts before and after it."""
        if self._done == len(self._changes):
            return None
        change = self._changes[self._done]
        return change, unpacked(change.before), unpacked(change.after)

    def moved(self, step: int) -> None:
        """Tell that one was undone (-1) or done again (+1)."""
        self._done += step


def packed(texts: Texts) -> bytes:
    """Return texts in little room."""
    return zlib.compress("\0".join(part for pair in sorted(texts.items()) for part in pair).encode())


def unpacked(data: bytes) -> Texts:
    """Return the texts that were packed."""
    parts = zlib.decompress(data).decode().split("\0")
    return dict(zip(parts[::2], parts[1::2], strict=True))
