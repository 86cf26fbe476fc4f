"""A command of the maker's own: a lamp, a buzzer, whatever the shop has. Never through a shell."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from collections.abc import Sequence
from pathlib import Path

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.edges import Reminder

DEFAULT_TIMEOUT_S = 20.0


class CommandChannel:
    """Runs a program with the reminder's text on its standard input and facts in its environment.

    BENCHMATE_TEXT, BENCHMATE_STAGE, BENCHMATE_LABEL, BENCHMATE_ADDRESS, BENCHMATE_JOB,
    BENCHMATE_URGENT ("yes" or "no") and BENCHMATE_AGAIN ("yes" or "no").
    """

    def __init__(
        self, argv: Sequence[str], timeout_s: float = DEFAULT_TIMEOUT_S, name: str = "command"
    ) -> None:
        """`argv`: the program and its arguments, as they are; nothing in them is expanded."""
        self.name = name
        self._argv = list(argv)
        self._timeout_s = timeout_s

    @property
    def _program(self) -> str:
        """The program's bare name: its arguments may hold secrets."""
        return Path(self._argv[0]).name if self._argv else "(nothing)"

    def available(self) -> Availability:
        """Whether the program can be found."""
        if self._argv and shutil.which(self._argv[0]):
            return Availability(ok=True, sentence=f"Command: {self._program} can be run.")
        return Availability(
            ok=False,
            sentence=f"Command: {self._program} can't be found or is not executable.",
            mend="Write the program's full path in the settings and make the file executable.",
        )

    def send(self, reminder: Reminder) -> Outcome:
        """Run it and wait for its end; what runs over its time is ended, with its children."""
        try:
            process = subprocess.Popen(
                self._argv,
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env={**os.environ, **facts_of(reminder)},
                start_new_session=True,
            )
        except (OSError, ValueError, IndexError) as error:
            reason = getattr(error, "strerror", None) or "it is not a command"
            return Outcome(ok=False, note=f"{self._program} could not be started ({reason})")
        try:
            process.communicate(reminder.text.encode(), timeout=self._timeout_s)
        except subprocess.TimeoutExpired:
            _end(process)
            return Outcome(ok=False, note=f"{self._program} took over {self._timeout_s:g} s")
        if process.returncode != 0:
            return Outcome(ok=False, note=f"{self._program} ended with {process.returncode}")
        return SENT


def facts_of(reminder: Reminder) -> dict[str, str]:
    """What the command is told in its environment."""
    facts = {
        "TEXT": reminder.text,
        "STAGE": str(reminder.stage),
        "LABEL": reminder.edge.label,
        "ADDRESS": reminder.edge.address,
        "JOB": reminder.edge.job,
        "URGENT": "yes" if reminder.urgent else "no",
        "AGAIN": "yes" if reminder.again else "no",
    }
    return {f"BENCHMATE_{name}": value.replace("\0", " ") for name, value in facts.items()}


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a program that overran, and what it started."""
    try:
        if os.name == "posix":
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    except ProcessLookupError:
        pass
    process.communicate()
