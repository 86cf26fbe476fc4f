"""What a job leaves behind for comparing: weights, packing, cups, hands-on times. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.cups import in_cup_g
from benchmate.job.words.distinct_names import own_name
from benchmate.learning.side_by_side import JobSummary, PieceSummary
from benchmate.moment import Moment
from benchmate.plan.address import parse
from benchmate.plan.plan import Fill, Mix, PiecePlan, Step

Place = Callable[[Moment], float]
"""A moment's place on the shop's time line, in seconds."""
FINISHED = "finished piece"
"""What is on the scale where a weight is told at the job's end, apart from any step."""
HANDS = (
    ev.JobStarted,
    ev.Begun,
    ev.Done,
    ev.FreeAct,
    ev.RunningRead,
    ev.Weighed,
    ev.Checked,
    ev.Skipped,
    ev.Noted,
    ev.MissedAnswered,
)
"""Events that hands at the work leave: from one to the next they were at the next."""
PLAUSIBLE = 3.0
"""An act that took more than three times its plan, or less than a third, was most likely not
worked at all that while (or was marked late): common practice, no source."""
PLAUSIBLE_BEGUN = 10.0
"""As above where the maker said when hands were laid on."""
POSSIBLE_PACKING = (0.3, 0.8)
"""No heap of shot of one size lies looser or denser; outside it a weight was wrong."""
COVERED = 0.5
"""Least share of a step's planned hands that must have been seen to say how long it took."""


def summarise(job: JobState, place: Place) -> JobSummary:
    """The job in numbers, as far as it recorded them; times are Unix seconds."""
    started = job.started.wall_s
    took = place(job.ended) - place(job.started) if job.ended else None
    plan = job.plan
    pieces = [p for p in plan.pieces if p.name not in job.spoiled] if plan else []
    mixes = plan.mixes if plan else ()
    return JobSummary(
        job=job.job,
        procedure=plan.procedure if plan else "",
        started_s=started,
        finished_s=None if took is None else started + took,
        pieces=tuple(_piece(job, p) for p in pieces),
        resin_used_g=_total(_said_g(job, m) for m in mixes),
        left_in_cup_g=_total(left_g(job, m) for m in mixes),
        steps_s=_times(job, place),
        outcome=f"stopped: {job.outcome}" if job.status == "stopped" else job.outcome,
    )


def _total(values: Iterable[float | None]) -> float | None:
    known = [v for v in values if v is not None]
    return sum(known) if known else None


def _piece(job: JobState, piece: PiecePlan) -> PieceSummary:
    fills = [f for f in job.plan.fills if f.piece == piece.name] if job.plan else []
    seen = [(f.void_ml, p) for f in fills if (p := packing_seen(job, f)) is not None]
    volume = sum(ml for ml, _ in seen)
    packing = sum(ml * p for ml, p in seen) / volume if volume else None
    name = own_name(piece.label or piece.name)
    final = final_weighing(job, piece.name)
    return PieceSummary(
        name, final.net_g if final else None, piece.target_g, piece.tolerance_g, packing
    )


def final_weighing(job: JobState, piece: str) -> Weighing | None:
    """The weight of the finished piece: what was recorded at its last weigh point as a whole, or,
    where there is none, what was told at the job's end."""
    whole = [
        s.address
        for s in job.steps.values()
        if s.piece == piece and s.weigh is not None and s.weigh.weighed == "whole"
    ]
    found = job.weighing_at(whole[-1]) if whole else None
    told = [w for w in job.weighings.values() if not w.address and w.piece == piece]
    return found or (told[-1] if told else None)


def pieces_unweighed(job: JobState) -> list[str]:
    """Pieces that were made and whose finished weight nobody has recorded."""
    made = [p.name for p in job.plan.pieces if p.name not in job.spoiled] if job.plan else []
    return [name for name in made if final_weighing(job, name) is None]


def packing_seen(job: JobState, fill: Fill, *, to_the_line: bool = False) -> float | None:
    """How much of the void's volume is metal, from what its layers gained (or from the shot
    alone where that was read apart). None without a record.

    `to_the_line` leaves out layers whose shot was weighed out: those say what was weighed, not how
    the shot lies. Source: the mass balance of shot and resin in a void.
    """
    metal_ml, void_ml = 0.0, 0.0
    heavier = fill.shot_density_g_cm3 - fill.resin_density_g_cm3
    for layer in fill.layers:
        record = job.weighing_at(layer.address)
        if record is None or (to_the_line and layer.by_weight):
            continue
        void_ml += layer.void_ml
        if record.split.get("shot", 0.0) > 0.0:
            metal_ml += record.split["shot"] / fill.shot_density_g_cm3
        else:
            metal_ml += (record.net_g - layer.void_ml * fill.resin_density_g_cm3) / heavier
    packing = metal_ml / void_ml if void_ml else None
    low, high = POSSIBLE_PACKING
    return packing if packing is not None and low < packing < high else None


def mixed_g(job: JobState, mix: Mix) -> float | None:
    """What went into a cup: as the maker said, else as planned. None while it isn't mixed."""
    done = job.done.get(mix.address)
    if done is None:
        return None
    return in_cup_g(job, mix.address)


def _said_g(job: JobState, mix: Mix) -> float | None:
    """As `mixed_g`, but only where the maker said it: the plan's own amount is no record."""
    done = job.done.get(mix.address)
    return mixed_g(job, mix) if done is not None and done.used else None


def left_g(job: JobState, mix: Mix) -> float | None:
    """What stayed in a cup, said of the mix or at the acts that poured from it; None: not said."""
    of_mix = job.done.get(mix.address)
    if of_mix is not None and of_mix.left_g is not None:
        return of_mix.left_g
    records = (job.done.get(a) for a in mix.serves)
    return _total(r.left_g for r in records if r is not None)


# Time ----------------------------------------------------------------------------------------


def hands_seen(job: JobState, place: Place) -> dict[str, float]:
    """Hands-on seconds of each act whose begin is known, by its address.

    The begin is what the maker said, else the act before; left out is what can't have been work
    alone: acts that had to wait for a window, and times far from the plan's.
    """
    found: dict[str, float] = {}
    before = place(job.started)
    for at, event, version in _at_work(job, place):
        step = job.steps.get(event.address) if isinstance(event, ev.Done) else None
        if step is not None and step.act != "weighed" and isinstance(event, ev.Done):
            counts = step.address in job.done and job.done[step.address].version == version
            begun = place(event.begun) if event.begun is not None else None
            took = at - (before if begun is None else begun)
            limit = PLAUSIBLE if begun is None else PLAUSIBLE_BEGUN
            counts = counts and not (begun is None and (step.waits or step.waits_full))
            if counts and step.hands_s / limit <= took <= step.hands_s * limit:
                found[step.address] = took
        before = at
    return found


def _at_work(job: JobState, place: Place) -> list[tuple[float, ev.JobEvent, int]]:
    work = [
        (place(r.event.happened), r.event, r.version)
        for r in job.records
        if r.version not in job.void and isinstance(r.event, HANDS)
    ]
    return sorted(work, key=lambda item: (item[0], item[2]))


def step_key(step: Step) -> str:
    """A step's name in the procedure: what all its acts share."""
    at = parse(step.address)
    return at.step if at is not None else step.address


def _times(job: JobState, place: Place) -> Mapping[str, float]:
    """Hands-on time of each block or step of the file, all its acts together; what wasn't seen is
    taken to have gone like the rest of it."""
    seen = hands_seen(job, place)
    planned: dict[str, float] = {}
    covered: dict[str, float] = {}
    took: dict[str, float] = {}
    for step in job.steps.values():
        if step.act == "weighed" or step.address not in job.done:
            continue
        name = f"{step.block or step.file_step or step_key(step)}, hands-on"
        planned[name] = planned.get(name, 0.0) + step.hands_s
        if step.address in seen:
            covered[name] = covered.get(name, 0.0) + step.hands_s
            took[name] = took.get(name, 0.0) + seen[step.address]
    return {
        name: took[name] * whole / covered[name]
        for name, whole in planned.items()
        if covered.get(name, 0.0) >= COVERED * whole
    }
