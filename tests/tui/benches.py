"""A bench over a journal of its own, with a clock that is set by hand, for tests of the screens."""

from __future__ import annotations

from pathlib import Path

import msgspec

from benchmate.bench import Bench
from benchmate.bench.trying.rehearsal import Rehearsal
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.moment import Moment
from benchmate.plan.plan import Fill, Layer, PartPlan, Plan
from benchmate.settings import Settings, find_folders
from benchmate.tui.present.lines import Line
from tests.started import start_job
from tests.unit.shop_of_tests import plan as small_plan

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
MIX, POUR = "t/all/all/mix#1", "t/{}/block/pour#{}"


class Shop:
    """A bench, its clock, and the job that runs on it."""

    def __init__(self, home: Path, settings: Settings | None = None) -> None:
        self.home, self.settings = home, settings or Settings()
        self.clock = SetClock(START)
        self.bench = self.open()
        self.job = ""

    def open(self) -> Bench:
        """A bench over the same journal, by the same clock."""
        return Bench.open(find_folders(self.home), self.settings, clock=self.clock)

    def small(self, plan: Plan | None = None) -> Shop:
        """The tests' small job: two pieces, one cup that lasts half an hour."""
        plan = plan or small_plan()
        self.job = plan.job
        self.bench.do(plan.job, cmd.StartJob(job=plan.job, title=plan.title, plan=plan))
        return self

    def bookends(self, until: str = "") -> Shop:
        """The bookends as they ship, worked as planned until an address is next."""
        self.job = start_job(self.bench, "matched-bookends")
        self.until(until)
        return self

    def until(self, address: str) -> None:
        """Do the next acts until the one at the address's end is next."""
        hands = Rehearsal(self.bench, self.clock)
        for _ in range(400):
            act = self.bench.agenda().next
            if not address or (act is not None and act.address.endswith(address)):
                return
            if act is None:
                waiting = self.bench.agenda().later[0]
                self.clock.tick(waiting.ready_at - self.bench.now_s() + 1.0)
                continue
            hands.do(act)
        raise AssertionError(f"{address} never came up")

    def mix(self) -> None:
        """The small job's cup is mixed."""
        self.bench.do("t", cmd.MarkDone(address=MIX))

    @property
    def done(self) -> list[str]:
        """What is done in the job."""
        return list(self.bench.shop.jobs[self.job].done)


def filled_plan() -> Plan:
    """The small job with a fill of two layers in each piece, and a block to draw."""
    made = small_plan()
    fills, parts = [], []
    for p in "AB":
        layers = tuple(
            Layer(address=POUR.format(p, n), void_ml=25.0, shot_g=117.0, resin_g=11.0)
            for n in (1, 2)
        )
        fills.append(
            Fill(
                piece=p,
                part="block",
                void_ml=50.0,
                void_u_ml=0.5,
                packing=0.6,
                packing_u=0.01,
                shot="steel",
                shot_density_g_cm3=7.8,
                resin_density_g_cm3=1.1,
                layers=layers,
            )
        )
        parts.append(PartPlan(piece=p, name="block", mass_g=300.0, mass_u_g=5.0, outline="block"))
    return msgspec.structs.replace(made, fills=tuple(fills), parts=tuple(parts))


def text_of(lines: list[Line]) -> str:
    """Lines as plain text."""
    return "\n".join("".join(s.text for s in row) for row in lines)
