"""Coats that can't bite, finishes that come too early, and what comes too early on them."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Step
from benchmate.procedure.bodies.amounts import MM2_PER_M2
from benchmate.procedure.trade.proof import FINISHES, MUCH_OIL, Proof
from benchmate.quantities import show_mass


def recoat(proof: Proof) -> Iterator[Fault]:
    """Coats that go on one after the other with nothing that says when."""
    for step in proof.steps.values():
        flat = proof.flat(step)
        if (
            step.act != "coated"
            or step.scope != "coat"
            or flat.spec.count < 2
            or not step.address.endswith("#2")
        ):
            continue
        if not (step.waits or step.waits_full or _waited(proof, step)):
            wrong = "these coats have no recoat window"
            instead = 'name the material and write waits = "recoat", within = "recoat"'
            yield Fault(proof.where(step, "count"), wrong, instead)
            return


def _waited(proof: Proof, step: Step) -> bool:
    """Whether a step of the same round has waited for the coat before."""
    mine = [s for a in step.after if (s := proof.steps.get(a)) is not None]
    return any(s.scope == "coat" and s.waits for s in mine)


def finish_before_glue(proof: Proof) -> Iterator[Fault]:
    """A finish on faces that are glued later."""
    steps = proof.own_steps
    for place, coat in enumerate(steps):
        spec = proof.flat(coat).spec
        if coat.act not in ("coated", "waxed") or spec.bare or spec.glues:
            continue
        if not any(t.kind in FINISHES for t in proof.materials(coat)):
            continue
        covered = {w.name for w in proof.parts(coat)}
        for glue in steps[place + 1 :]:
            shared = covered & {w.name for w in proof.parts(glue)}
            if proof.flat(glue).spec.glues and shared:
                are = " and ".join(sorted(shared)) + (" is" if len(shared) == 1 else " are")
                wrong = f"{are} finished here and glued later, at “{proof.flat(glue).group}”"
                instead = 'glue first, or mask the joint and say so: bare = "the joint"'
                yield Fault(proof.where(coat), wrong, instead)


def soft(proof: Proof) -> Iterator[Fault]:
    """Felt, leather or cloth stuck on before the finish under it is hard."""
    for step in proof.steps.values():
        if not _sticks(proof, step):
            continue
        names = {w.name for w in proof.parts(step)}
        ahead = list(proof.before(step))
        waited = {w for s in (step, *ahead) for w in (*s.waits, *s.waits_full)}
        for coat in ahead:
            hard = [w.address for w in coat.windows if w.name == "hard"]
            covered = names & {w.name for w in proof.parts(coat)}
            if hard and covered and not waited & set(hard):
                finish = next(t.name for t in proof.materials(coat))
                wrong = f"the {finish} under it is still soft when this is stuck on"
                yield Fault(proof.where(step, "waits"), wrong, _wait_first(proof, step))
                break


def _sticks(proof: Proof, step: Step) -> bool:
    return step.act in ("coated", "joined") and any(
        t.kind == "contact adhesive" for t in proof.materials(step)
    )


def _wait_first(proof: Proof, step: Step) -> str:
    flat = proof.flat(step)
    if not flat.block:
        return 'write waits = "hard"'
    first = next(f for f in proof.of.flats.values() if f.group == flat.group and f.first)
    return f'write a heading [steps.change.{first.spec.id}] with waits = "hard"'


MUCH = 8.0
"""Times what stays of a coat; flooding takes a few times that (common practice, no source)."""


def much_oil(proof: Proof) -> Iterator[Fault]:
    """More oil for one coat than the wood takes: what stays on it turns to varnish."""
    for step in proof.steps.values():
        flat = proof.flat(step)
        spread = {t.name: t.spread_g_m2 for t in proof.materials(step) if t.kind == "oil"}
        drafted = [(a, spread.get(a.material)) for a in step.amounts]
        for amount, usual in drafted:
            area = flat.spec.area or sum(w.outside_mm2 for w in proof.parts(step))
            if usual is None or not area or amount.unit != "g":
                continue
            most = usual * area / MM2_PER_M2
            if amount.amount > MUCH * most:
                wrong = (
                    f"{show_mass(amount.amount)} of {amount.material} for one coat is "
                    f"{amount.amount / most:.0f} times what the area takes"
                )
                instead = f"write about {show_mass(most)}, or more coats"
                yield Fault(proof.where(step, "amounts"), wrong, instead, MUCH_OIL)
