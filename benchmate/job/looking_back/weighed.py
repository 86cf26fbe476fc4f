"""What a job's weighings say of what its acts took and added: equations for learning. Pure.

Between two weighings of a piece as a whole stand acts that take (sand, scrape, turn) or add (oil,
glue, felt) and gains that were weighed in. What the scale saw beyond those gains is the sum of what
the acts did, and of what the wood's moisture did meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot, sqrt

from benchmate.job.looking_back.summary import step_key
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.courses import MOISTURE_U_PCT, SCATTER, Scales, doubt_of
from benchmate.learning.values import Measure, PlanValue
from benchmate.learning.weighings import Stretch, UnknownValue
from benchmate.plan.plan import PiecePlan, Plan, Step

REST = "rest"
"""The key of what no act explains: the wood's moisture, and what nobody thought of."""
NAMES = {
    "takes": "what comes off at “{}”",
    "adds": "what goes on at “{}”",
    REST: "what nothing else explains",
}
GAIN_U = 0.03
"""Doubt of a gain that nobody weighed, as a share of the plan: common practice, no source."""


def unknowns(plan: Plan, used: Mapping[str, float]) -> list[UnknownValue]:
    """What weighings can teach of a plan that was made by its file alone; `used` is in use now."""
    made: dict[str, UnknownValue] = {}
    for step in plan.steps:
        for sign, value, u in _acts(step):
            key = _key(sign, step)
            doubt = u or SCATTER * value / sqrt(3.0)
            made.setdefault(key, UnknownValue(key, value, doubt, doubt, used.get(key, value)))
    wood_g = max((_wood_g(plan, piece) for piece in plan.pieces), default=0.0)
    if wood_g > 0.0:
        moves = MOISTURE_U_PCT / 100.0 * wood_g
        made[REST] = UnknownValue(REST, 0.0, moves, moves, used.get(REST, 0.0))
    return list(made.values())


def weight_values(plan: Plan, asked: Sequence[UnknownValue]) -> list[PlanValue]:
    """The unknowns as plan values, with how often each counts in one piece."""
    first = plan.pieces[0].name if plan.pieces else ""
    count: dict[str, float] = {REST: 1.0}
    for step in plan.steps:
        for sign, _, _ in _acts(step) if step.piece in ("", first) else ():
            key = _key(sign, step)
            count[key] = count.get(key, 0.0) + sign
    return [
        PlanValue(
            one.key,
            NAMES[one.key.partition("/")[0]].format(one.key.partition("/")[2]),
            one.value,
            one.u,
            Measure.MASS,
            within_sd=one.scatter,
            in_use=one.now,
            per_piece=count.get(one.key, 0.0),
        )
        for one in asked
    ]


def _acts(step: Step) -> Iterator[tuple[float, float, float]]:
    """Sign, grams and doubt of what a step takes and adds."""
    if step.takes_g > 0.0:
        yield -1.0, step.takes_g, step.takes_u_g
    if step.adds_g > 0.0:
        yield 1.0, step.adds_g, step.adds_u_g


def _key(sign: float, step: Step) -> str:
    return f"{'takes' if sign < 0.0 else 'adds'}/{step_key(step)}"


def _wood_g(plan: Plan, piece: PiecePlan) -> float:
    return sum(p.mass_g for p in plan.parts if p.piece == piece.name)


def stretches(job: JobState, now: Plan, scales: Scales) -> list[Stretch]:
    """The job's stretches from weighing to weighing, each piece for itself, spoiled ones left out;
    `now` is the plan that is taught."""
    if job.plan is None:
        return []
    made = (p for p in job.plan.pieces if p.name not in job.spoiled)
    areas: dict[str, float] = {}
    for step in now.steps:
        areas.setdefault(step_key(step), _area(step))
    return [s for piece in made for s in _Walk(job, job.plan, piece, areas, scales).stretches()]


@dataclass
class _Walk:
    """One piece, from weighing to weighing."""

    job: JobState
    plan: Plan
    piece: PiecePlan
    areas: Mapping[str, float]
    """Of each act in the plan that is taught."""
    scales: Scales
    base_g: float | None = 0.0
    u2: float = 0.0
    of: dict[str, float] = field(default_factory=dict)

    def stretches(self) -> Iterator[Stretch]:
        """All stretches that both ends were weighed of."""
        steps = [s for s in self.plan.steps if s.piece in ("", self.piece.name)]
        self._weigh_blanks(steps)
        ends = [s for s in steps if s.weigh is not None and s.weigh.weighed == "whole"]
        moves = MOISTURE_U_PCT / 100.0 * _wood_g(self.plan, self.piece)
        for step in steps:
            self._pass(step)
            record = self.job.weighing_at(step.address) if step in ends else None
            if record is None:
                continue
            u = doubt_of(record, self.scales)
            last = step is ends[-1]
            of = {**self.of, REST: 1.0} if last and moves else dict(self.of)
            if self.base_g is not None and of:
                gained, drift_g = record.net_g - self.base_g, 0.0 if last else moves / 2.0
                at = step_key(step), self.job.job, self.piece.name
                yield Stretch(*at, gained, hypot(sqrt(self.u2), u), of, drift_g)
            self.base_g, self.u2, self.of = record.net_g, u**2, {}

    def _weigh_blanks(self, steps: Sequence[Step]) -> None:
        """The parts as they were weighed first; without one of them the start isn't known."""
        parts = {p.name for p in self.plan.parts if p.piece == self.piece.name}
        weighed: dict[str, Weighing] = {}
        for step in steps:
            if step.weigh is not None and step.weigh.weighed in ("blank", "part"):
                record = self.job.weighing_at(step.address)
                if record is not None:
                    weighed.setdefault(step.part, record)
        if not parts or parts - set(weighed):
            self.base_g = None
            return
        self.base_g = sum(weighed[part].net_g for part in parts)
        self.u2 = sum(doubt_of(weighed[part], self.scales) ** 2 for part in parts)

    def _pass(self, step: Step) -> None:
        """Count what a step took, added or gained, if it was done."""
        if step.address in self.job.skipped and step.address not in self.job.done:
            return
        if step.weigh is not None and step.weigh.kind == "gain":
            self._gain(step)
            return
        for sign, _, _ in _acts(step):
            key = _key(sign, step)
            self.of[key] = self.of.get(key, 0.0) + sign * self._size(step)

    def _gain(self, step: Step) -> None:
        record = self.job.weighing_at(step.address)
        plan_g = (step.weigh.plan_g if step.weigh else None) or 0.0
        if self.base_g is not None:
            self.base_g += record.net_g if record else plan_g
        self.u2 += (doubt_of(record, self.scales) if record else GAIN_U * plan_g) ** 2

    def _size(self, step: Step) -> float:
        """How large this act was beside the one in the plan that is taught: by the areas."""
        then, area = _area(step), self.areas.get(step_key(step), 0.0)
        return then / area if then > 0.0 and area > 0.0 else 1.0


def _area(step: Step) -> float:
    return sum(a.area_mm2 for a in step.amounts)
