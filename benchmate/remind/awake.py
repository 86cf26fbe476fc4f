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

from benchmate.clock import steady_s
from benchmate.remind.rules.staying_awake import MAY_SLEEP, Wish

REASON = "a clock in the shop is waited for"
CANT = "{why}, but this machine can't be kept awake: switch its sleep off in its settings."
SETTLE_S = 0.5
ASK_S = 30.0


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
        self._wish = MAY_SLEEP
        self._active: Holder | None = None
        self._means = ""
        self._on_battery, self._asked_s = False, float("-inf")
        self.awake = False
        """Whether it is being kept awake now."""
        self.impossible = False
        """Whether it should be kept awake and can't be."""

    @property
    def sentence(self) -> str:
        """For the bench to show: for what it is kept awake, and by what means, or why not."""
        if self.impossible:
            return CANT.format(why=self._wish.sentence.rstrip("."))
        return self._wish.sentence.rstrip(".") + (f" (by {self._means})." if self.awake else ".")

    @property
    def on_battery(self) -> bool:
        """Whether the machine lives on its battery, asked every half minute."""
        if steady_s() - self._asked_s > ASK_S:
            self._on_battery, self._asked_s = is_on_battery(), steady_s()
        return self._on_battery

    def want(self, wish: Wish) -> None:
        """Keep awake from now on, or let it sleep. Returns at once."""
        awake, was_awake = wish.awake, self._wish.awake
        self._wish = wish
        if awake == was_awake:
            return
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
        self._wish = MAY_SLEEP
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
                self._means = means
                return
        self.impossible = True

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


def is_on_battery() -> bool:
    """Whether there is a battery and no mains; where that isn't known, it is mains."""
    import psutil

    try:
        battery = psutil.sensors_battery()
    except (AttributeError, OSError):  # a system whose library has no such call
        return False
    return battery is not None and battery.power_plugged is False


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
