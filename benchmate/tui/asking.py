"""Questions: weights, checks, missed windows, notes, reasons, times, the air."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.job.agenda import Act
from benchmate.job.phrases import act_sentence
from benchmate.job.plan import Check, Step
from benchmate.job.state import JobState
from benchmate.localtime import parse_when, show_when
from benchmate.tui.acting import Acting
from benchmate.tui.lazily import Later
from benchmate.tui.present.lines import Line, line
from benchmate.tui.present.nextact import limits_of

if TYPE_CHECKING:
    from benchmate.job import commands as cmd
    from benchmate.tui.screens.ask import Ask, Live, Submit
else:
    cmd = Later("benchmate.job.commands")

MISSED = (
    ("spoiled", "It is spoiled: that is to be made again"),
    ("extra step", "An extra step will save it"),
    ("in time", "It was done in time: I'll say when"),
    ("let it be", "Let it be: go on as it is"),
)


class Asking(Acting):
    """Each question stays open, with what was typed, until it is answered or left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("w", "weigh", "weigh", id="weigh",
                tooltip="Record a weight: what is due, or the pour in hand"),
    ]  # fmt: skip

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
        from benchmate.tui.screens.ask import Ask

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
        due = next((a for a in self.bench.agenda().ready if a.kind == "weigh"), None)
        if due is not None:
            self.ask_weight(due)
        elif job is not None and job.plan is None:
            self._ask_weight(job.job, None, "What does it weigh?")
        else:
            self.say("No weight is due. It comes up with the step that asks for it.")

    def ask_weight(self, act: Act) -> None:
        """The weigh prompt for an act."""
        title = act_sentence(self.bench.shop.jobs[act.job], act)
        self._ask_weight(act.job, act.step, title)

    def _ask_weight(self, job: str, step: Step | None, title: str) -> None:
        from benchmate.tui.screens.weigh import WeighPrompt

        self.ask(WeighPrompt(self.bench, job, step, title))

    def ask_check(self, act: Act, check: Check) -> None:
        """A step's check: yes or no, or a measure."""
        if not check.unit:
            answers = (("Yes", 1.0), ("No", 0.0))
            self.choose(
                check.ask,
                [text for text, _ in answers],
                [partial(self._checked, act, check, v, t.lower()) for t, v in answers],
            )
            return

        from benchmate.bench.checking import read_answer

        def submit(text: str) -> str:
            value = read_answer(check, text)
            self.bench.do(act.job, _answer(act, check, value, text))
            return _check_said(check, value, text)

        limits = limits_of(check, self.bench.settings.units)
        wanted = f" ({limits})" if limits else f" ({check.unit})"
        self.question(f"{check.ask}{wanted}", submit)

    def _checked(self, act: Act, check: Check, value: float, text: str) -> None:
        self.do(act.job, _answer(act, check, value, text), _check_said(check, value, text))

    # A missed window -------------------------------------------------------------------------

    def ask_missed(self, act: Act) -> None:
        """What became of a missed window."""
        job = self.bench.shop.jobs[act.job]
        self.choose(
            act_sentence(job, act),
            [text for _, text in MISSED],
            [partial(self._missed, act, a) for a, _ in MISSED],
        )

    def _missed(self, act: Act, answer: str) -> None:
        if answer == "in time":
            self._ask_in_time(act)
            return
        self.do(
            act.job, cmd.AnswerMissed(window=act.address, answer=answer), f"Recorded: {answer}."
        )

    def _ask_in_time(self, act: Act) -> None:
        def submit(text: str) -> str:
            at = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))
            self.bench.do(act.job, cmd.AnswerMissed(window=act.address, answer="in time", at=at))
            return "Recorded: in time."

        self.question("When was it done? (16:35, or 10 min ago)", submit, live=self.when)

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
        from benchmate.tui.screens.air import AirPrompt

        self.ask(AirPrompt(self.bench))


def _answer(act: Act, check: Check, value: float, text: str) -> cmd.AnswerCheck:
    return cmd.AnswerCheck(address=act.address, name=check.name, value=value, text=text)


def _check_said(check: Check, value: float, text: str) -> str:
    from benchmate.job.drift import check_fault

    return f"Recorded: {check_fault(check, value) or check.name + ' ' + text}."
