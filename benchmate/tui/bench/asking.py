"""Questions: weights, checks, missed windows, notes, reasons, times, the air."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.job.state.remake import mixed_again, remade
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import act_sentence, in_job, thing_of
from benchmate.localtime import parse_when, show_when
from benchmate.plan.plan import Check
from benchmate.tui.bench.acting import Acting
from benchmate.tui.lazy_import import Later
from benchmate.tui.present.bench.nextact import limits_of
from benchmate.tui.present.lines import Line, line

if TYPE_CHECKING:
    from benchmate.job.deciding import commands as cmd
    from benchmate.tui.prompts.ask import Ask, Live, Submit
else:
    cmd = Later("benchmate.job.deciding.commands")

MISSED = (
    ("spoiled", "It is spoiled: that is to be made again"),
    ("extra step", "An extra step will save it"),
    ("in time", "It was done in time: I'll say when"),
    ("let it be", "Let it be: go on as it is"),
)
RUINED = (
    ("spoiled", "It is spoiled: that is to be made again"),
    ("let it be", "It is sound: it was warm enough where it stood"),
)


class Asking(Acting):
    """Each question stays open, with what was typed, until it is answered or left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "w",
            "weigh",
            "weigh",
            id="weigh",
            tooltip="Record a weight: what is due, or the pour in hand",
        ),
    ]

    def ask(self, screen: Ask) -> None:
        """Put a question; its answer is said on the bench."""
        self.app.push_screen(screen, self._answered)

    def _answered(self, said: str | None) -> None:
        self.hand.act_of_mine()
        if said:
            self.say(said)
            self.after_an_act()
        else:
            self.look()

    def question(
        self, question: str, submit: Submit, *, prefill: str = "", live: Live | None = None
    ) -> None:
        """Put a question with one line to type."""
        from benchmate.tui.prompts.ask import Ask

        self.ask(Ask(question, submit, prefill=prefill, live=live))

    def ask_about(self, act: Act) -> None:
        """An act that needs an answer."""
        if act.kind == "answer":
            self.ask_missed(act)
        elif act.kind == "check" and act.check is not None:
            self.ask_check(act, act.check)
        elif act.kind == "weigh":
            self.ask_weight(act)

    # Weights and checks ----------------------------------------------------------------------

    def action_weigh(self) -> None:
        """Weigh what is due, or the pour in hand."""
        act, job = self.shown, self.job_in_hand
        if act is not None and act.step is not None and act.step.weigh is not None:
            self.ask_weight(act)
            return
        due = None if job is None else self._due_in(job, act.piece if act is not None else "")
        free = [j for j in self.running if j.plan is None]
        if due is not None:
            self.ask_weight(due)
        elif job is not None and job.plan is None and job in free:
            self._ask_free(job)
        elif free:
            self.with_job(self._ask_free, "", free)
        else:
            self.say("No weight is due. It comes up with the step that asks for it.")

    def _due_in(self, job: JobState, piece: str) -> Act | None:
        """The weight that is due in a job, that of the piece in hand before others."""
        due = [a for a in self.bench.agenda().ready if a.kind == "weigh" and a.job == job.job]
        return min(due, key=lambda a: a.piece != piece, default=None)

    def _ask_free(self, job: JobState) -> None:
        """A weight without a plan: first what stands on the scale."""
        from benchmate.tui.prompts.free import FreeWeigh

        def named(what: str) -> str:
            self.call_later(self.ask, FreeWeigh(self.bench, job.job, what))
            return ""

        question = "What stands on the scale? (filled foot; or with its piece, B: filled foot)"
        self.question(in_job(job, question), named)

    def ask_weight(self, act: Act) -> None:
        """The weigh prompt for an act."""
        from benchmate.tui.prompts.weigh import WeighPrompt

        job = self.bench.shop.jobs[act.job]
        title = in_job(job, act_sentence(job, act).rstrip("."))
        self.ask(WeighPrompt(self.bench, job.job, act.step, title))

    def ask_check(self, act: Act, check: Check) -> None:
        """A step's check: yes or no, or a measure."""
        job = self.bench.shop.jobs[act.job]
        if not check.unit:
            answers = (("Yes", 1.0), ("No", 0.0))
            self.choose(
                in_job(job, act_sentence(job, act)),
                [text for text, _ in answers],
                [partial(self._checked, act, check, v, t.lower()) for t, v in answers],
            )
            return

        from benchmate.bench.weights.checking import read_answer

        def submit(text: str) -> str:
            value = read_answer(check, text)
            self.bench.do(act.job, _answer(act, check, value, text))
            return _check_said(check, value, text)

        limits = limits_of(check, self.bench.settings.units)
        wanted = f" ({limits})" if limits else f" ({check.unit})"
        named = act_sentence(job, act).removesuffix(f": {limits}")
        self.question(in_job(job, f"{named}{wanted}"), submit)

    def _checked(self, act: Act, check: Check, value: float, text: str) -> None:
        self.do(act.job, _answer(act, check, value, text), _check_said(check, value, text))

    # A missed window -------------------------------------------------------------------------

    def ask_missed(self, act: Act) -> None:
        """What became of a missed window."""
        job = self.bench.shop.jobs[act.job]
        answers = RUINED if act.bound is not None and act.bound.is_ruined else MISSED
        self.choose(
            in_job(job, act_sentence(job, act)),
            [text for _, text in answers],
            [partial(self._missed, act, a) for a, _ in answers],
        )

    def _missed(self, act: Act, answer: str) -> None:
        if answer == "in time":
            self._ask_in_time(act)
            return
        job = self.bench.shop.jobs[act.job]
        label = act.bound.window.label if act.bound is not None else act.address
        again = remade(job, act.address.rpartition(":")[0]) if answer == "spoiled" else None
        more = f"; {mixed_again(again)}" if again is not None else ""
        self.do(
            act.job,
            cmd.AnswerMissed(window=act.address, answer=answer),
            f"Recorded: {label}: {answer}{more}.",
        )

    def _ask_in_time(self, act: Act) -> None:
        def submit(text: str) -> str:
            at = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))
            self.bench.do(act.job, cmd.AnswerMissed(window=act.address, answer="in time", at=at))
            return f"Recorded: {what}, in time."

        job = self.bench.shop.jobs[act.job]
        pending = act.bound.pending if act.bound is not None else ()
        step = job.steps.get(next(iter(pending), ""))
        label = act.bound.window.label if act.bound is not None else act.address
        what = f"{step.act} {thing_of(job, step)}" if step is not None else label
        question = f"{what[:1].upper()}{what[1:]}: when? (16:35, or 10 min ago)"
        self.question(in_job(job, question), submit, live=self.when)

    def when(self, text: str) -> Line:
        """A typed time as the clock shows it, while it is being typed."""
        now = self.bench.now().wall_s
        return line(" ", show_when(parse_when(text, now), now))

    # What is asked of any step ---------------------------------------------------------------

    def ask_reason(
        self, question: str, job: JobState, make: Callable[[str], cmd.Command], said: str
    ) -> None:
        """A reason, and the command that it makes."""

        def submit(text: str) -> str:
            self.bench.do(job.job, make(text))
            return said

        self.question(question, submit)

    def ask_air(self) -> None:
        """The shop's temperature, and its humidity where it is known."""
        from benchmate.tui.prompts.air import AirPrompt

        self.ask(AirPrompt(self.bench))


def _answer(act: Act, check: Check, value: float, text: str) -> cmd.AnswerCheck:
    return cmd.AnswerCheck(address=act.address, name=check.name, value=value, text=text)


def _check_said(check: Check, value: float, text: str) -> str:
    from benchmate.bench.weights.checking import answer_said

    return f"Recorded: {answer_said(check, value)}."
