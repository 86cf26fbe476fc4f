"""The journal's upkeep beside an open bench: checked whole once, backed up once a day.

In a thread of its own, which begins a little after the first frame and uses no connection of the
bench's. What it finds waits for whoever asks.
"""

from __future__ import annotations

import queue
import threading

from benchmate.bench.service import Bench

BEGIN_S = 1.0
"""After the first frames, which it would slow down."""
LOOK_S = 900.0
"""How often it looks whether a new day has begun: the bench may stand open for weeks."""
STOP_S = 0.5


class Upkeep:
    """Checks and backs up until it is stopped."""

    def __init__(self, bench: Bench, begin_s: float = BEGIN_S) -> None:
        self._bench, self._begin_s = bench, begin_s
        self._found: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="upkeep", daemon=True)

    def start(self) -> None:
        """Begin, in a second."""
        self._thread.start()

    def stop(self) -> None:
        """End; a backup that is just being written is given up half done, and made next time."""
        self._stop.set()
        if self._thread.is_alive():
            self._thread.join(STOP_S)

    def news(self) -> str:
        """What is wrong and was not said yet, in sentences; mostly nothing."""
        found = []
        while not self._found.empty():
            found.append(self._found.get())
        return " ".join(found)

    def _run(self) -> None:
        if self._stop.wait(self._begin_s):
            return
        said = self._bench.verify_sentence()
        if said:
            # A damaged journal makes no backup, and would say the same again every day.
            self._found.put(said)
            return
        last = ""
        while True:
            said = self._bench.backup_if_due()
            if said and said != last:
                self._found.put(said)
            last = said
            if self._stop.wait(LOOK_S):
                return
