"""What goes on beside the work on the table: the checks are asked, and the files looked at, in threads."""

import threading
from contextlib import suppress

from lettering.errors import LetteringError
from lettering.steps import on_table
from lettering.table.work import Work

LOOK_SECONDS = 0.4
"""How often the files are looked at for changes by other programs."""


class Watch:
    """Two threads that look after the work until they are told to stop."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self._stopped = threading.Event()

    def start(self) -> None:
        """Begin to ask the checks and to look at the files."""
        threading.Thread(target=self._asking, name="findings", daemon=True).start()
        threading.Thread(target=self._looking, name="files", daemon=True).start()

    def stop(self) -> None:
        """Leave the work alone."""
        self._stopped.set()
        self.work.unasked.set()

    def _looking(self) -> None:
        work = self.work
        while not self._stopped.wait(LOOK_SECONDS):
            if work.task is None and (work.state is not None or work.trouble or work.path.exists()):
                with suppress(LetteringError, OSError):
                    work.take_in()

    def _asking(self) -> None:
        """Ask the checks again after every change; the last state is what counts."""
        work = self.work
        while work.unasked.wait() and not self._stopped.is_set():
            work.unasked.clear()
            state, revision = work.state, work.revision
            if state is None or work.trouble:
                continue
            with suppress(LetteringError):
                work.asked(on_table.asked(state), revision)
