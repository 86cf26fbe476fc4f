"""Walls in a glued-up body: whether what is sawn and planed off leaves enough over its voids."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.shapes import Side
from benchmate.procedure.bodies.built import Assembled
from benchmate.procedure.bodies.placing import AXIS
from benchmate.procedure.trade.proof import Proof
from benchmate.quantities import QuantityError, parse_limits, show_length


def sawn(proof: Proof) -> Iterator[Fault]:
    """A body whose finished size, or whose parts, leave less wood over a void than it asks for."""
    piece = proof.first_piece()
    for (owner, name), body in proof.of.made.bodies.items():
        if owner != piece:
            continue
        try:
            wanted = parse_limits("length", body.spec.wall).least if body.spec.wall else None
        except QuantityError as error:
            yield Fault.said(("built", name, "wall"), error)
            continue
        for side, mm in proof.of.made.walls_in(piece, body).faces.items():
            left = mm - _off_mm(body, side)
            if left < (wanted or 0.0) - 1e-6:
                wrong = (
                    f"{show_length(max(0.0, left))} of wood is left over a hollow at the {side}, "
                    f"less than {show_length(wanted or 0.0)}"
                )
                saw = max(0.0, mm - (wanted or 0.0))
                instead = f"take no more than {show_length(saw)} off there, or move the hollow"
                key = "finished_size" if _off_mm(body, side) else "wall"
                yield Fault(("built", name, key), wrong, instead)


def _off_mm(body: Assembled, side: Side) -> float:
    """What comes off a face: half of what the finished size leaves less."""
    if body.spec.finished_size is None:
        return 0.0
    axis = AXIS[side]
    return (body.size_mm[axis] - body.spec.finished_size[axis]) / 2.0
