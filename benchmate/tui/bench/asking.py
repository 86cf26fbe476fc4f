"""Questions about the step shown: weights, checks, missed clocks, the air."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from benchmate.bench.short import limits_of
from benchmate.job.state.remake import mixed_again, remade
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import act_sentence, done_text, in_job
from benchmate.localtime import parse_when
from benchmate.plan.plan import Check
from benchmate.tui.bench.desk import Desk
from benchmate.tui.lazy_import import Later

if TYPE_CHECKING:
    from benchmate.bench import Bench
    from benchmate.job.deciding import commands as cmd
    from benchmate.tui.prompts.weigh import WeighPrompt
else:
    cmd = Later("benchmate.job.deciding.commands")

MISSED = (
    ("spoiled", "It’s ruined; make it again"),
    ("extra step", "It can be saved with an extra step"),
    ("in time", "It was done in time; I’ll give the time"),
    ("let it be", "Carry on as it is"),
)
RUINED = (
    ("spoiled", "It’s ruined; make it again"),
    ("let it be", "It’s sound: it was warm enough where it stood"),
)


class Asking:
    """Each question stays open, with what was typed, until it is answered or left."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def about(self, act: Act) -> None:
        """A step that needs an answer."""
        if act.kind == "answer":
            self.missed(act)
        elif act.kind == "check" and act.check is not None:
            self.check(act, act.check)
        elif act.kind == "weigh":
            self.weight(act)

    # Weights and checks ----------------------------------------------------------------------

    def weigh(self) -> None:
        """Weigh what is due, or the pour under way."""
        desk, due = self.desk, self.weight_due()
        job, free = desk.job, [j for j in desk.running if j.plan is None]
        if due is not None:
            self.weight(due)
        elif job is not None and job.plan is None and job in free:
            self._free_weight(job)
        elif free:
            desk.with_job(self._free_weight, "", free)
        else:
            desk.say("Nothing to weigh yet. The step that needs a weight will ask.")

    def weight_due(self) -> Act | None:
        """The step whose weight is wanted: the one shown, else what is due in its job."""
        act, job = self.desk.shown, self.desk.job
        if act is not None and act.step is not None and act.step.weigh is not None:
            return act
        return None if job is None else self._due_in(job, act.piece if act is not None else "")

    def _due_in(self, job: JobState, piece: str) -> Act | None:
        """The weight that is due in a job, that of the piece in hand before others."""
        due = [a for a in self.desk.bench.agenda().ready if a.kind == "weigh" and a.job == job.job]
        return min(due, key=lambda a: a.piece != piece, default=None)

    def _free_weight(self, job: JobState) -> None:
        """A weight without a plan: first what is on the scale."""
        from benchmate.tui.prompts.free import ON_THE_SCALE, free_weigh

        desk = self.desk

        def named(what: str) -> str:
            desk.host.call_later(desk.ask, free_weigh(desk.bench, job.job, what))
            return ""

        desk.question(in_job(job, ON_THE_SCALE), named)

    def weight(self, act: Act, typed: str = "") -> None:
        """The weigh prompt for a step; `typed` is what came in before it was opened."""
        job = self.desk.bench.shop.jobs[act.job]
        title = in_job(job, act_sentence(job, replace(act, kind="weigh")).rstrip("."))
        put_off = partial(self._put_off, act) if act.kind == "weigh" else None
        prompt = _weigh_prompt(self.desk.bench)(
            self.desk.bench, job.job, act.step, title, put_off=put_off
        )
        prompt.prefill = typed
        if not self._ask_known(job, prompt):
            self.desk.ask(prompt)

    def _ask_known(self, job: JobState, prompt: WeighPrompt) -> bool:
        """Before a job's first weighing: what the scale shows of the known weight."""
        from benchmate.bench.weights.scales import check_asked, check_due, check_said
        from benchmate.tui.prompts.ask import Ask

        desk = self.desk
        due = None if job.job in desk.hand.scale_asked else check_due(desk.bench, job)
        if due is None:
            return False
        question = check_asked(due, desk.bench.settings.units)

        def submit(text: str) -> str:
            return check_said(desk.bench, due.name, due.nominal_g, text)

        def answered(told: str | None) -> None:
            if told is not None:
                desk.hand.scale_asked.add(job.job)
                desk.say(told)
                desk.ask(prompt)

        desk.host.push_screen(Ask(question, submit), answered)
        return True

    def _put_off(self, act: Act) -> str:
        """The weight comes later: what else there is to do is shown first."""
        self.desk.hand.put_off.add(act.address)
        return "To be weighed later: w weighs it."

    def check(self, act: Act, check: Check) -> None:
        """A step's check: yes or no, or a measure."""
        desk = self.desk
        job = desk.bench.shop.jobs[act.job]
        if not check.unit:
            answers = (("Yes", 1.0), ("No", 0.0))
            desk.choose(
                in_job(job, act_sentence(job, act)),
                [text for text, _ in answers],
                [partial(self._checked, act, check, v, t.lower()) for t, v in answers],
            )
            return

        from benchmate.bench.weights.checking import read_answer

        def submit(text: str) -> str:
            value = read_answer(check, text)
            desk.bench.do(act.job, _answer(act, check, value, text))
            return _check_said(check, value, text)

        limits = limits_of(check, desk.bench.settings.units)
        wanted = f" ({limits})" if limits else f" ({check.unit})"
        named = act_sentence(job, act).removesuffix(f": {limits}")
        desk.question(in_job(job, f"{named}{wanted}"), submit)

    def _checked(self, act: Act, check: Check, value: float, text: str) -> None:
        self.desk.do(act.job, _answer(act, check, value, text), _check_said(check, value, text))

    # A missed clock --------------------------------------------------------------------------

    def missed(self, act: Act) -> None:
        """What happened to a step whose time was missed."""
        job = self.desk.bench.shop.jobs[act.job]
        answers = RUINED if act.bound is not None and act.bound.is_ruined else MISSED
        self.desk.choose(
            in_job(job, act_sentence(job, act)),
            [text for _, text in answers],
            [partial(self._missed, act, a) for a, _ in answers],
        )

    def _missed(self, act: Act, answer: str) -> None:
        if answer == "in time":
            self._in_time(act)
            return
        job = self.desk.bench.shop.jobs[act.job]
        label = act.bound.window.label if act.bound is not None else act.address
        again = remade(job, act.address.rpartition(":")[0]) if answer == "spoiled" else None
        more = f"; {mixed_again(again)}" if again is not None else ""
        self.desk.do(
            act.job,
            cmd.AnswerMissed(window=act.address, answer=answer),
            f"Recorded: {label}: {answer}{more}.",
        )

    def _in_time(self, act: Act) -> None:
        desk = self.desk

        def submit(text: str) -> str:
            at = desk.bench.moment_at_wall(parse_when(text, desk.bench.now().wall_s))
            desk.bench.do(act.job, cmd.AnswerMissed(window=act.address, answer="in time", at=at))
            return f"Recorded: {what}, in time."

        job = desk.bench.shop.jobs[act.job]
        pending = act.bound.pending if act.bound is not None else ()
        step = job.steps.get(next(iter(pending), ""))
        label = act.bound.window.label if act.bound is not None else act.address
        what = done_text(job, step) if step is not None else label
        question = f"{what[:1].upper()}{what[1:]}: when? (16:35, or 10 min ago)"
        desk.question(in_job(job, question), submit, live=desk.when)

    # The air ---------------------------------------------------------------------------------

    def air(self) -> None:
        """The shop's temperature, and its humidity where it is known."""
        from benchmate.tui.prompts.air import AirPrompt

        self.desk.ask(AirPrompt(self.desk.bench))


def _answer(act: Act, check: Check, value: float, text: str) -> cmd.AnswerCheck:
    return cmd.AnswerCheck(address=act.address, name=check.name, value=value, text=text)


def _check_said(check: Check, value: float, text: str) -> str:
    from benchmate.bench.weights.checking import answer_said

    return f"Recorded: {answer_said(check, value)}."


def _weigh_prompt(bench: Bench) -> type[WeighPrompt]:
    """The prompt to weigh by; the one that listens to a cable only where a scale is set."""
    if bench.settings.scale.port:
        from benchmate.tui.prompts.weigh_live import LiveWeighPrompt

        return LiveWeighPrompt
    from benchmate.tui.prompts.weigh import WeighPrompt

    return WeighPrompt
