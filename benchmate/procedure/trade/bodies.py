"""Walls in a glued-up body: whether what is sawn and planed off leaves enough over its voids."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.shapes import Side
from benchmate.procedure.bodies.body_walls import ToOutside
from benchmate.procedure.bodies.placing import AXIS
from benchmate.procedure.trade.proof import THIN_WALL, USUAL_WALL_MM, Proof
from benchmate.quantities import QuantityError, parse_limits, show_length


def sawn(proof: Proof) -> Iterator[Fault]:
    """A body whose finished size, chamfer or parts leave less wood over a hollow than is asked for;
    over a void where nothing is asked for, less than is usual."""
    piece = proof.first_piece()
    for (owner, name), body in proof.of.made.bodies.items():
        if owner != piece:
            continue
        try:
            if body.spec.wall:
                parse_limits("length", body.spec.wall)
        except QuantityError as error:
            yield Fault.said(("built", name, "wall"), error)
            continue
        short: dict[Side | None, ToOutside] = {}
        for wall in proof.of.made.walls_in(piece, body).outer:
            side = wall.left.side
            if _lacks(wall) > (_lacks(short[side]) if side in short else 1e-6):
                short[side] = wall
        if len(short) > 1:
            # What is sawn too near brings the chamfers with it.
            short.pop(None, None)
        for alike in _alike(short.values()):
            yield _fault(name, alike)


def _alike(walls: Iterable[ToOutside]) -> Iterable[list[ToOutside]]:
    """Faces of which the same is to be said."""
    groups: dict[object, list[ToOutside]] = {}
    for wall in walls:
        same = (round(wall.left.mm, 3), wall.off_mm, _wanted(wall), wall.left.side is None)
        groups.setdefault(same, []).append(wall)
    return groups.values()


def _wanted(wall: ToOutside) -> float:
    return wall.asked_mm or (USUAL_WALL_MM if wall.is_void else 0.0)


def _lacks(wall: ToOutside) -> float:
    """How much wood is missing; nothing where the void itself is said to lie too near."""
    own = (wall.own_mm or USUAL_WALL_MM) if wall.is_void and wall.left.side else 0.0
    is_said = wall.left.mm + wall.off_mm < own - 1e-6
    return 0.0 if is_said else _wanted(wall) - wall.left.mm


def _fault(name: str, alike: list[ToOutside]) -> Fault:
    wall, wanted = alike[0], _wanted(alike[0])
    sides = {w.left.side for w in alike}
    faces = " and ".join(f"the {side}" for side in AXIS if side in sides)
    place = f"at {faces}" if wall.left.side else "under the chamfer"
    wrong = (
        f"{show_length(max(0.0, wall.left.mm))} of wood is left over a hollow {place}, "
        f"less than {show_length(wanted)}"
    )
    if not wall.left.side:
        key, instead = "chamfer", "make the chamfer smaller, or move the hollow"
    else:
        saw = show_length(max(0.0, wall.left.mm + wall.off_mm - wanted))
        instead = f"take no more than {saw} off there, or move the hollow"
        key = "finished_size" if wall.off_mm else "wall"
    return Fault(("built", name, key), wrong, instead, "" if wall.asked_mm else THIN_WALL)
