"""Longer tasks on the table: one at a time, told how far they are, and stopped when asked."""

import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from lettering.errors import LetteringError, StoppedError, stop_point, stoppable
from lettering.steps.progress import Progress
from lettering.table.events import Events
from lettering.table.work import BusyError, Work

Task = Callable[[Progress], tuple[Path, ...] | str]
"""Does its work, tells how far it is, and returns the files that it made, or what is to be said of it."""


class Tasks:
    """Runs one task after another, each in a thread of its own."""

    def __init__(self, work: Work, events: Events) -> None:
        self.work = work
        self.events = events
        self.made: tuple[Path, ...] = ()
        """Files that the last task made, to be taken home."""
        self._stop = threading.Event()
        self._running: threading.Thread | None = None
        self._lock = threading.Lock()

    @property
    def running(self) -> bool:
        """Whether a task is under way."""
        return self._running is not None and self._running.is_alive()

    def start(self, name: str, task: Task, *, alone: bool, kind: str = "") -> None:
        """Begin a task; one that runs `alone` keeps all other changes waiting. Raises BusyError.

        The page is told its `kind` when it ends, to know who asked for it.
        """
        with self._lock:
            if self.running:
                raise BusyError("another task is under way.", hint="Wait for it, or cancel it.")
            self._stop.clear()
            self._running = threading.Thread(
                target=self._run, args=(name, task, alone, kind), name="task", daemon=True
            )
            self._running.start()

    def cancel(self) -> None:
        """Ask the running task to stop; it does so at its next stop point, and writes nothing."""
        self._stop.set()

    def _run(self, name: str, task: Task, alone: bool, kind: str) -> None:
        if alone:
            with self.work.lock:
                self.work.task = name
        self.events.tell("progress", task=name, done=0, total=1)
        ended = {"outcome": "done", "said": ""}
        try:
            with stoppable(self._stop.is_set):
                made = task(self._told)
            self.made = () if isinstance(made, str) else made
            ended["said"] = made if isinstance(made, str) else ""
        except StoppedError:
            ended = {"outcome": "cancelled", "said": "Stopped; everything is as it was."}
        except LetteringError as error:
            ended = {"outcome": "failed", "said": self.work.words(error)}
        except Exception as error:
            ended = {"outcome": "failed", "said": f"A fault in the program: {type(error).__name__}: {error}"}
        finally:
            self.work.task = None
        with suppress(LetteringError):
            self.work.take_in()
        files = [path.name for path in self.made] if ended["outcome"] == "done" else []
        self.events.tell("ended", task=name, asked=kind, files=files, **ended)

    def _told(self, task: str, done: int, total: int) -> None:
        stop_point()
        self.events.tell("progress", task=task, done=done, total=total)
