"""Coats that can't bite, and finishes that come too early."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Step
from benchmate.procedure.trade.proof import FINISHES, Proof


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
            instead = 'name the tin and write waits = "recoat", within = "recoat"'
            yield Fault(proof.where(step, "count"), wrong, instead)
            return


def _waited(proof: Proof, step: Step) -> bool:
    """Whether a step of the same round has waited for the coat before."""
    mine = [s for a in step.after if (s := proof.steps.get(a)) is not None]
    return any(s.scope == "coat" and s.waits for s in mine)


def finish_before_glue(proof: Proof) -> Iterator[Fault]:
    """A finish on faces that are glued later."""
    steps = [s for s in proof.steps.values() if s.piece == proof.first_piece()]
    said: set[int] = set()
    for place, coat in enumerate(steps):
        spec = proof.flat(coat).spec
        if coat.act not in ("coated", "waxed") or spec.bare or spec.glues:
            continue
        if not any(t.kind in FINISHES for t in proof.tins(coat)):
            continue
        covered = {w.name for w in proof.parts(coat)}
        for glue in steps[place + 1 :]:
            shared = covered & {w.name for w in proof.parts(glue)}
            if (
                proof.flat(glue).spec.glues
                and shared
                and int(proof.flat(coat).where[1]) not in said
            ):
                said.add(int(proof.flat(coat).where[1]))
                are = " and ".join(sorted(shared)) + (" is" if len(shared) == 1 else " are")
                wrong = f"{are} finished here and glued later, at “{proof.flat(glue).group}”"
                instead = 'glue first, or mask the joint and say so: bare = "the joint"'
                yield Fault(proof.where(coat), wrong, instead)
