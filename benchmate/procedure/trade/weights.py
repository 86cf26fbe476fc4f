"""Targets that the plan doesn't land on."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Step
from benchmate.procedure.sought import goals
from benchmate.procedure.trade.proof import OFF_TARGET, Proof
from benchmate.quantities import show_mass

LEAST_TOLERANCE_G = 2.0
LEAST_OFF_G = 0.5
MOST_OF_A_PART = 0.6
"""Share of a part's wood that can still become a void (common practice, no source)."""


def reaches_target(proof: Proof) -> Iterator[Fault]:
    """A target that wood, fill and finish together don't come to."""
    for piece in proof.of.plan.pieces[:1]:
        if piece.target_g is None:
            continue
        most = planned_g(proof, piece.name)
        off = most - piece.target_g
        tolerance = max(piece.tolerance_g or 0.0, LEAST_TOLERANCE_G)
        if abs(off) <= tolerance:
            continue
        said = f"the plan comes to {show_mass(most)}, {show_mass(abs(off))} "
        said += "over" if off > 0 else "short"
        help_, reachable = _help(proof, off)
        yield Fault(("target",), said, help_, OFF_TARGET if reachable else "")


def planned_g(proof: Proof, piece: str) -> float:
    """What a piece weighs when all has gone to plan."""
    return goals.planned_g(proof.of.plan, piece)


def _help(proof: Proof, off: float) -> tuple[str, bool]:
    """What would bring it there, and whether anything in its voids can."""
    fills = proof.own_fills
    if not fills:
        return "no void is filled; change the target, or the parts", True
    fill = fills[0]
    dense = goals.mixed_density(fill)
    part = proof.own[fill.part]
    gain = dense - part.density_g_cm3
    if gain <= 0.0:
        return "its fill is no denser than the part: take denser shot, or change the target", False
    change = abs(off) / gain
    the_void = "the void" if len(fills) == 1 else "the voids, all together,"
    if off > 0 and change >= sum(f.void_ml for f in fills):
        said = "it is too heavy even unfilled: make its parts smaller, or the target heavier"
        return said, False
    if off > 0:
        return f"make {the_void} {change:.0f} ml smaller, or the target heavier", True
    if change >= MOST_OF_A_PART * part.volume_ml:
        said = "there isn't that much wood to hollow out: make it larger, or the target lighter"
        return said, False
    said = f"make {the_void} {change:.0f} ml larger, take denser shot, or make the target lighter"
    return said, True


def to_size(proof: Proof) -> Iterator[Fault]:
    """What comes off to the finished sizes, said by no step or by two."""
    for name, part in proof.own.items():
        if part.off_g < LEAST_OFF_G:
            continue
        mine = [s for s in proof.own_steps if name in _named(proof, s)]
        sized = [s for s in mine if proof.flat(s).spec.to_size]
        if len(sized) > 1:
            wrong = f"what comes off {name} to its size is taken off twice"
            yield Fault(proof.where(sized[1], "to_size"), wrong, "leave to_size out at one of them")
        where = ("built", name) if part.built else proof.place(name)
        if not sized and not any(s.takes_g for s in mine):
            wrong = f"{show_mass(part.off_g)} come off {name} to its size, and no step takes it off"
            yield Fault(where, wrong, "write to_size = true at the step that shapes it")


def _named(proof: Proof, step: Step) -> tuple[str, ...]:
    """The parts that a step names; all of its piece where it names none."""
    spec = proof.flat(step).spec
    return (step.part,) if step.part else spec.part or tuple(n for _, n in proof.of.parts)


def takes(proof: Proof) -> Iterator[Fault]:
    """Steps that take off more than there is."""
    for step in proof.steps.values():
        weight = sum(w.mass_g for w in proof.parts(step))
        if step.piece and 0.0 < weight < step.takes_g:
            wrong = f"takes {show_mass(step.takes_g)} of a part that weighs {show_mass(weight)}"
            yield Fault(proof.where(step, "takes"), wrong, "write what really comes off")
