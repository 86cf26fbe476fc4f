"""Keys for what is written beside the acts: notes, skipping, earlier times, air, whole jobs."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import act_sentence, in_job, piece_label, thing_of
from benchmate.localtime import parse_when, show_when
from benchmate.refusal import TooCold
from benchmate.tui.bench.asking import Asking
from benchmate.tui.lazy_import import Later
from benchmate.tui.present.bench.pieces import DIGITS, pieces
from benchmate.tui.present.bench.words import done_act, short_act

if TYPE_CHECKING:
    from benchmate.job.deciding import commands as cmd
else:
    cmd = Later("benchmate.job.deciding.commands")


class Keeping(Asking):
    """About the step, the piece and the job in hand."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "note", "note", id="note", tooltip="Write a note about the step in hand"),
        Binding("x", "skip", "skip", id="skip", tooltip="Leave the step out, with a reason"),
        Binding(
            "e",
            "earlier",
            "done earlier",
            id="earlier",
            tooltip="It was done a while ago: say when",
        ),
        Binding("a", "air", "air", id="air", tooltip="Record the shop's temperature and humidity"),
        Binding(
            "t", "wish", "next time …", id="wish", tooltip="What to do differently in the next job"
        ),
        Binding(
            "N",
            "take_wish",
            "wish into the file",
            id="take-wish",
            tooltip="Write what stands here for next time into the procedure's file",
        ),
        Binding("p", "pause", "pause", id="pause", tooltip="Pause the job in hand, or go on"),
        Binding(
            "S",
            "spoil",
            "piece spoiled",
            id="spoil",
            tooltip="A piece is scrap, or is to be made again",
        ),
        Binding(
            "o", "job_menu", "job …", id="job-menu", tooltip="Finish, pause, stop, a piece spoiled"
        ),
    ]

    # The step in hand ------------------------------------------------------------------------

    def action_note(self) -> None:
        """A note about the step in hand."""
        self.with_job(self._note, "A note needs a job to stand in: s starts one.")

    def _note(self, job: JobState) -> None:
        act = self.shown
        where = act.address if act is not None and act.kind != "answer" else ""
        step = job.steps.get(where)

        def submit(text: str) -> str:
            self.bench.do(job.job, cmd.Note(text=text, address=where))
            return f"Noted in {job.title}."

        about = f"{step.act} {thing_of(job, step)}" if step is not None else "the job"
        self.question(in_job(job, f"Note about {about}"), submit)

    def action_wish(self) -> None:
        """Next time …"""
        job, act = self.job_in_hand, self.shown
        if job is None or act is None or act.step is None:
            self.say("“Next time” needs a step in hand.")
            return
        step = act.step.file_step or act.step.act
        self.ask_reason(
            in_job(job, f"Next time, at “{step}” …"),
            job,
            lambda text: cmd.WishNextTime(file_step=step, text=text),
            "Kept: it will stand before this step in the next job.",
        )

    def action_take_wish(self) -> None:
        """What is wished for at this step, into the procedure's file."""
        job, act = self.job_in_hand, self.shown
        if job is None or job.plan is None or act is None or act.step is None:
            self.say("There is no step of a procedure in hand.")
            return
        from benchmate.tui.bench.wishing import ask_wishes

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
            in_job(job, f"Skip “{act_sentence(job, act).rstrip('.')}”: why?"),
            job,
            lambda text: cmd.Skip(address=act.address, reason=text),
            f"Skipped: {short_act(job, act)}.",
        )

    def action_earlier(self) -> None:
        """The act in hand was done earlier."""
        act = self.shown
        if act is None or act.kind != "do" or act.step is None:
            self.say("There is no act in hand that could have been done earlier.")
            return
        job = self.bench.shop.jobs[act.job]
        did = done_act(job, act.step)

        def submit(text: str) -> str:
            at = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))
            command = cmd.MarkDone(address=act.address, at=at)
            said = f"Recorded: {did}, {show_when(at.wall_s, self.bench.now().wall_s)}."
            try:
                self.bench.do(act.job, command)
            except TooCold as question:
                self.call_later(self.ask_anyway, str(question), act.job, command, said)
                return ""
            return said

        question = f"{did[:1].upper()}{did[1:]}: when? (16:35, yesterday 17:00, or 10 min ago)"
        self.question(in_job(job, question), submit, prefill="10 min ago", live=self.when)

    def action_air(self) -> None:
        """The shop's temperature and humidity."""
        self.ask_air()

    # The job in hand -------------------------------------------------------------------------

    def action_pause(self) -> None:
        """Pause the job in hand; with no act in hand, bring a paused one back."""
        self.with_job(self._pause, "There is no job to pause.")

    def _pause(self, job: JobState) -> None:
        if job.status == "paused":
            self.do(job.job, cmd.Resume(), f"{job.title} goes on.")
            return
        self.do(job.job, cmd.Pause(), f"{job.title} is paused: silent, but its windows run on.")
        if self.bench.shop.jobs[job.job].status == "paused":
            self.say(f"{self.hand.said} {self._brings_back(job)}")

    def _brings_back(self, job: JobState) -> str:
        """How the paused job is got at: p alone might mean another one."""
        if self.job_in_hand is not None and self.job_in_hand.job == job.job:
            return "p brings it back."
        every = pieces(self.bench.shop.live)
        digit = next((n for n, p in enumerate(every, 1) if p.job == job.job), DIGITS + 1)
        return f"{digit} and p bring it back." if digit <= DIGITS else "tab to it, then p."

    def action_spoil(self) -> None:
        """A piece is scrap, or is to be made again."""
        self.with_job(self._spoil, "There is no job whose piece could be spoiled.")

    def _spoil(self, job: JobState) -> None:
        planned = job.plan.pieces if job.plan else ()
        names = [p.name for p in planned if p.name not in job.spoiled]
        if not names:
            self.say(f"{job.title} has no pieces.")
            return
        self.choose(
            in_job(job, "Which piece is spoiled?"),
            [piece_label(job, n) for n in names],
            [partial(self._spoil_how, job, n) for n in names],
        )

    def _spoil_how(self, job: JobState, piece: str) -> None:
        label = piece_label(job, piece)
        self.choose(
            in_job(job, f"{label}: what becomes of it?"),
            ("It is scrap: the others go on without it", "It is made again from its first step"),
            [partial(self._spoil_why, job, piece, label, remake=r) for r in (False, True)],
        )

    def _spoil_why(self, job: JobState, piece: str, label: str, *, remake: bool) -> None:
        said = f"{label[:1].upper()}{label[1:]} is {'to be made again' if remake else 'scrap'}."
        self.ask_reason(
            in_job(job, f"What happened to {label}?"),
            job,
            lambda text: cmd.Spoil(piece=piece, reason=text, remake=remake),
            said,
        )

    def action_job_menu(self) -> None:
        """What can be done with the whole job."""
        self.with_job(self._job_menu, "No job is running: s starts one.")

    def _job_menu(self, job: JobState) -> None:
        pause = "Go on with it" if job.status == "paused" else "Pause it, for weeks if need be"
        self.choose(
            job.title,
            (
                "Finish it: say how it turned out",
                pause,
                "A piece is spoiled",
                "Stop it before its end",
            ),
            [partial(do, job) for do in (self._finish, self._pause, self._spoil, self._stop)],
        )

    def _stop(self, job: JobState) -> None:
        self.ask_reason(
            f"Stop {job.title} before its end. Why?",
            job,
            lambda text: cmd.Stop(reason=text),
            f"{job.title} is stopped.",
        )

    def _finish(self, job: JobState) -> None:
        left = sum(not job.is_settled(a) for a in job.steps)
        if left:
            steps = "1 step is" if left == 1 else f"{left} steps are"
            self.say(f"{steps} still to do: do or skip them first, or stop the job with a reason.")
            return

        from benchmate.tui.bench.job_end import Ending

        Ending(self, self.bench, job, self.say_at_end).begin()

    def say_at_end(self, text: str) -> None:
        """Say what came of it, and show the bench as it is now."""
        self.hand.act_of_mine()
        self.say(text)
        self.after_an_act()
