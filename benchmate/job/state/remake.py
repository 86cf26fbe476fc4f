"""A cup that was lost is mixed again for what is still to pour from it, and for no more."""

from __future__ import annotations

import math
from collections.abc import Container, Sequence

import msgspec

from benchmate.job.state.state import JobState
from benchmate.plan.plan import Amount, Mix, Plan, Step
from benchmate.quantities import show_mass

LEAST_MIX_G = 20.0
"""Smallest mix that a shop's scale weighs to its ratio: common practice, no source. A cup that was
planned smaller stays as it was."""
MOST_FOR_LOSS = 1.0 / 0.7
"""So much more than is poured goes into a cup at most: the rest stays in it."""
AGAIN = "Mix again, for "


def remade(job: JobState, address: str) -> Step | None:
    """The mix at an address as it is to be made again, with its amounts and its sentence.

    None where it isn't a cup of the plan, nothing waits for it, or all of it is needed again.
    """
    plan = job.plan
    mix = mix_at(plan, address)
    step = job.steps.get(address)
    if plan is None or mix is None or step is None:
        return None
    pending = [s for s in pours_of(plan, address) if not job.is_settled(s.address)]
    wanted = _again_g(plan, mix, pending)
    if {s.address for s in pending} == set(mix.serves) or wanted is None:
        return None
    share = wanted / mix.total_g
    amounts = tuple(msgspec.structs.replace(a, amount=a.amount * share) for a in step.amounts)
    return msgspec.structs.replace(step, amounts=amounts, do=_said(step, amounts, len(pending)))


def with_remade(plan: Plan, step: Step, settled: Container[str]) -> Plan:
    """The plan with a mix as it is to be made again; its cup serves what isn't settled."""
    mix = mix_at(plan, step.address)
    old = next((s for s in plan.steps if s.address == step.address), None)
    if mix is None or old is None:
        return plan
    share = _sum(step.amounts) / (_sum(old.amounts) or 1.0)
    serves = tuple(s.address for s in pours_of(plan, step.address) if s.address not in settled)
    smaller = msgspec.structs.replace(
        mix, serves=serves, total_g=mix.total_g * share, a_g=mix.a_g * share, b_g=mix.b_g * share
    )
    return msgspec.structs.replace(
        plan,
        steps=tuple(step if s.address == step.address else s for s in plan.steps),
        mixes=tuple(smaller if m.address == step.address else m for m in plan.mixes),
    )


def mix_at(plan: Plan | None, address: str) -> Mix | None:
    """The cup of a mix step."""
    return next((m for m in plan.mixes if m.address == address), None) if plan else None


def pours_of(plan: Plan, address: str) -> list[Step]:
    """All steps that pour from a cup, in the plan's order."""
    return [s for s in plan.steps if s.mix == address]


def mixed_again(step: Step) -> str:
    """ "Mix again 24 g, for the 2 pours still to come", of a step that was remade."""
    what = step.do.partition(": ")[0].removeprefix(AGAIN)
    return f"mix again {show_mass(_sum(step.amounts))}, for {what}"


def _again_g(plan: Plan, mix: Mix, pending: Sequence[Step]) -> float | None:
    """Grams to mix for these pours, with what stays in the cup, in whole grams."""
    materials = {a.material for s in plan.steps if s.address == mix.address for a in s.amounts}
    served = [s for s in plan.steps if s.address in mix.serves]
    whole_g, need_g = _from_cup(served, materials), _from_cup(pending, materials)
    if whole_g <= 0.0 or need_g <= 0.0:
        return None
    for_loss = min(mix.total_g / whole_g, MOST_FOR_LOSS)
    least_g = min(LEAST_MIX_G, mix.total_g)
    return max(float(math.ceil(need_g * for_loss - 1e-6)), least_g)


def _from_cup(pours: Sequence[Step], materials: set[str]) -> float:
    return sum(a.amount for s in pours for a in s.amounts if a.material in materials)


def _sum(amounts: Sequence[Amount]) -> float:
    return sum(a.amount for a in amounts)


def _said(step: Step, amounts: Sequence[Amount], pours: int) -> str:
    """The step's sentence with the new weights in it, and what they are for before it."""
    text = step.do.partition(": ")[2] if step.do.startswith(AGAIN) else step.do
    for old, new in zip(step.amounts, amounts, strict=True):
        text = text.replace(show_mass(old.amount), show_mass(new.amount), 1)
    what = "the pour" if pours == 1 else f"the {pours} pours"
    return f"{AGAIN}{what} still to come: {text[:1].lower()}{text[1:]}"
