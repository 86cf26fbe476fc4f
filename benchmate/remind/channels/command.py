"""A command of the maker's own: a lamp, a buzzer, whatever the shop has. Never through a shell."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.rules.edges import Reminder

DEFAULT_TIMEOUT_S = 20.0


class CommandChannel:
    """Runs a program with the reminder's text on its standard input and facts in its environment.

    BENCHMATE_STATE is the gravest stage that stands anywhere, for a lamp: when that alone has
    changed (somebody said OK, another process took over) it runs without a text, and at the end
    with "none".

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
        self._state = ""

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
        if self._state in ("", "none") or reminder.urgent:
            self._state = str(reminder.stage)
        return self._run(reminder.text, {**facts_of(reminder), "BENCHMATE_STATE": self._state})

    def stand(self, reminders: tuple[Reminder, ...]) -> None:
        """Tell it the gravest stage that stands, where that is another than it was told last."""
        state = str(reminders[0].stage) if reminders else "none"
        if state != self._state:
            self._state = state
            self._run("", {"BENCHMATE_STATE": state})

    def close(self) -> None:
        """Nothing is said from here any more; whoever takes over tells it anew."""
        if self._state not in ("", "none"):
            with suppress(OSError, ValueError, IndexError):
                self._begun({"BENCHMATE_STATE": "none"}).stdin.close()  # type: ignore[union-attr]

    def _begun(self, facts: dict[str, str]) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            self._argv,
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, **facts},
            start_new_session=True,
        )

    def _run(self, text: str, facts: dict[str, str]) -> Outcome:
        try:
            process = self._begun(facts)
        except (OSError, ValueError, IndexError) as error:
            reason = getattr(error, "strerror", None) or "it is not a command"
            return Outcome(ok=False, note=f"{self._program} could not be started ({reason})")
        try:
            process.communicate(text.encode(), timeout=self._timeout_s)
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
