"""The work on the table: one state of one book, changed by one hand at a time and saved at once."""

import os
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from lettering.errors import LetteringError
from lettering.steps import on_table, table_changes
from lettering.steps.book_changes import ConflictError
from lettering.steps.history import History
from lettering.steps.moved import Desk, Moved, moved, on_desk, released
from lettering.steps.on_table import OnTable
from lettering.steps.table_files import Texts, contents_of, placements_name, stamps, texts_on_disk
from lettering.steps.table_view import point_of
from lettering.table.events import Events
from lettering.table.trouble import noting

Stamps = Mapping[str, tuple[int, int, int]]
Contents = Mapping[str, bytes | None]
"""What files of the book hold, by name."""
SEEN_MM = 0.006
"""How far a place that was seen may lie from the one that is kept: they are whole hundredths."""
Change = Callable[[str], str]
"""A change of the book file, from its text to its text."""


class BusyError(LetteringError):
    """The work cannot be changed while a longer task changes it."""


class Work:
    """A book that is worked on: what it is now, what it was, and who must hear of it."""

    def __init__(self, path: Path, events: Events) -> None:
        self.path = path
        self.events = events
        self.history = History(path)
        self.lock = threading.RLock()
        self.state: OnTable | None = None
        self.trouble: tuple[str, ...] = ()
        """Why the book cannot be shown or changed, in sentences."""
        self.revision = 0
        self.task: str | None = None
        """The longer task that is changing the work."""
        self._known: Texts = {}
        self._stamps: Stamps = {}
        self._desk: tuple[int, int, Desk] | None = None
        self.unasked = threading.Event()
        """Set when it changed since the checks were asked."""

    # What it is

    @property
    def book(self) -> OnTable:
        """The book as it lies there; raises LetteringError when there is none."""
        if self.state is None:
            raise LetteringError("no book is on the table.", hint=" ".join(self.trouble) or None)
        return self.state

    def words(self, error: LetteringError | str) -> str:
        """Return what went wrong as the page says it: files are named as they lie in the book's folder."""
        return str(error).replace(f"{self.path.parent}{os.sep}", "")

    def read(self, progress: Any = None) -> None:
        """Read the book from disk as if for the first time."""
        with self.lock:
            self.history.open()
            self._known, self._stamps = texts_on_disk(self.path), stamps(self.path, self.state)
            if not self._known["book"] and not self.path.exists():
                self.state, self.trouble, self._stamps = None, (), stamps(self.path, None)
            else:
                with noting(self):
                    self.state = on_table.laid_from(
                        self.path,
                        self._known["book"],
                        self._known[placements_name(self.path)],
                        before=self.state,
                        progress=progress or self._told,
                    )
                    self._stamps = stamps(self.path, self.state)
            self._changed(None)

    def _told(self, task: str, done: int, total: int) -> None:
        self.events.tell("progress", task=task, done=done, total=total)

    def _changed(self, spread: int | None, **facts: Any) -> None:
        self.revision += 1
        self._desk = None
        self.events.tell("changed", revision=self.revision, spread=spread, **facts)
        self.unasked.set()

    # What the hand does

    def begin(self, label: str, text: str) -> None:
        """Lay a new book on the empty table; raises LetteringError, and writes nothing, when one is there."""
        with self.lock:
            if self.path.exists():
                raise ConflictError("a book has come meanwhile.", hint="Bring the manuscript again.")
            self.history.open()
            new = {self.path.name: text.encode("utf-8")}
            self.history.make(label, {self.path.name: None}, new, hands=(), spread=None)
            self.read()

    def edit(self, label: str, change: Change, *, spread: int | None = None, settle: bool = False) -> None:
        """Change the book file; raises LetteringError, and changes nothing, when that cannot be done."""
        with self.lock:
            self.free_to_change()
            after = table_changes.with_text(self.book, change(self.book.text), progress=self._told)
            if settle and spread is not None and after.spreads[spread] is not None:
                after = table_changes.settled(after, spread)
            self._keep(label, after, spread)

    def keep(self, label: str, after: OnTable, spread: int | None) -> None:
        """Make what a longer task made the book on the table, and write it."""
        with self.lock:
            self._keep(label, after, spread)

    def move(self, spread: int, line: int, to: Any, tips: Any, rows: Any) -> Moved:
        """Return a line as it would be drawn elsewhere; nothing changes."""
        with self.lock:
            return self._moved(spread, line, to, tips, rows)

    def drop(self, spread: int, line: int, to: Any, tips: Any, rows: Any, *, was: Any = None) -> None:
        """Leave a line elsewhere, held; the free ones settle round it.

        `was` is where it was seen before; raises ConflictError when another program moved it since.
        """
        with self.lock:
            self.free_to_change()
            self._see_unmoved(spread, line, was)
            desk = self._moved(spread, line, to, tips, rows).desk
            after = table_changes.with_spread(self.book, spread, desk.finished)
            self._keep(f"line {line} moved", table_changes.settled(after, spread), spread)

    def release(self, spread: int, line: int) -> None:
        """Let a held line loose."""
        with self.lock:
            self.free_to_change()
            finished = released(self._on_desk(spread), line).finished
            self._keep(
                f"line {line} released", table_changes.with_spread(self.book, spread, finished), spread
            )

    def rows(self, spread: int, line: int) -> tuple[tuple[str, ...], ...]:
        """Return the rows that a line may stand in, the best first."""
        with self.lock:
            return self._on_desk(spread).rows(line)

    def step_back(self) -> int | None:
        """Undo the last change; return the spread it was on."""
        return self._step(-1)

    def step_forth(self) -> int | None:
        """Do again what was undone last."""
        return self._step(1)

    def _step(self, way: int) -> int | None:
        with self.lock:
            self.free_to_change()
            hands = self.state.book.hands if self.state else ()
            step = self.history.step(way, hands)
            if self.state is None or step.then.get(self.path.name, b"") is None:
                self.history.take(step, hands)
                self.read()
                return step.spread
            if step.then.keys() <= contents_of(self.path, {}).keys():
                texts = self._texts(step.then)
                after = table_changes.restored(self.book, texts["book"], texts[placements_name(self.path)])
                self.history.take(step, hands)
                self._lie(after, texts)
            else:
                self.history.take(step, hands)
                self._lay_again()
            self._changed(step.spread)
        return step.spread

    def change_hand(self, label: str, before: Contents, after: Contents) -> None:
        """Make the files of a glyph set of the book hold something else; raises LetteringError."""
        with self.lock:
            self.history.make(label, before, after, hands=self.book.book.hands, spread=None)
            self._lay_again()
            self._changed(None)

    def _lay_again(self) -> None:
        """Lay the book out anew as it is on disk, in its hands as they are now, as far as they changed."""
        texts = texts_on_disk(self.path)
        if self.state is not None and texts == self._known:
            after = table_changes.in_its_hands(self.state)
        else:
            placements = texts[placements_name(self.path)]
            after = on_table.laid_from(self.path, texts["book"], placements, before=self.state)
        self._lie(after, texts)

    def _lie(self, after: OnTable, texts: Texts) -> None:
        self.state, self._known, self._stamps = after, texts, stamps(self.path, after)

    def _texts(self, files: Contents) -> Texts:
        """Return what the files of the book say once some hold something else."""
        names = {self.path.name: "book", placements_name(self.path): placements_name(self.path)}
        return self._known | {names[name]: (data or b"").decode("utf-8") for name, data in files.items()}

    def _moved(self, spread: int, line: int, to: Any, tips: Any, rows: Any) -> Moved:
        return moved(
            self._on_desk(spread),
            line,
            to=point_of(to) if to is not None else None,
            tips=[point_of(tip) for tip in tips] if tips is not None else None,
            rows=tuple(rows) if rows is not None else None,
        )

    def _see_unmoved(self, spread: int, line: int, was: Any) -> None:
        finished = self.book.spreads[spread] if spread in self.book.ready else None
        if was is None or finished is None or line not in range(1, len(finished.lines) + 1):
            return
        now = finished.lines[line - 1].placement.centre
        if max(abs(now.x - was[0]), abs(now.y - was[1])) > SEEN_MM:
            raise ConflictError(
                f"line {line} was moved meanwhile by another program.", hint="It is left where it is now."
            )

    def _on_desk(self, spread: int) -> Desk:
        if self._desk is None or self._desk[:2] != (self.revision, spread):
            book = self.book
            if spread not in book.ready:
                raise LetteringError("this spread is not lettered yet.")
            self._desk = (self.revision, spread, on_desk(book.opened, book.ready.index(spread)))
        return self._desk[2]

    def free_to_change(self) -> None:
        """See that the work may be changed now, and take in what other programs changed."""
        if self.task is not None:
            raise BusyError(f"{self.task} is under way.", hint="Wait for it, or cancel it.")
        self.take_in()
        if self.trouble:
            raise LetteringError("the book file cannot be read.", hint=" ".join(self.trouble))

    def _keep(self, label: str, after: OnTable, spread: int | None) -> None:
        """Make `after` the book on the table and write what changed, or neither."""
        now = {"book": after.text, placements_name(self.path): self._known[placements_name(self.path)]}
        if after.ready:
            now[placements_name(self.path)] = after.placements
        before, now_held = contents_of(self.path, self._known), contents_of(self.path, now)
        self.history.make(label, before, now_held, hands=after.book.hands, spread=spread)
        self._lie(after, now)
        self._changed(spread)

    # What others do

    def take_in(self) -> None:
        """Take in what other programs changed on disk; what cannot be read is told and left."""
        with self.lock:
            on_disk = stamps(self.path, self.state)
            if on_disk == self._stamps:
                return
            alone = self._book_alone(on_disk)
            self._stamps = on_disk
            before, now = self._known, texts_on_disk(self.path)
            self._known = now
            with noting(self):
                texts = now["book"], now[placements_name(self.path)]
                if alone and self.state is not None:
                    self.state = table_changes.restored(self.state, *texts)
                else:
                    self.state = on_table.laid_from(self.path, *texts, before=self.state)
                self._stamps = stamps(self.path, self.state)
            outside = ("trouble" if self.trouble else "read") if before != now else None
            self._changed(None, outside=outside)

    def _book_alone(self, on_disk: Stamps) -> bool:
        """Tell whether of all files of the book only it and its placements changed, and it could be read."""
        own = {str(self.path), str(self.path.with_name(placements_name(self.path)))}
        others = {name: stamp for name, stamp in on_disk.items() if name not in own}
        return not self.trouble and others.items() <= self._stamps.items()

    def asked(self, state: OnTable, revision: int) -> None:
        """Take in what the checks found in the work as it was at `revision`, unless it changed since."""
        with self.lock:
            if self.revision == revision and self.state is not None:
                self.state = replace(self.state, findings=state.findings)
                self.events.tell("findings", revision=revision)
