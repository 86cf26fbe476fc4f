"""Keys for what is written beside the acts: notes, skipping, earlier times, air, whole jobs."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.job.phrases import piece_label
from benchmate.job.refusal import TooCold
from benchmate.job.state import JobState
from benchmate.localtime import parse_when, show_when
from benchmate.tui.asking import Asking
from benchmate.tui.lazily import Later

if TYPE_CHECKING:
    from benchmate.job import commands as cmd
else:
    cmd = Later("benchmate.job.commands")


class Keeping(Asking):
    """About the step, the piece and the job in hand."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "note", "note", id="note", tooltip="Write a note about the step in hand"),
        Binding("x", "skip", "skip", id="skip", tooltip="Leave the step out, with a reason"),
        Binding("e", "earlier", "done earlier", id="earlier",
                tooltip="It was done a while ago: say when"),
        Binding("a", "air", "air", id="air", tooltip="Record the shop's temperature and humidity"),
        Binding("t", "wish", "next time …", id="wish",
                tooltip="What to do differently in the next job"),
        Binding("T", "take_wish", "wish into the file", id="take-wish",
                tooltip="Write what stands here for next time into the procedure's file"),
        Binding("p", "pause", "pause", id="pause", tooltip="Pause the job in hand, or go on"),
        Binding("S", "spoil", "piece spoiled", id="spoil",
                tooltip="A piece is scrap, or is to be made again"),
        Binding("o", "job_menu", "job …", id="job-menu",
                tooltip="Finish, pause, stop, a piece spoiled"),
    ]  # fmt: skip

    def _job(self, why: str) -> JobState | None:
        job = self.job_in_hand
        if job is None:
            self.say(why)
        return job

    # The step in hand ------------------------------------------------------------------------

    def action_note(self) -> None:
        """A note about the step in hand."""
        job, act = self._job("A note needs a job to stand in."), self.shown
        if job is None:
            return
        where = act.address if act is not None and act.kind != "answer" else ""

        def submit(text: str) -> str:
            self.bench.do(job.job, cmd.Note(text=text, address=where))
            return "Noted."

        self.question("Note", submit)

    def action_wish(self) -> None:
        """Next time …"""
        job, act = self.job_in_hand, self.shown
        if job is None or act is None or act.step is None:
            self.say("“Next time” needs a step in hand.")
            return
        step = act.step.file_step or act.step.act
        self.ask_reason(
            "Next time …", job, lambda text: cmd.WishNextTime(file_step=step, text=text),
            "Kept: it will stand before this step in the next job.",
        )  # fmt: skip

    def action_take_wish(self) -> None:
        """What is wished for at this step, into the procedure's file."""
        job, act = self.job_in_hand, self.shown
        if job is None or job.plan is None or act is None or act.step is None:
            self.say("There is no step of a procedure in hand.")
            return
        from benchmate.tui.wishing import ask_wishes

        def done(said: str) -> None:
            if said:
                self.say(said)

        ask_wishes(self, self.bench, job.plan.procedure, done, act.step.file_step)

    def action_skip(self) -> None:
        """Leave the step in hand out, with the reason."""
        act = self.shown
        if act is None or act.step is None:
            self.say("There is no step to skip.")
            return
        job = self.bench.shop.jobs[act.job]
        self.ask_reason(
            f"Skip “{act.step.do.rstrip('.')}”. Why?", job,
            lambda text: cmd.Skip(address=act.address, reason=text), "Skipped.",
        )  # fmt: skip

    def action_earlier(self) -> None:
        """The act in hand was done earlier."""
        act = self.shown
        if act is None or act.kind != "do":
            self.say("There is no act in hand that could have been done earlier.")
            return

        def submit(text: str) -> str:
            at = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))
            command = cmd.MarkDone(address=act.address, at=at)
            said = f"Recorded as done at {show_when(at.wall_s, self.bench.now().wall_s)}."
            try:
                self.bench.do(act.job, command)
            except TooCold as question:
                self.call_later(self.ask_anyway, str(question), act.job, command, said)
                return ""
            return said

        question = "When was it done? (16:35, yesterday 17:00, or 10 min ago)"
        self.question(question, submit, prefill="10 min ago", live=self.when)

    def action_air(self) -> None:
        """The shop's temperature and humidity."""
        self.ask_air()

    # The job in hand -------------------------------------------------------------------------

    def action_pause(self) -> None:
        """Pause the job in hand; with no act in hand, bring a paused one back."""
        job = self._job("There is no job to pause.")
        if job is None:
            return
        if job.status == "paused":
            self.do(job.job, cmd.Resume(), f"{job.title} goes on.")
        else:
            said = f"{job.title} is paused: silent, but its windows run on. p brings it back."
            self.do(job.job, cmd.Pause(), said)

    def action_spoil(self) -> None:
        """A piece is scrap, or is to be made again."""
        job = self._job("There is no job whose piece could be spoiled.")
        names = [p.name for p in job.plan.pieces if p.name not in job.spoiled] if (
            job is not None and job.plan) else []  # fmt: skip
        if job is None or not names:
            self.say("This job has no pieces.")
            return
        self.choose(
            "Which piece is spoiled?",
            [piece_label(job, n) for n in names],
            [partial(self._spoil_how, job, n) for n in names],
        )

    def _spoil_how(self, job: JobState, piece: str) -> None:
        label = piece_label(job, piece)
        self.choose(
            f"{label}: what becomes of it?",
            ("It is scrap: the others go on without it", "It is made again from its first step"),
            [partial(self._spoil_why, job, piece, label, remake=r) for r in (False, True)],
        )

    def _spoil_why(self, job: JobState, piece: str, label: str, *, remake: bool) -> None:
        said = f"{label} is {'to be made again' if remake else 'scrap'}."
        self.ask_reason(
            f"What happened to {label}?", job,
            lambda text: cmd.Spoil(piece=piece, reason=text, remake=remake), said,
        )  # fmt: skip

    def action_job_menu(self) -> None:
        """What can be done with the whole job."""
        job = self._job("No job is running: s starts one.")
        if job is None:
            return
        pause = "Go on with it" if job.status == "paused" else "Pause it, for weeks if need be"
        self.choose(
            job.title,
            ("Finish it: say how it turned out", pause, "A piece is spoiled",
             "Stop it before its end"),
            (lambda: self._finish(job), self.action_pause, self.action_spoil,
             lambda: self._stop(job)),
        )  # fmt: skip

    def _stop(self, job: JobState) -> None:
        self.ask_reason(
            f"Stop {job.title} before its end. Why?", job, lambda text: cmd.Stop(reason=text),
            f"{job.title} is stopped.",
        )  # fmt: skip

    def _finish(self, job: JobState) -> None:
        left = sum(not job.is_settled(a) for a in job.steps)
        if left:
            steps = "1 step is" if left == 1 else f"{left} steps are"
            self.say(f"{steps} still to do: do or skip them first, or stop the job with a reason.")
            return

        def outcome(text: str) -> str:
            self.call_later(self._photo, job, text)
            return "A photo's path, if you took one."

        self.question(f"How did {job.title} turn out?", outcome)

    def _photo(self, job: JobState, outcome: str) -> None:
        def submit(path: str) -> str:
            self.bench.do(job.job, cmd.Finish(outcome=outcome, photo=path.strip()))
            return f"{job.title} is finished."

        self.question("Path of a photo (or just Enter)", submit)
