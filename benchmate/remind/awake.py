"""Keeping the machine awake while a window that can be missed is live."""

from __future__ import annotations

import logging
import queue
import shutil
import subprocess
import sys
import threading
import warnings
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import IO, Any, Protocol

REASON = "a window in the shop can be missed"
SETTLE_S = 0.5


class Holder(Protocol):
    """One way to keep the machine awake."""

    def start(self) -> str | None:
        """Keep awake from now on: what does it, or None if it can't be done."""

    def stop(self) -> None:
        """Let it sleep again."""


class KeepAwake:
    """Keeps the machine awake from a thread of its own, since asking a desktop may block."""

    def __init__(self, holders: tuple[Holder, ...] | None = None) -> None:
        """`holders` are tried in turn; by default wakepy and then systemd's inhibitor."""
        self._holders = holders if holders is not None else (WakepyHolder(), SystemdHolder())
        self._wishes: queue.SimpleQueue[bool | None] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None
        self._wanted = False
        self._active: Holder | None = None
        self.sentence = "The machine may sleep: no window can be missed."
        """For the bench to show."""
        self.awake = False
        """Whether it is being kept awake now."""
        self.impossible = False
        """Whether it should be kept awake and can't be."""

    def want(self, *, awake: bool) -> None:
        """Keep awake from now on, or let it sleep. Returns at once."""
        if awake == self._wanted:
            return
        self._wanted = awake
        if self._thread is None:
            self._thread = threading.Thread(target=self._work, name="keeping awake", daemon=True)
            self._thread.start()
        self._wishes.put(awake)

    def trial(self, wait_s: float = 5.0) -> str | None:
        """What could keep this machine awake, tried out and let go again; None: nothing could."""
        found: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        asking = threading.Thread(target=lambda: found.put(self._tried()), daemon=True)
        asking.start()
        try:
            return found.get(timeout=wait_s)
        except queue.Empty:
            return None

    def close(self, wait_s: float = 2.0) -> None:
        """Let it sleep again and end the thread."""
        self._wanted = False
        if self._thread is not None:
            self._wishes.put(None)
            self._thread.join(wait_s)
            self._thread = None

    def _work(self) -> None:
        while True:
            wish = self._wishes.get()
            if wish:
                self._start()
            else:
                self._stop()
            if wish is None:
                return

    def _start(self) -> None:
        for holder in self._holders:
            means = _started(holder)
            if means is not None:
                self._active, self.awake, self.impossible = holder, True, False
                self.sentence = f"The machine is kept awake while {REASON} (by {means})."
                return
        self.impossible = True
        self.sentence = (
            f"The machine can't be kept awake, although {REASON}: "
            "switch its sleep off in the system's settings."
        )

    def _tried(self) -> str | None:
        for holder in self._holders:
            means = _started(holder)
            if means is not None:
                holder.stop()
                return means
        return None

    def _stop(self) -> None:
        if self._active is not None:
            self._active.stop()
        self._active, self.awake, self.impossible = None, False, False
        self.sentence = "The machine may sleep: no window can be missed."


def _started(holder: Holder) -> str | None:
    try:
        return holder.start()
    except Exception:  # each platform's way fails in its own way; then the next is tried
        return None


class WakepyHolder:
    """The desktop's, Windows' or macOS' own way, by `wakepy`."""

    def __init__(self) -> None:
        self._mode: AbstractContextManager[Any] | None = None

    def start(self) -> str | None:
        """Enter the mode; None where no method works here."""
        logging.getLogger("wakepy").addHandler(logging.NullHandler())
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            from wakepy import keep

            mode = keep.running(on_fail="pass")
            entered = mode.__enter__()
        if not entered.result.real_success:
            mode.__exit__(None, None, None)
            return None
        self._mode = mode
        return str(entered.method.name if entered.method else "wakepy")

    def stop(self) -> None:
        """Leave the mode."""
        if self._mode is not None:
            self._mode.__exit__(None, None, None)
            self._mode = None


class SystemdHolder:
    """systemd's inhibitor, for machines without a desktop.

    The inhibiting process reads from a pipe that only this process holds: if this one is
    killed the pipe closes and the machine may sleep again.
    """

    def __init__(
        self,
        platform: str = sys.platform,
        which: Callable[[str], str | None] = shutil.which,
    ) -> None:
        self._platform = platform
        self._which = which
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> str | None:
        """Start the inhibitor; None where there is no systemd that allows it."""
        program, waiter = self._which("systemd-inhibit"), self._which("cat")
        if not self._platform.startswith("linux") or not program or not waiter:
            return None
        process = subprocess.Popen(
            [program, "--what=sleep:idle", "--who=benchmate", f"--why={REASON}", waiter],
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            process.wait(SETTLE_S)
        except subprocess.TimeoutExpired:
            self._process = process
            return "systemd-inhibit"
        _close(process.stdin)
        return None

    def stop(self) -> None:
        """End the inhibitor."""
        if self._process is not None:
            _close(self._process.stdin)
            self._process.wait(SETTLE_S * 4)
            self._process = None


def _close(pipe: IO[bytes] | None) -> None:
    if pipe is not None:
        pipe.close()
