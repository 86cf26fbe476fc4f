"""A running job goes on by another plan: what was done stays, and the difference is told as facts.

The other plan comes from elsewhere (an edited file, another material, one more piece). Here it is
laid over what was already done: every step that was touched keeps the form it had when it was done,
with its clocks and its weights, and only what is still to come is taken from the new plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace

import msgspec

from benchmate.job.deciding.differences import alike
from benchmate.job.events.of_jobs import AmountChanged, Difference, PlanChanged
from benchmate.job.state.state import JobState
from benchmate.plan.missed import missed_of, with_missed
from benchmate.plan.plan import Fill, PiecePlan, Plan, Step
from benchmate.refusal import Refused, UnknownAddress


def touched(job: JobState) -> set[str]:
    """Addresses at which anything was done, weighed, answered, begun or left out."""
    weighed = {w.address for w in job.weighings.values()}
    return {
        *job.done,
        *job.skipped,
        *job.begun,
        *job.running,
        *weighed,
        *(a for a, _ in job.checks),
    }


def laid_over(job: JobState, new: Plan) -> Plan:
    """The new plan, with all that was touched as it was. Raises Refused where a piece that was
    begun is in it no more."""
    old = job.plan
    if old is None:
        raise Refused("This job has no plan that could be changed.")
    kept = [s for s in old.steps if s.address in touched(job)]
    gone = {s.piece for s in kept if s.piece} - {p.name for p in new.pieces}
    if gone - set(job.spoiled):
        name = min(gone - set(job.spoiled))
        raise Refused(
            f"Piece {name} is begun and can't be left out of the plan; scrap it with a reason "
            f"(`benchmate job scrap {name}`)."
        )
    done = {s.address for s in kept}
    steps = [*kept, *(s for s in new.steps if s.address not in done)]
    known = {s.address for s in steps}
    clocks = {w.address for s in steps for w in s.windows}
    settled = {(f.piece, f.where): f for f in old.fills if _is_settled(job, f, new, done)}
    fills = [*settled.values()]
    fills += [f for f in new.fills if (f.piece, f.where) not in settled]
    # What a settled void still takes goes by the fill that it was begun with.
    layers = {la.address for f in settled.values() for la in f.layers}
    own = {s.address: s for s in old.steps if s.address in layers}
    steps = [own.get(s.address, s) for s in steps]
    mixed = [m for m in old.mixes if m.address in done]
    mixes = [*mixed, *(m for m in new.mixes if m.address not in done)]
    return msgspec.structs.replace(
        with_missed(new, missed_of(old)),
        job=old.job,
        steps=tuple(_tied(step, known, clocks) for step in steps),
        fills=tuple(fills),
        mixes=tuple(mixes),
    )


def _is_settled(job: JobState, fill: Fill, new: Plan, done: set[str]) -> bool:
    """Whether a void keeps its fill: one that is begun, or whose room or amounts the maker has set
    and whose shot and resin stay."""
    layers = {la.address for la in fill.layers}
    if layers & done:
        return True
    by_hand = {a.address for c in job.changes for a in _amounts_by_hand(c)}
    same = (fill.shot, fill.shot_density_g_cm3, fill.resin_density_g_cm3)
    twins = [f for f in new.fills if (f.piece, f.where) == (fill.piece, fill.where)]
    return bool(layers & by_hand) and any(
        (f.shot, f.shot_density_g_cm3, f.resin_density_g_cm3) == same for f in twins
    )


def _amounts_by_hand(change: PlanChanged) -> Sequence[AmountChanged]:
    return [a for a in change.amounts if change.text is None or a.by_hand]


def carried(job: JobState, new: Plan) -> Plan:
    """The new plan with what this job's earlier changes had made otherwise, wherever it still says
    what they changed."""
    for change in job.changes:
        for one in change.differences:
            new = _carried(job, new, one, by_hand=change.text is None or one.by_hand)
        for amount in _amounts_by_hand(change):
            new = _amount_carried(job, new, amount)
    return new


def _carried(job: JobState, new: Plan, one: Difference, *, by_hand: bool) -> Plan:
    old, there = _plan(job), {s.address for s in new.steps}
    match one.kind:
        case "target" | "tolerance":
            key = f"{one.kind}_g"
            pieces = tuple(
                msgspec.structs.replace(p, **{key: one.new_number})
                if p.name == one.address and alike(getattr(p, key), one.old_number)
                else p
                for p in new.pieces
            )
            return msgspec.structs.replace(new, pieces=pieces)
        case "step added" if by_hand and one.address not in there:
            step = next((s for s in old.steps if s.address == one.address), None)
            at = [n for n, s in enumerate(new.steps) if step and s.address in step.after]
            if step is not None and at:
                steps = (*new.steps[: at[-1] + 1], step, *new.steps[at[-1] + 1 :])
                return msgspec.structs.replace(new, steps=steps)
        case "step gone" if by_hand and one.address not in {s.address for s in old.steps}:
            if one.address in there:
                return without_step(replace(job, plan=new), one.address)
        case "order" if one.new and one.address not in touched(job):
            # What can't be kept is told by moves_lost.
            with suppress(Refused):
                return moved_behind(replace(job, plan=new), one.address, one.new)
    return new


def moves_lost(job: JobState, new: Plan) -> Iterator[Difference]:
    """Steps that an earlier change moved and that a plan made anew no longer has there: they, or
    those they were moved behind, are gone, or come in the other order."""
    before, after = ({s.address: s.after for s in plan.steps} for plan in (_plan(job), new))
    moves = {(d.address, d.new) for c in job.changes for d in c.differences if d.kind == "order"}
    for address, behind in sorted(moves):
        in_force = address not in job.done and behind in before.get(address, ())
        if in_force and behind not in after.get(address, ()):
            gone = next((a for a in (address, behind) if a not in after), "")
            yield Difference(kind="move gone", address=address, old=behind, new=gone)


def _amount_carried(job: JobState, new: Plan, changed: AmountChanged) -> Plan:
    step = next((s for s in new.steps if s.address == changed.address), None)
    if step is None or step.address in touched(job):
        return new
    amounts = tuple(
        msgspec.structs.replace(a, amount=changed.new)
        if a.what == changed.what and alike(a.amount, changed.old)
        else a
        for a in step.amounts
    )
    return _with(new, msgspec.structs.replace(step, amounts=amounts))


def _tied(step: Step, known: set[str], clocks: set[str]) -> Step:
    """The step, waiting only for what there is."""

    def kept(names: Sequence[str], among: set[str]) -> tuple[str, ...]:
        return tuple(name for name in names if name in among)

    return msgspec.structs.replace(
        step,
        after=kept(step.after, known),
        waits=kept(step.waits, clocks),
        waits_full=kept(step.waits_full, clocks),
        within=kept(step.within, clocks),
    )


def with_target(job: JobState, grams: float | None, tolerance_g: float | None, piece: str) -> Plan:
    """Another target or tolerance, of one piece or of all."""
    plan = _plan(job)
    if piece and piece not in {p.name for p in plan.pieces}:
        names = ", ".join(p.name for p in plan.pieces)
        raise UnknownAddress(f"There is no piece {piece}; there are {names}.")

    def aimed(one: PiecePlan) -> PiecePlan:
        if piece and one.name != piece:
            return one
        target = one.target_g if grams is None else grams
        tolerance = one.tolerance_g if tolerance_g is None else tolerance_g
        return msgspec.structs.replace(one, target_g=target, tolerance_g=tolerance)

    return msgspec.structs.replace(plan, pieces=tuple(aimed(one) for one in plan.pieces))


def with_amount(job: JobState, address: str, what: str, amount: float) -> Plan:
    """Another amount at a step that is still to be done; `what` may stay empty where it takes but
    one thing."""
    plan, step = _plan(job), _open_step(job, address)
    named = [a for a in step.amounts if what in ("", a.what)]
    if len(named) != 1:
        takes = ", ".join(a.what for a in step.amounts) or "nothing that is weighed out"
        raise Refused(f"Which amount? {address} takes {takes}.")
    amounts = tuple(
        msgspec.structs.replace(a, amount=amount) if a is named[0] else a for a in step.amounts
    )
    return _with(plan, msgspec.structs.replace(step, amounts=amounts))


def with_step(job: JobState, after: str, do: str, slug: str, hands_s: float) -> Plan:
    """One more step, behind another one."""
    plan = _plan(job)
    at = next((n for n, s in enumerate(plan.steps) if s.address == after), None)
    if at is None:
        raise UnknownAddress(f"There is no step {after} to add one behind.")
    before = plan.steps[at]
    head = "/".join((plan.job, before.piece or "all", before.part or "all", slug))
    number = 1 + sum(s.address.startswith(f"{head}#") for s in plan.steps)
    new = Step(
        address=f"{head}#{number}",
        do=do,
        act="done",
        piece=before.piece,
        part=before.part,
        after=(after,),
        hands_s=hands_s,
        file_step=slug,
    )
    return msgspec.structs.replace(plan, steps=(*plan.steps[: at + 1], new, *plan.steps[at + 1 :]))


def without_step(job: JobState, address: str) -> Plan:
    """A step that is still to be done is left out; what waited for it waits for what it waited
    for. Raises Refused where a clock starts at it that others wait for."""
    plan, step = _plan(job), _open_step(job, address)
    clocks = {w.address for w in step.windows}
    users = [s for s in plan.steps if clocks & {*s.waits, *s.waits_full, *s.within}]
    if users:
        raise Refused(f"{users[0].address} waits for a clock that starts at it; skip it instead.")
    rest = (s for s in plan.steps if s.address != address)
    steps = tuple(
        msgspec.structs.replace(s, after=_through(s.after, step)) if address in s.after else s
        for s in rest
    )
    return msgspec.structs.replace(plan, steps=steps)


def _through(after: Sequence[str], gone: Step) -> tuple[str, ...]:
    kept = [a for a in after if a != gone.address]
    return tuple(dict.fromkeys([*kept, *gone.after]))


def moved_behind(job: JobState, address: str, after: str) -> Plan:
    """A step that is still to be done comes behind another one."""
    plan, step = _plan(job), _open_step(job, address)
    rest = [s for s in plan.steps if s.address != address]
    at = next((n for n, s in enumerate(rest) if s.address == after), None)
    if at is None:
        raise UnknownAddress(f"There is no step {after} to move one behind.")
    if address in _before(plan, after):
        raise Refused(f"{after} itself comes after {address}; move that one first.")
    new = msgspec.structs.replace(step, after=tuple(dict.fromkeys([*step.after, after])))
    return msgspec.structs.replace(plan, steps=(*rest[: at + 1], new, *rest[at + 1 :]))


def _before(plan: Plan, address: str) -> set[str]:
    """All steps that must come before one."""
    after = {s.address: s.after for s in plan.steps}
    found: set[str] = set()
    todo = [address]
    while todo:
        new = set(after.get(todo.pop(), ())) - found
        found |= new
        todo += new
    return found


def _plan(job: JobState) -> Plan:
    if job.plan is None:
        raise Refused("This job has no plan that could be changed.")
    return job.plan


def _open_step(job: JobState, address: str) -> Step:
    step = next((s for s in _plan(job).steps if s.address == address), None)
    if step is None:
        raise UnknownAddress(f"There is no step {address} in the plan.")
    if address in touched(job):
        raise Refused(f"{address} is done or begun; what was done stays as it is.")
    return step


def _with(plan: Plan, step: Step) -> Plan:
    steps = tuple(step if s.address == step.address else s for s in plan.steps)
    return msgspec.structs.replace(plan, steps=steps)
