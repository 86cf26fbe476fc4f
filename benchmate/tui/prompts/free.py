"""Work without a plan: weighings, notes, photos, other work, and a procedure made of it all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from textual.binding import BindingType

from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import CLOCKS_TITLE, free_jobs
from benchmate.bench.starting.starter import write_starter
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import in_job
from benchmate.refusal import Refused
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.clock import split_piece
from benchmate.tui.prompts.weigh_free import FreeWeigh

ON_THE_SCALE = "What is on the scale? (filled foot, or B: filled foot)"


def free_weigh(bench: Bench, job: str, what: str) -> FreeWeigh:
    """That prompt; the one that listens to a cable only where a scale is set."""
    if bench.settings.scale.port:
        from benchmate.tui.prompts.weigh_live import LiveFreeWeigh

        return LiveFreeWeigh(bench, job, what)
    return FreeWeigh(bench, job, what)


class FreeWork(ListPage):
    """Keys for a job without a plan; `target` is the one that they and the clocks go to."""

    BINDINGS: ClassVar[list[BindingType]] = [
        binding("weigh", "weigh", tip="Weigh something in the job without a plan"),
        binding("note", "note", tip="A note in the job without a plan"),
        binding(
            "job",
            "job_menu",
            tip="Which job this is for, something else done, a photo, a procedure made of it",
        ),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.target_id: str | None = None

    @property
    def jobs(self) -> list[JobState]:
        """The running jobs without a plan, newest first; clocks on their own are none."""
        return [j for j in reversed(free_jobs(self.bench)) if j.title != CLOCKS_TITLE]

    @property
    def target(self) -> JobState | None:
        """The job that acts go to: the one picked here, else the one picked on the bench, else the
        newest; None for clocks alone."""
        jobs = self.jobs
        if self.target_id is None:
            picked = self.host.hand.picked or ("", "")
            mine = (j for j in jobs if j.job == picked[0])
            return next(mine, next(iter(jobs), None))
        return next((j for j in jobs if j.job == self.target_id), None)

    def action_job_menu(self) -> None:
        """What belongs to a job without a plan, beside clocks, weights and notes."""
        ways: list[tuple[str, Callable[[], object]]] = [
            ("Which job is this for? …", self._other_job)
        ]
        if self.target is not None:
            ways += [
                ("Something else done …", self._other_act),
                ("A photo …", self._photo),
                ("Make a procedure of it …", self._write_file),
            ]

        def answered(n: int | None) -> None:
            if n is None:
                self.look()
            else:
                ways[n][1]()

        title = self.target.title if self.target is not None else "No job without a plan"
        self.app.push_screen(Choose(title, [text for text, _ in ways]), answered)

    def _other_job(self) -> None:
        """Pick which job it is for."""
        jobs = self.jobs
        names = ["no job: just the clock", *(j.title for j in jobs)]

        def picked(n: int | None) -> None:
            if n is not None:
                self.target_id = jobs[n - 1].job if n else ""
            self.look()

        self.app.push_screen(Choose("Which job is this for?", names), picked)

    def _needed(self) -> JobState | None:
        job = self.target
        if job is None:
            self.say("Only for a job without a plan: s, then 0, starts one.")
        return job

    def action_weigh(self) -> None:
        """What stands on the scale, then its weight."""
        job = self._needed()
        if job is None:
            return

        def named(what: str | None) -> None:
            if what is not None:
                self.ask(free_weigh(self.bench, job.job, what))

        self.app.push_screen(Ask(in_job(job, ON_THE_SCALE), lambda text: text), named)

    def _other_act(self) -> None:
        """An act without a material."""
        job = self._needed()
        if job is None:
            return

        def submit(text: str) -> str:
            piece, act = split_piece(text)
            self.bench.do(job.job, cmd.DoFreely(act=act, piece=piece))
            return f"Recorded: {act}."

        question = "What did you do? (sanded, or B: sanded)"
        self.ask(Ask(in_job(job, question), submit))

    def action_note(self) -> None:
        """A note."""
        job = self._needed()
        if job is None:
            return

        def submit(text: str) -> str:
            self.bench.do(job.job, cmd.Note(text=text))
            return "Noted."

        self.ask(Ask(in_job(job, "Note about the job"), submit))

    def _photo(self) -> None:
        """A photo by its path; the shop keeps a copy."""
        job = self._needed()
        if job is None:
            return

        def submit(text: str) -> str:
            path = Path(text.strip()).expanduser()
            if not text.strip():
                raise Refused("Type the photo's path.")
            self.bench.do(job.job, cmd.Note(text="", photo=str(path)))
            found = "" if path.is_file() else " No such file is there now."
            return f"Noted: photo {path}.{found}"

        self.ask(Ask(in_job(job, "Which file is the photo?"), submit))

    def _write_file(self) -> None:
        """Write a procedure from what was done, and say where it is."""
        job = self._needed()
        if job is None:
            return

        def submit(text: str) -> str:
            path = write_starter(self.bench, job.job, text)
            return f"Written: {path}. Read it through, then s starts a job from it."

        self.ask(Ask("Name of the procedure?", submit, prefill=job.title))
