"""Caring for the journal from its logbook: verifying it, copying it, writing it out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.worker import get_current_worker

from benchmate.bench.errors import JournalError
from benchmate.clock import steady_s
from benchmate.localtime import show_stamp
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Role
from benchmate.tui.prompts.ask import Ask

if TYPE_CHECKING:
    from benchmate.bench.keeping.rescue import BackupInfo, Verdict

Progress = Callable[[int, int], None]
SAY_EVERY_S = 0.25
"""How often a check says how far it is."""


class GivenUp(Exception):  # noqa: N818 - nothing went wrong
    """The screen was left in the middle of a check."""


class LogCare(ListPage):
    """Long work is done in workers, through connections of their own; the bench stays usable."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "v",
            "verify",
            "verify",
            id="log-verify",
            tooltip="Check every entry, the chain and the file",
        ),
        Binding(
            "b", "backup", "backup", id="log-backup", tooltip="Write a checked copy of the journal"
        ),
        Binding("e", "export", "export", id="log-export", tooltip="How to write it out as text"),
    ]

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

        try:
            verdict = verify(progress)
            text, role = verdict.sentence, "good" if verdict.ok else "alarm"
        except GivenUp:
            return
        except JournalError as error:
            text, role = str(error), "alarm"
        self._tell(text, role)  # type: ignore[arg-type]

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

        self.ask(Ask("Copy the journal to which file?", submit, prefill=str(target)))

    def _backup(self, backup: Callable[[Path], BackupInfo], path: Path) -> None:
        try:
            info = backup(path)
            text, role = f"{info.events} entries are backed up and checked in {info.path}.", "good"
        except JournalError as error:
            text, role = str(error), "alarm"
        self._tell(text, role)  # type: ignore[arg-type]

    def action_export(self) -> None:
        """Say how: it is a matter for a file, not for the screen."""
        self.say(
            "`benchmate logbook export > FILE` writes every stored entry as a line of JSON; "
            "`benchmate logbook list --json` what is seen here."
        )
