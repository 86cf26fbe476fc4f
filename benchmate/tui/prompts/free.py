"""Work without a plan: acts with no material, weighings, notes, photos, and a file from it all."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import CLOCKS_TITLE, free_jobs
from benchmate.bench.starting.starter import write_starter
from benchmate.bench.weights.weighing import Typed
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import in_job
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.clock import split_piece
from benchmate.tui.prompts.weigh import WeighPrompt


class FreeWeigh(WeighPrompt):
    """The weigh prompt of a job without a plan: it is told what stands on the scale."""

    def __init__(self, bench: Bench, job: str, what: str) -> None:
        self.piece_, self.what = split_piece(what)
        named = f"What does it weigh: {what.strip() or 'on the scale'}?"
        super().__init__(bench, job, None, in_job(bench.shop.jobs[job], named))

    def _typed(self, text: str) -> Typed:
        """The weight, and what it is of."""
        return Typed(text, piece=self.piece_, what=self.what)


class FreeWork(ListPage):
    """Keys for a job without a plan; `target` is the one that they and the clocks go to."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "j",
            "other_job",
            "whose acts",
            id="free-job",
            tooltip="Which job without a plan the acts go to, or none",
        ),
        Binding("w", "weigh", "weigh", id="free-weigh", tooltip="Weigh something in that job"),
        Binding(
            "d",
            "other_act",
            "did something else",
            id="free-act",
            tooltip="An act without a material: sanded, turned, fitted …",
        ),
        Binding("n", "note", "note", id="free-note", tooltip="A note in that job"),
        Binding("p", "photo", "photo", id="free-photo", tooltip="The path of a photo of it"),
        Binding(
            "f",
            "write_file",
            "write a file",
            id="free-file",
            tooltip="Write a procedure file from what was done in that job",
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
            picked = self.app.hand.picked or ("", "")  # type: ignore[attr-defined]
            mine = (j for j in jobs if j.job == picked[0])
            return next(mine, next(iter(jobs), None))
        return next((j for j in jobs if j.job == self.target_id), None)

    def action_other_job(self) -> None:
        """Pick where the acts go."""
        jobs = self.jobs
        names = ["no job: clocks on their own", *(j.title for j in jobs)]

        def picked(n: int | None) -> None:
            if n is not None:
                self.target_id = jobs[n - 1].job if n else ""
            self.look()

        self.app.push_screen(Choose("Where do the acts go?", names), picked)

    def _needed(self) -> JobState | None:
        job = self.target
        if job is None:
            self.say("That belongs to a job without a plan: s and then 0 start one.")
        return job

    def action_weigh(self) -> None:
        """What stands on the scale, then its weight."""
        job = self._needed()
        if job is None:
            return

        def named(what: str | None) -> None:
            if what is not None:
                self.ask(FreeWeigh(self.bench, job.job, what))

        question = "What stands on the scale? (filled foot; or with its piece, B: filled foot)"
        self.app.push_screen(Ask(in_job(job, question), lambda text: text), named)

    def action_other_act(self) -> None:
        """An act without a material."""
        job = self._needed()
        if job is None:
            return

        def submit(text: str) -> str:
            piece, act = split_piece(text)
            self.bench.do(job.job, cmd.DoFreely(act=act, piece=piece))
            return f"Recorded: {act}."

        question = "What was done? (sanded; or with its piece, B: sanded)"
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

    def action_photo(self) -> None:
        """A photo's path; the file stays where it is."""
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

    def action_write_file(self) -> None:
        """Write a procedure from what was done, and say where it is."""
        job = self._needed()
        if job is None:
            return

        def submit(text: str) -> str:
            path = write_starter(self.bench, job.job, text)
            return f"Written: {path}. Read it through, then s starts a job from it."

        self.ask(Ask("What is the procedure to be called?", submit, prefill=job.title))
