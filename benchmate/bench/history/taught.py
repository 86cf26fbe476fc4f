"""What the ended jobs of a procedure teach its plan, and how far pieces came out from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from benchmate.bench.history.records import place_of
from benchmate.bench.service import Bench
from benchmate.bench.weights.scales import scales_of
from benchmate.job.looking_back.learnable import observed, plan_values
from benchmate.job.looking_back.summary import Place
from benchmate.job.looking_back.weighed import stretches, unknowns, weight_values
from benchmate.job.state.state import JobState
from benchmate.job.weights.courses import Scales
from benchmate.learning.offer import Offer, breaks_of, of_weighings, offer
from benchmate.learning.values import Observed, PlanValue
from benchmate.learning.weighings import Stretch, UnknownValue, breaks, missed_g, teach
from benchmate.plan.plan import Plan
from benchmate.quantities import Units


@dataclass(frozen=True)
class Record:
    """What ended jobs, oldest first, recorded of a plan made by its file; `used` is in use."""

    plan: Plan
    used: Mapping[str, float]
    jobs: Sequence[JobState]
    place: Place
    scales: Scales

    @cached_property
    def _told(self) -> tuple[list[PlanValue], list[Observed], list[UnknownValue], list[Stretch]]:
        """Values and what jobs recorded of each; what only weighings see, and the weighings."""
        values = [replace(v, in_use=self.used.get(v.key)) for v in plan_values(self.plan)]
        records = [o for job in self.jobs for o in observed(job, self.plan, self.place)]
        seen = [s for job in self.jobs for s in stretches(job, self.plan, self.scales)]
        return values, records, unknowns(self.plan, self.used), seen

    @cached_property
    def _changed(self) -> set[str]:
        """What changed at one place of the record likely changed elsewhere too."""
        values, records, asked, seen = self._told
        return breaks_of(values, records) | breaks(asked, seen)

    def offers(self, units: Units = "metric") -> list[Offer]:
        """What they would change; what acts take and add is seen by the weighings, together."""
        values, records, asked, seen = self._told
        learned = teach(asked, seen, self._changed)
        weighed = of_weighings(weight_values(self.plan, asked), learned, units)
        return offer(values, records, units, self._changed) + weighed

    def missed_g(self) -> float:
        """How far pieces surely come out from what the values in use let expect."""
        _, _, asked, seen = self._told
        return missed_g(asked, seen, self._changed)


def record_of(bench: Bench, name: str, by_file: Plan, jobs: Sequence[JobState]) -> Record:
    """The record of a procedure's ended jobs; `by_file` is its plan without what was learned."""
    used = bench.shop.lessons.values_for(name)
    return Record(by_file, used, jobs, place_of(bench), scales_of(bench))
