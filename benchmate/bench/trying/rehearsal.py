"""A shop that works by itself, with a clock that is set: for the demo and for trying things out."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from benchmate.bench.service import Bench
from benchmate.bench.starting.starting import start_job
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.windows.agenda import Act
from benchmate.plan.plan import Check

Hands = Callable[[Act], str]
"""What the scale reads for a weighing: text as it would be typed."""
STEP_S = 20.0
WEIGH_S = 40.0


def as_planned(act: Act) -> str:
    """A scale that reads just what the plan says, to the gram."""
    point = act.step.weigh if act.step else None
    return f"{point.plan_g or 0.0:.0f} g" if point else "0 g"


class Rehearsal:
    """Does every next act of a bench's jobs until a place on the time line is reached."""

    def __init__(self, bench: Bench, clock: SetClock, read: Hands = as_planned) -> None:
        self.bench, self.clock, self.read = bench, clock, read

    def run(self, until_s: float, starts: dict[float, str]) -> None:
        """Start the procedures at their places on the time line, and work until `until_s`."""
        waiting = sorted(starts.items())
        while (now_s := self.bench.now_s()) < until_s:
            if waiting and waiting[0][0] <= now_s:
                start_job(self.bench, waiting.pop(0)[1])
                continue
            self.time_passed()
            found = self.bench.agenda()
            if found.next is None:
                ahead = [a.ready_at for a in found.later] + [at for at, _ in waiting]
                goal = min(ahead, default=until_s)
                self.clock.tick(max(1.0, min(goal, until_s) - now_s + 1.0))
                continue
            if now_s + self.takes_s(found.next) > until_s:
                break
            self.do(found.next)

    def time_passed(self) -> None:
        """Before each look at what is next: a place for what comes without hands."""

    def takes_s(self, act: Act) -> float:
        """How long the hands are at it."""
        return WEIGH_S if act.kind != "do" else max(STEP_S, act.step.hands_s if act.step else 0)

    def do(self, act: Act) -> None:
        """One act, and the time it takes."""
        self.clock.tick(self.takes_s(act))
        if act.kind == "weigh":
            record_weight(self.bench, act.job, act.address, Typed(self.read(act)))
        elif act.kind == "check" and act.check is not None:
            value, text = good_answer(act.check)
            self.bench.do(
                act.job,
                cmd.AnswerCheck(address=act.address, name=act.check.name, value=value, text=text),
            )
        elif act.kind == "answer":
            self.bench.do(act.job, cmd.AnswerMissed(window=act.address, answer="let it be"))
        else:
            self.bench.do(act.job, cmd.MarkDone(address=act.address))


def good_answer(check: Check) -> tuple[float, str]:
    """An answer inside a check's limits."""
    if not check.unit:
        return 1.0, "yes"
    low, high = check.at_least, check.at_most
    if low is not None and high is not None:
        value = (low + high) / 2
    elif low is not None:
        value = low * 1.2
    else:
        value = (high or 1.0) * 0.8
    return value, f"{value:.1f} {check.unit}"


def scatter() -> Iterator[float]:
    """Small, always the same departures, as shares: a shop's hand, not a random one."""
    while True:
        yield from (0.004, -0.006, 0.001, 0.009, -0.003, -0.008, 0.003)
