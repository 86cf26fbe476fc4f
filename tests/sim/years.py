"""Jobs in pairs worked through benchmate's core, with what earlier ones taught or without.

The commands are decided and folded as at the bench; only the journal and the screens are left out.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import count
from typing import Any

import msgspec

from benchmate.bench.history.records import LAST_JOBS
from benchmate.bench.history.taught import Record
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.decide import decide
from benchmate.job.events import stored as ev
from benchmate.job.looking_back.summary import step_key
from benchmate.job.state.fold import fold, fold_all
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.weights.adjustments import offer, take, will_weigh_of_job
from benchmate.job.windows.windows import Around
from benchmate.landing.will_weigh import WillWeigh
from benchmate.learning.offer import Offer
from benchmate.plan.missed import with_missed
from benchmate.plan.plan import Fill, Layer, Plan, Step, scatter_of
from benchmate.procedure.file.document import Document, load
from benchmate.procedure.finding import library
from benchmate.shelf import FAMILIES
from tests.plans import expand
from tests.sim.worlds import SCALE_SD_G, SCALE_STEP_G, Shop, World
from tests.unit.loop_help import PAIR, START

COATS = 3
NEAR_G = 4.0
"""Off the target by no more than this is near."""
FILE = "learning"
AROUND = Around()
SCALE = ev.ScaleDescribed(
    happened=START,
    recorded=START,
    name="bench scale",
    division_g=SCALE_STEP_G,
    repeatability_g=SCALE_SD_G,
)
SCALES = {SCALE.name: SCALE}


@dataclass(frozen=True)
class Piece:
    """How one piece came out, and what was said of it when its fill was done."""

    job: int
    off_g: float
    said_off_g: float
    said_u_g: float
    offered: int
    """Values that were on offer when its job was started."""

    @property
    def held(self) -> bool:
        """Whether the 95 % interval held the finished weight."""
        return abs(self.said_off_g) <= 1.96 * self.said_u_g


def years(world: World, seed: int, jobs: int, *, learned: bool) -> list[Piece]:
    """Work that many jobs of a world, one after the other in one shop."""
    ended: list[JobState] = []
    used: dict[str, float] = {}
    pieces: list[Piece] = []
    for n in range(jobs):
        by_file = plan_of(world.reserve, (), f"{FILE}-file")
        record = record_of(by_file, used, ended)
        offers = record.offers()
        if learned and offers:
            used |= taken(offers)
            record = record_of(by_file, used, ended)
        plan = plan_of(world.reserve, tuple(sorted(used.items())), f"{FILE}-{n + 1}")
        plan = with_missed(plan, record.missed_g())
        work = Work(plan, Shop(1000 * seed + n, world.at(n)))
        work.all()
        ended.append(work.state)
        pieces += work.pieces(n, len(offers))
    return pieces


def record_of(by_file: Plan, used: Mapping[str, float], ended: Sequence[JobState]) -> Record:
    return Record(by_file, used, ended[-LAST_JOBS:], lambda at: at.wall_s, SCALES)


def taken(offers: list[Offer]) -> dict[str, float]:
    """All offers as values in use, each scatter beside its value."""
    values = {o.key: o.new for o in offers}
    return values | {scatter_of(o.key): o.scatter for o in offers if o.scatter is not None}


# The plan ------------------------------------------------------------------------------------


def plan_of(reserve: str, learned: tuple[tuple[str, float], ...], job: str) -> Plan:
    """The plan of the pair whose void is just as deep as its target asks for."""
    kept = _kept_plan(reserve, learned)
    return msgspec.json.decode(kept.replace(b'"no-job-yet', f'"{job}'.encode()), type=Plan)


@cache
def _kept_plan(reserve: str, learned: tuple[tuple[str, float], ...]) -> bytes:
    """A straight line through two plans finds the depth."""
    low, high = 40.0, 50.0
    at_low, at_high = (_off_g(_planned(reserve, learned, mm)) for mm in (low, high))
    deep = round(low - at_low * (high - low) / (at_high - at_low), 2)
    return msgspec.json.encode(_planned(reserve, learned, deep))


def _planned(reserve: str, learned: tuple[tuple[str, float], ...], deep_mm: float) -> Plan:
    parameters: dict[str, Any] = {"reserve": reserve, "coats": COATS, "depth": f"{deep_mm} mm"}
    return expand(
        _document(),
        job_id="no-job-yet",
        materials={},
        families=FAMILIES,
        parameters=parameters,
        learned=dict(learned),
    )


def file_text() -> str:
    """The tests' bookends, with a void that may be deeper."""
    text = PAIR.read_text(encoding="utf-8")
    return text.replace('at_most   = "48 mm"', 'at_most   = "60 mm"')


@cache
def _document() -> Document:
    return load(file_text(), PAIR.name, library())


def _off_g(plan: Plan) -> float:
    """What the first piece would weigh by its plan, less its target."""
    piece = plan.pieces[0]
    fills = [f for f in plan.fills if f.piece == piece.name]
    wood = sum(p.mass_g for p in plan.parts if p.piece == piece.name)
    fill = sum(f.cap_g + sum(la.shot_g + la.resin_g for la in f.layers) for f in fills)
    acts = sum(s.adds_g - s.takes_g for s in plan.steps if s.piece == piece.name)
    return wood + fill + acts + piece.rest_g - (piece.target_g or 0.0)


# The work ------------------------------------------------------------------------------------


@dataclass
class Work:
    """One job at the bench: its state, and its truth."""

    plan: Plan
    truth: Shop
    said: dict[str, WillWeigh] = field(default_factory=dict)

    def __post_init__(self) -> None:
        started = cmd.StartJob(job=self.plan.job, title=self.plan.title, plan=self.plan)
        self.clock = (START.shifted(float(s)) for s in count())
        self.versions = count(1)
        self.commands: list[cmd.Command] = []
        self.state = fold_all(self._recorded(decide(None, started, next(self.clock), AROUND)))

    def _recorded(self, events: list[ev.JobEvent]) -> list[Recorded]:
        return [Recorded(next(self.versions), event) for event in events]

    def do(self, command: cmd.Command) -> None:
        """Decide and fold."""
        self.commands.append(command)
        made = decide(self.state, command, next(self.clock), AROUND)
        self.state = fold(self.state, *self._recorded(made))

    def all(self) -> None:
        """Every step, in an order that the plan allows."""
        for address in self._order():
            step = self.state.steps[address]
            if step.act == "poured":
                self._adjust()
            if step.weigh is not None:
                grams = round(_reading(self.state, self.truth, step), 1)
                self.do(cmd.Weigh(address=address, net_g=grams, scale=SCALE.name, division_g=0.1))
            else:
                self.do(cmd.MarkDone(address=address, anyway=True))
            self._tell_truth(step)
            if step.act == "capped":
                self._note_will_weigh(step.piece)
        self.do(cmd.Finish(outcome="done"))

    def _order(self) -> Iterator[str]:
        while True:
            left = (s for s in self.state.steps.values() if not self.state.is_settled(s.address))
            ready = (s for s in left if all(map(self.state.is_settled, s.after)))
            step = next(ready, None)
            if step is None:
                return
            yield step.address

    def _adjust(self) -> None:
        """Take the adjustment on offer."""
        found = offer(self.state, SCALES)
        if found is not None and any(p.changes for p in found.pieces):
            plan, amounts = take(self.state, found.pieces)
            self.do(cmd.ChangePlan(plan=plan, amounts=amounts, reason="adjustment"))

    def _tell_truth(self, step: Step) -> None:
        if step.adds_g or step.takes_g:
            for name in [step.piece] if step.piece else list(self.truth.pieces):
                self.truth.act(name, step_key(step))

    def _note_will_weigh(self, piece: str) -> None:
        """What is said of a piece once its cap is weighed and before anything else is done."""
        for found in will_weigh_of_job(self.state, SCALES):
            if found.piece.endswith(piece):
                self.said[piece] = found

    def pieces(self, job: int, offered: int) -> list[Piece]:
        """How they came out."""
        made = []
        for planned in self.plan.pieces:
            finished = self.truth.true_g(planned.name, finished=True)
            off, said = finished - (planned.target_g or 0.0), self.said[planned.name]
            made.append(Piece(job, off, finished - said.mass_g, said.u_g, offered))
        return made


def _reading(state: JobState, truth: Shop, step: Step) -> float:
    assert step.weigh is not None
    planned = step.weigh.plan_g or 0.0
    if step.weigh.weighed in ("blank", "part"):
        return truth.blank(step.piece, step.part, planned)
    if step.weigh.kind == "gain":
        fill, layer = _layer(state, step.address)
        if layer is None or fill is None:
            return truth.gain(step.piece, planned)
        shot_g = layer.shot_g if layer.by_weight else None
        return truth.layer(step.piece, layer.void_ml, PLANNED_PACKING, shot_g)
    return truth.whole(step.piece, finished="finished" in step.file_step)


PLANNED_PACKING = 0.6033
"""What the file's own plan reckons for its shot in its slot."""


def _layer(state: JobState, address: str) -> tuple[Fill | None, Layer | None]:
    for fill in state.plan.fills if state.plan else ():
        for layer in fill.layers:
            if layer.address == address:
                return fill, layer
    return None, None


def rms_g(pieces: list[Piece]) -> float:
    """Root mean square of what the pieces are off their target."""
    return math.sqrt(sum(p.off_g**2 for p in pieces) / len(pieces))
