"""A shop for the tests of weighing and learning: a bench with a set clock, worked act by act."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from benchmate.bench import Bench
from benchmate.bench.trying.rehearsal import good_answer
from benchmate.bench.weights.scales import scale_of
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import SCALES
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.landing.words import places_for
from benchmate.moment import Moment
from benchmate.plan.plan import Step
from benchmate.settings import Settings, find_folders
from tests.hand_made import record
from tests.started import start_job

PAIR = Path(__file__).with_name("pair_of_bookends.toml")
START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
MOST_ACTS = 400
QUARTER_S = 90 * 86400.0
Reads = Callable[[Act], str]
Pace = Callable[[Act], float]


def as_planned(act: Act) -> str:
    """A scale of 0.1 g that reads what the plan says."""
    point = act.step.weigh if act.step else None
    return f"{point.plan_g or 0.0:.1f} g" if point else "0 g"


def steady(act: Act) -> float:
    """Hands that take as long as the plan says."""
    return act.step.hands_s if act.step and act.kind == "do" else 20.0


class Worked:
    """A bench and one job on it."""

    def __init__(
        self, home: Path, settings: Settings | None = None, *, later_s: float = 0.0
    ) -> None:
        self.clock = SetClock(START.shifted(later_s))
        self.home = home
        self.bench = Bench.open(find_folders(home), settings or Settings(), clock=self.clock)
        self.job = ""
        self.reads: Reads = self._as_the_scale_shows
        self.pace: Pace = steady
        self.left: dict[str, float] = {}
        """Grams left in the cup, by the end of the address that says so."""

    def _as_the_scale_shows(self, act: Act) -> str:
        """What the plan says, in the digits of the scale that is described."""
        step_g = scale_of(self.bench)[1]
        if act.step is None or act.step.weigh is None or not step_g:
            return as_planned(act)
        steps = round((act.step.weigh.plan_g or 0.0) / step_g)
        return f"{steps * step_g:.{places_for(step_g)}f} g"

    def start(
        self, procedure: str = PAIR.stem, parameters: Mapping[str, Any] | None = None
    ) -> JobState:
        """Start a job, of the tests' pair of bookends if not told otherwise, and go on with it."""
        self.bring_file()
        self.job = start_job(self.bench, procedure, parameters)
        return self.state

    def bring_file(self) -> None:
        """The tests' pair of bookends as the maker's own file."""
        mine = self.bench.folders.procedures / PAIR.name
        if not mine.exists():
            mine.parent.mkdir(parents=True, exist_ok=True)
            mine.write_text(PAIR.read_text(encoding="utf-8"), encoding="utf-8")

    @property
    def state(self) -> JobState:
        """The job as it stands."""
        found = self.bench.job(self.job)
        assert found is not None
        return found

    def next(self) -> Act | None:
        """The next act of the job, after waiting for a window where there is nothing before."""
        found = self.bench.agenda()
        ready = [a for a in found.ready if a.job == self.job]
        later = [a for a in found.later if a.job == self.job]
        if not ready and later:
            self.clock.tick(later[0].ready_at - self.bench.now_s() + 1.0)
            ready = [a for a in self.bench.agenda().ready if a.job == self.job]
        return ready[0] if ready else None

    def until(self, tail: str, kind: str = "weigh") -> Act:
        """Work until an act of that kind at such an address is next, and don't do it."""
        for _ in range(MOST_ACTS):
            act = self.next()
            assert act is not None, f"{tail} never came up"
            if act.address.endswith(tail) and act.kind == kind:
                return act
            self.do(act)
        raise AssertionError("the job does not come to an end")

    def do(self, act: Act) -> None:
        """One act, and the time it takes."""
        self.clock.tick(self.pace(act))
        if act.kind == "weigh":
            record_weight(self.bench, act.job, act.address, Typed(self.reads(act)))
        elif act.kind == "check" and act.check is not None:
            value, text = good_answer(act.check)
            self.bench.do(
                act.job,
                cmd.AnswerCheck(address=act.address, name=act.check.name, value=value, text=text),
            )
        else:
            left = next((g for t, g in self.left.items() if act.address.endswith(t)), None)
            self.bench.do(act.job, cmd.MarkDone(address=act.address, left_g=left))

    def finish(self, outcome: str = "as planned") -> JobState:
        """Work to the end."""
        for _ in range(MOST_ACTS):
            act = self.next()
            if act is None:
                break
            self.do(act)
        self.bench.do(self.job, cmd.Finish(outcome=outcome))
        return self.state

    def step(self, tail: str) -> Step:
        """A step by the end of its address."""
        return next(s for a, s in self.state.steps.items() if a.endswith(tail))

    def weigh(self, tail: str, text: str, **more: Any) -> str:
        """Weigh at a weigh point."""
        tare, scale = more.pop("tare", ""), more.pop("scale", "")
        typed = Typed(text, tare=tare, scale=scale)
        return record_weight(self.bench, self.job, self.step(tail).address, typed, **more)

    def scale(self, name: str = "bench scale", division_g: float = 0.1, **more: Any) -> None:
        """Describe a scale."""
        now = self.bench.now()
        record(
            self.bench,
            (
                SCALES,
                ev.ScaleDescribed(
                    happened=now, recorded=now, name=name, division_g=division_g, **more
                ),
            ),
        )

    def kinds(self) -> list[str]:
        """The kinds of the job's events, in order."""
        return [ev.kind_of(r.event) for r in self.state.records]
