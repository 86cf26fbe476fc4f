"""Caring for the logbook from its page: verifying it, copying it, writing it out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from textual.worker import get_current_worker

from benchmate.bench.errors import JournalError
from benchmate.clock import steady_s
from benchmate.localtime import show_stamp
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Role
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose

if TYPE_CHECKING:
    from benchmate.bench.keeping.rescue import BackupInfo, Verdict

Progress = Callable[[int, int], None]
SAY_EVERY_S = 0.25
"""How often a check says how far it is."""


class GivenUp(Exception):  # noqa: N818 - nothing went wrong
    """The screen was left in the middle of a check."""


class LogCare(ListPage):
    """Long work is done in workers, through connections of their own; the bench stays usable."""

    def take(self, what: object) -> None:
        """What can be done with the whole logbook."""
        ways = (
            ("Check every entry, the chain and the file", self.action_verify),
            ("Back it up: a checked copy", self.action_backup),
            ("How to export it as text", self.action_export),
        )

        def answered(n: int | None) -> None:
            if n is not None:
                ways[n][1]()

        self.app.push_screen(Choose("The logbook …", [text for text, _ in ways]), answered)

    def action_verify(self) -> None:
        """Check everything in a worker, saying how far it is."""
        journal = self.bench.journal
        self.say("Checking every entry …", "plain")
        self.run_worker(
            lambda: self._verify(journal.verify),
            thread=True,
            exclusive=True,
            group="verify",
            exit_on_error=False,
        )

    def _verify(self, verify: Callable[[Progress], Verdict]) -> None:
        worker = get_current_worker()
        said_s = float("-inf")

        def progress(done: int, total: int) -> None:
            nonlocal said_s
            if worker.is_cancelled:
                raise GivenUp
            if steady_s() - said_s >= SAY_EVERY_S:
                said_s = steady_s()
                self.app.call_from_thread(self.say, f"{done} of {total} entries checked", "plain")

        role: Role = "alarm"
        try:
            verdict = verify(progress)
            text, role = verdict.sentence, "good" if verdict.ok else "alarm"
        except GivenUp:
            return
        except JournalError as error:
            text = str(error)
        self._tell(text, role)

    def _tell(self, text: str, role: Role) -> None:
        """From a worker: say it, unless nobody is there any more."""
        if not get_current_worker().is_cancelled:
            self.app.call_from_thread(self.say, text, role)

    def action_backup(self) -> None:
        """Ask where to, and write a checked copy."""
        day = show_stamp(self.bench.now().wall_s)[:10]
        target = Path.home() / f"benchmate-{day}.journal.db"

        def submit(text: str) -> str:
            path = Path(text.strip()).expanduser()
            if not text.strip() or path.is_dir():
                raise Refused("Name a file that isn't there yet.")
            journal = self.bench.journal
            self.run_worker(
                lambda: self._backup(journal.backup, path),
                thread=True,
                group="backup",
                exit_on_error=False,
            )
            return "Writing the copy …"

        self.ask(Ask("Back up the logbook to which file?", submit, prefill=str(target)))

    def _backup(self, backup: Callable[[Path], BackupInfo], path: Path) -> None:
        role: Role = "alarm"
        try:
            info = backup(path)
            text, role = f"{info.events} entries are backed up and checked in {info.path}.", "good"
        except JournalError as error:
            text = str(error)
        self._tell(text, role)

    def action_export(self) -> None:
        """Say how: it is a matter for a file, not for the screen."""
        self.say(
            "`benchmate logbook export > FILE` writes every stored entry as a line of JSON; "
            "`benchmate logbook list --json` what is seen here."
        )
