"""The menu of the job in hand: each of it asks, and what it does is undone in the same place."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import in_job, piece_label
from benchmate.tui.bench.desk import Desk
from benchmate.tui.lazy_import import Later
from benchmate.tui.present.bench.weights.pieces import DIGITS, pieces

if TYPE_CHECKING:
    from benchmate.bench.shelf import cups
    from benchmate.job.deciding import commands as cmd
    from benchmate.job.weights import cups as cups_of_job
else:
    cups_of_job = Later("benchmate.job.weights.cups")
    cups = Later("benchmate.bench.shelf.cups")
    cmd = Later("benchmate.job.deciding.commands")


class WholeJob:
    """About the job in hand, its pieces and its cup."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def menu(self) -> None:
        """What can be done with the whole job, a paused one too."""
        self.desk.with_job(self._menu, "No job running: s starts one.")

    def _menu(self, job: JobState) -> None:
        ways: list[tuple[str, Callable[[JobState], object]]] = [
            ("Finish it: say how it turned out", self._finish),
            ("Resume it" if job.status == "paused" else "Pause it: no reminders", self._pause),
            ("Left in the cup …", self._cup),
            ("Scrap a piece, or make it again …", self._scrap),
            ("Change the plan …", self._change),
            ("Write a “next time” note into the procedure …", self._wishes),
            ("Stop it early …", self._stop),
            ("Sheets and tape used …", self._used_up),
        ]
        if job.plan is None or not job.plan.pieces:
            ways = [w for w in ways if w[1] != self._scrap]
        if job.plan is None:
            ways = [w for w in ways if w[1] not in (self._wishes, self._change)]
        self.desk.choose(
            job.title, [text for text, _ in ways], [partial(do, job) for _, do in ways]
        )

    # Pausing ---------------------------------------------------------------------------------

    def _pause(self, job: JobState) -> None:
        if job.status == "paused":
            self.desk.do(job.job, cmd.Resume(), f"{job.title} resumed.")
            return
        self.desk.choose(
            f"Pause {job.title}? No reminders, but glue and resin don’t wait.",
            ("Pause it", "Cancel"),
            (partial(self._paused, job), self.desk.look),
        )

    def _paused(self, job: JobState) -> None:
        done = f"{job.title} paused: no reminders, but glue and resin don’t wait."
        if self.desk.do(job.job, cmd.Pause(), done):
            self.desk.say(f"{done} {self._resumes(job)}")

    def _resumes(self, job: JobState) -> str:
        """How the paused job is got at: o alone might mean another one."""
        if self.desk.job is not None and self.desk.job.job == job.job:
            return "To resume: o."
        every = pieces(self.desk.bench.shop.live)
        digit = next((n for n, p in enumerate(every, 1) if p.job == job.job), DIGITS + 1)
        return (
            f"To resume: {digit}, then o." if digit <= DIGITS else "To resume: tab to it, then o."
        )

    # The plan ----------------------------------------------------------------------------

    def _change(self, job: JobState) -> None:
        from benchmate.tui.bench.changing import Changing

        Changing(self.desk).menu(job)

    # The cup ---------------------------------------------------------------------------------

    def _cup(self, job: JobState) -> None:
        """What is left in the cup that was mixed last."""
        bench, cup = self.desk.bench, cups_of_job.cup_in_hand(job)
        if not cup:
            self.desk.say("No cup has been mixed yet.")
            return
        asked = f"{cups.cup_name(job, cup)}: grams left in the cup? (6; or: mixed 128, left 6)"
        self.desk.question(asked, lambda text: cups.say_amounts(bench, job, cup, text))

    def _used_up(self, job: JobState) -> None:
        """Abrasive and tape that the job took: the next buying list goes by it."""
        bench, act = self.desk.bench, cups.newest_act(job)
        if not act or job.plan is None or not any(n.used_in for n in job.plan.needs):
            self.desk.say("No abrasive or tape was used yet.")
            return
        self.desk.question(
            in_job(job, "Used in all? (abrasive sheet 5; tape 2 m)"),
            lambda text: cups.say_amounts(bench, job, act, text),
        )

    # A piece ---------------------------------------------------------------------------------

    def _scrap(self, job: JobState) -> None:
        planned = job.plan.pieces if job.plan else ()
        names = [p.name for p in planned if p.name not in job.spoiled]
        if not names:
            self.desk.say(f"{job.title} has no pieces.")
            return
        self.desk.choose(
            in_job(job, "Which piece?"),
            [piece_label(job, n) for n in names],
            [partial(self._scrap_how, job, n) for n in names],
        )

    def _scrap_how(self, job: JobState, piece: str) -> None:
        label = piece_label(job, piece)
        self.desk.choose(
            in_job(job, f"{label}: scrap it, or make it again?"),
            ("Scrap it; carry on with the others", "Make it again from the first step"),
            [partial(self._scrap_why, job, piece, label, remake=r) for r in (False, True)],
        )

    def _scrap_why(self, job: JobState, piece: str, label: str, *, remake: bool) -> None:
        done = f"{label[:1].upper()}{label[1:]} is {'to be made again' if remake else 'scrap'}."
        self.desk.reason(
            in_job(job, f"What happened to {label}?"),
            job,
            lambda text: cmd.Spoil(piece=piece, reason=text, remake=remake),
            done,
        )

    # Next time -------------------------------------------------------------------------------

    def _wishes(self, job: JobState) -> None:
        """What is wished for next time, into the procedure's file."""
        if job.plan is None:
            return
        from benchmate.tui.bench.wishing import ask_wishes

        def done(text: str) -> None:
            if text:
                self.desk.say(text)

        ask_wishes(self.desk.host.screen, self.desk.bench, job.plan.procedure, done)

    # Its end ---------------------------------------------------------------------------------

    def _stop(self, job: JobState) -> None:
        self.desk.reason(
            f"Stop {job.title} early: why?",
            job,
            lambda text: cmd.Stop(reason=text),
            f"{job.title} is stopped.",
        )

    def _finish(self, job: JobState) -> None:
        left = sum(not job.is_settled(a) for a in job.steps)
        if left:
            steps = "1 step" if left == 1 else f"{left} steps"
            self.desk.say(f"{steps} left. Do or skip them, or stop the job early.")
            return

        from benchmate.tui.bench.job_end import Ending

        Ending(self.desk.host.screen, self.desk.bench, job, self._at_end).begin()

    def _at_end(self, text: str) -> None:
        """Say what came of it, and show the bench as it is now."""
        self.desk.hand.act_of_mine()
        self.desk.say(text)
        self.desk.after_an_act()
