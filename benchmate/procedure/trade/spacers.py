"""Spacers in the wrong order.

What keeps a hollow open must stand while it is glued and poured, and be out before anything goes
in.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.address import slug
from benchmate.plan.plan import Step
from benchmate.procedure.file.part_schema import Gap
from benchmate.procedure.trade.mouths import pours_of
from benchmate.procedure.trade.proof import Proof

_OUT = ("pulled", "drawn", "removed", "knocked out", "taken")
_IN = ("set", "put", "placed", "fitted", "stood", "waxed", "inserted", "keyed")
_CORES = ("spacer", "core")


def spacers(proof: Proof) -> Iterator[Fault]:
    """Spacers that come out before the pour, or go in when the joint around them is closed."""
    poured = {fill.part: pour for fill, pour in pours_of(proof)}
    for step in proof.own_steps:
        text = f"{proof.flat(step).spec.id} {proof.flat(step).spec.do}".casefold()
        if not any(word in text for word in _CORES):
            continue
        parts = {w.name for w in proof.parts(step)}
        pours = [pour for name, pour in poured.items() if name in parts]
        if step.act in _OUT and any(proof.comes_after(pour, step) for pour in pours):
            wrong = "the spacers come out before the pour that they keep out"
            yield Fault(proof.where(step), wrong, "pull them after it, once it holds by itself")
        elif step.act in _IN:
            yield from _too_late(proof, step, pours)


def _too_late(proof: Proof, step: Step, pours: list[Step]) -> Iterator[Fault]:
    if any(proof.comes_after(step, pour) for pour in pours):
        wrong, instead = "the spacers go in when the void is filled", "set them before the pour"
        yield Fault(proof.where(step), wrong, instead)
        return
    parts = {w.name for w in proof.parts(step)}
    for glue in proof.before(step):
        if pours or not proof.flat(glue).spec.glues:
            continue
        if parts & {w.name for w in proof.parts(glue)}:
            wrong = f"the spacers go in when “{proof.flat(glue).group}” is glued"
            yield Fault(proof.where(step), wrong, "set them before the glue is spread")
            return


def kept_open(proof: Proof) -> Iterator[Fault]:
    """Spacers of a built body that come out before it is glued up, or after something went in."""
    for body, built in proof.sheet.head.built.items():
        for name, gap in built.gaps.items():
            if gap.kept_by and gap.until:
                yield from _out_of_order(proof, body, name, gap)


def _out_of_order(proof: Proof, body: str, name: str, gap: Gap) -> Iterator[Fault]:
    mine = proof.own_steps
    wanted = slug(gap.until)
    out = next((s for s in mine if wanted in (proof.flat(s).local, proof.flat(s).key)), None)
    if out is None:
        return
    for glue in (s for s in mine if proof.flat(s).spec.glues):
        names, group = proof.flat(glue).spec.part, proof.flat(glue).group
        tenons = [w.tenon for n, w in proof.own.items() if n in names]
        fits = any(tenon is not None and tenon.fits == name for tenon in tenons)
        if names == (body,) and not proof.comes_after(out, glue):
            wrong = f"the {gap.kept_by} come out of the {name} before “{group}”"
            yield Fault(proof.where(out), wrong, f'write after = "{group}"')
        if fits and not proof.comes_after(glue, out):
            wrong = f"the {gap.kept_by} still stand in the {name} when “{group}” goes in"
            yield Fault(proof.where(glue), wrong, f'write after = "{gap.until}"')
