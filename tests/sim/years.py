"""Jobs in pairs worked through the bench itself, with what earlier ones taught or without."""

import math
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchmate.bench import Bench
from benchmate.bench.history.lessons import offers, take
from benchmate.bench.starting.starting import plan_for
from benchmate.bench.trying.rehearsal import good_answer
from benchmate.bench.weights.slips import Typed
from benchmate.bench.weights.weighing import record_weight
from benchmate.bench.weights.will_weigh import aims, offer_of, take_offer
from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.summary import step_key
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.landing.will_weigh import WillWeigh
from benchmate.plan.plan import Fill, Layer
from tests.sim.worlds import Shop, World
from tests.unit.loop_help import PAIR, Worked

COATS = 3
NEAR_G = 4.0
"""Off the target by no more than this is near."""


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
    with tempfile.TemporaryDirectory() as home:
        shop = Worked(Path(home))
        shop.scale()
        made = [piece for n in range(jobs) for piece in _job(shop, world, seed, n, learned=learned)]
        shop.bench.close()
    return made


def _job(shop: Worked, world: World, seed: int, n: int, *, learned: bool) -> list[Piece]:
    values: dict[str, Any] = {"reserve": world.reserve, "coats": COATS}
    if not n:
        bring_file(shop)
    found = offers(shop.bench, PAIR.stem, values) if n else []
    if learned:
        take(shop.bench, PAIR.stem, found)
    shop.start(parameters={**values, "depth": f"{_deep_enough_mm(shop.bench, values):.2f} mm"})
    truth = Shop(1000 * seed + n, world.at(n))
    said: dict[str, WillWeigh] = {}
    while (act := shop.next()) is not None:
        _do(shop, truth, act)
        _note_headings(shop.bench, shop.state, said)
    shop.bench.do(shop.job, cmd.Finish(outcome="done"))
    return [_piece(shop.state, truth, name, said[name], n, len(found)) for name in truth.pieces]


def bring_file(shop: Worked) -> None:
    """The tests' bookends, in a block that has room for a deeper void."""
    mine = shop.bench.folders.procedures / PAIR.name
    mine.parent.mkdir(parents=True, exist_ok=True)
    text = PAIR.read_text(encoding="utf-8")
    mine.write_text(
        text.replace('at_most   = "48 mm"', 'at_most   = "60 mm"').replace(
            "120 x 90 x 54 mm", "120 x 90 x 66 mm"
        ),
        encoding="utf-8",
    )


def _deep_enough_mm(bench: Bench, values: dict[str, Any]) -> float:
    """The depth at which the plan, learned values and all, comes to its target: a straight line
    through two plans."""
    low, high = 40.0, 50.0
    (at_low, target), (at_high, _) = (_planned_g(bench, values, mm) for mm in (low, high))
    return low + (target - at_low) * (high - low) / (at_high - at_low)


def _planned_g(bench: Bench, values: dict[str, Any], depth_mm: float) -> tuple[float, float]:
    """What the first piece would weigh by its plan, and its target."""
    plan, _ = plan_for(bench, PAIR.stem, {**values, "depth": f"{depth_mm} mm"}, job="t")
    piece = plan.pieces[0]
    fills = [f for f in plan.fills if f.piece == piece.name]
    wood = sum(p.mass_g for p in plan.parts if p.piece == piece.name)
    fill = sum(f.cap_g + sum(la.shot_g + la.resin_g for la in f.layers) for f in fills)
    acts = sum(s.adds_g - s.takes_g for s in plan.steps if s.piece == piece.name)
    return wood + fill + acts + piece.rest_g, piece.target_g or 0.0


def _piece(state: JobState, truth: Shop, name: str, said: WillWeigh, n: int, offered: int) -> Piece:
    assert state.plan is not None
    target = next(p.target_g for p in state.plan.pieces if p.name == name) or 0.0
    finished = truth.true_g(name, finished=True)
    return Piece(n, finished - target, finished - said.mass_g, said.u_g, offered)


def _note_headings(bench: Bench, state: JobState, said: dict[str, WillWeigh]) -> None:
    """What is said of each piece once its cap is weighed and before anything else is done to it."""
    for step in state.steps.values():
        if step.act == "capped" and state.weighing_at(step.address) and step.piece not in said:
            for aim in aims(bench, state):
                if aim.course.piece.endswith(step.piece):
                    said[step.piece] = aim.will_weigh


def _do(shop: Worked, truth: Shop, act: Act) -> None:
    if act.kind == "weigh":
        grams = _reading(shop.state, truth, act)
        record_weight(shop.bench, act.job, act.address, Typed(f"{grams:.1f} g"), stands=True)
        return
    if act.kind == "check" and act.check is not None:
        value, text = good_answer(act.check)
        answer = cmd.AnswerCheck(address=act.address, name=act.check.name, value=value, text=text)
        shop.bench.do(act.job, answer)
        return
    if act.step is not None and act.step.act == "poured":
        offered = offer_of(shop.bench, shop.state)
        if offered is not None and any(p.changes for p in offered.pieces):
            take_offer(shop.bench, act.job)
    shop.clock.tick(shop.pace(act))
    shop.bench.do(act.job, cmd.MarkDone(address=act.address))
    step = act.step
    if step is not None and (step.adds_g or step.takes_g):
        for name in [step.piece] if step.piece else list(truth.pieces):
            truth.act(name, step_key(step))


def _reading(state: JobState, truth: Shop, act: Act) -> float:
    step = act.step
    assert step is not None
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
