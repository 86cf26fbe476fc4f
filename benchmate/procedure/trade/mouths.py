"""Voids that can't be poured, or not any more: closed, filled already, or leaking."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Fill, Step
from benchmate.procedure.bodies.bodies import Hollow, Worked
from benchmate.procedure.bodies.placing import offset_of, side_of
from benchmate.procedure.bodies.shapes import deep_of
from benchmate.procedure.file.part_schema import Shape
from benchmate.procedure.trade.proof import CLOSED_MOUTH, PLUGGED, Proof
from benchmate.reckon.solids.assembly import overlapping
from benchmate.reckon.solids.body import Body

COVERS = 0.5
"""A joint that takes in less than this share of the wood around a mouth doesn't close it: a column
on a foot, a handle in a head."""
TOUCHING_MM = 0.01
_ROUND_HOLES = ("bore", "cylinder")


def closed(proof: Proof) -> Iterator[Fault]:
    """A pour into a part whose mouth was glued shut before."""
    for fill, pour in pours_of(proof):
        part = proof.own[fill.part]
        for glue in proof.before(pour):
            if not proof.flat(glue).spec.glues or not _covers(proof, glue, fill.part, part):
                continue
            wrong = (
                f"“{proof.flat(glue).group}” closes {fill.part} before: there is no mouth left to "
                "pour into"
            )
            yield Fault(proof.where(pour), wrong, "pour before it is closed", CLOSED_MOUTH)
            break


def _covers(proof: Proof, glue: Step, name: str, part: Worked) -> bool:
    """Whether what is glued on it takes in much of the wood round the part's mouth.

    A body's own glue-up leaves open what its parts leave between them.
    """
    mine, spec = proof.parts(glue), proof.flat(glue).spec
    if name not in {w.name for w in mine} or (part.built and spec.part == (name,)):
        return False
    inside = (name, *part.built)
    others = [w.joint_mm2 for w in mine if w.name not in inside and not w.built]
    joint = spec.area or sum(others)
    return bool(others) and joint >= COVERS * part.joint_mm2


def twice(proof: Proof) -> Iterator[Fault]:
    """Two pours into one void."""
    seen: dict[str, str] = {}
    for fill, pour in pours_of(proof):
        group = proof.flat(pour).group
        if seen.setdefault(fill.where, group) != group:
            wrong = f"“{seen[fill.where]}” has filled the void of {fill.where} already"
            yield Fault(proof.where(pour), wrong, "name another void, or leave one pour out")


def holes(proof: Proof) -> Iterator[Fault]:
    """Bores that run into a void, or on from its floor: resin runs out there."""
    for name, part in proof.own.items():
        for number, hole in enumerate(part.spec.minus if part.hollows else ()):
            bore = _named(part.body, f"{name}.minus[{number + 1}]")
            if hole.shape in _ROUND_HOLES and _leaks(part, hole, bore):
                wrong = "this bore runs into the void: resin would run out of it"
                where = (*proof.place(name), "minus", number)
                yield Fault(where, wrong, "move it, or make it shorter", PLUGGED)


def _leaks(part: Worked, hole: Shape, bore: Body | None) -> bool:
    first = len(part.spec.minus) + 1
    for number, hollow in enumerate(part.hollows, start=first):
        body = _named(part.body, f"{part.name}.minus[{number}]")
        if hollow.spec.minus:
            continue  # What stands in it may be what goes through.
        if bore is not None and body is not None and overlapping(bore, body):
            return True
        if _through_floor(part, hole, hollow):
            return True
    return False


def _named(body: Body | None, name: str) -> Body | None:
    """One of a body's hollows; None where it has become one with another on the same axis."""
    return next((v for v in (body.voids if body else ()) if v.name.startswith(name)), None)


def _through_floor(part: Worked, hole: Shape, hollow: Hollow) -> bool:
    """Whether a bore on the void's own axis goes on where the void ends."""
    void = hollow.spec
    if void.shape == "ring" or side_of(part.spec, hole) != hollow.side:
        return False
    places = zip(offset_of(part.spec, hole), offset_of(part.spec, void), strict=True)
    floor = void.down + hollow.deep_mm + TOUCHING_MM
    inside = max(abs(a - b) for a, b in places) < hollow.gap_mm / 2.0
    return inside and hole.down <= floor < hole.down + deep_of(hole)


def pours_of(proof: Proof) -> Iterator[tuple[Fill, Step]]:
    """The first piece's fills, each with its first layer's step."""
    return ((fill, proof.steps[fill.layers[0].address]) for fill in proof.own_fills)
