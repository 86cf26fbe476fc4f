"""Turned parts on one axis become one profile, so that a stepped bore counts its overlap once."""

from collections.abc import Sequence

from benchmate.reckon.solids.body import Body, single
from benchmate.reckon.solids.leaves import Turned
from benchmate.reckon.solids.placing import NEAR_MM, Placing, less
from benchmate.reckon.solids.profiles import joined


def merged(bodies: Sequence[Body]) -> list[Body]:
    """The bodies, with coaxial turned ones that touch or overlap made into one each."""
    rest: list[Body] = []
    for body in bodies:
        rest = _with(rest, body)
    return rest


def _with(rest: list[Body], body: Body) -> list[Body]:
    for index, other in enumerate(rest):
        both = _as_one(other, body)
        if both is not None:
            return _with(rest[:index] + rest[index + 1 :], both)
    return [*rest, body]


def _as_one(first: Body, second: Body) -> Body | None:
    one, two = _turned(first), _turned(second)
    if one is None or two is None:
        return None
    (leaf, where), (other, its) = one, two
    sense = _sense(where, its)
    start = where.own_point(its.at)
    if sense == 0 or max(abs(start[1]), abs(start[2])) > NEAR_MM:
        return None
    runs = [run.flipped(sense, start[0]) for run in other.profile]
    profile = joined(leaf.profile, tuple(runs if sense > 0 else reversed(runs)))
    if profile is None:
        return None
    return single(f"{first.name} with {second.name}", Turned(profile), where)


def _turned(body: Body) -> tuple[Turned, Placing] | None:
    piece = body.piece
    if piece is None or body.voids or not isinstance(piece.leaf, Turned):
        return None
    return piece.leaf, piece.where


def _sense(where: Placing, its: Placing) -> int:
    """1 when both axes run the same way, -1 against each other, 0 when they cross."""
    axis, other = where.direction((1.0, 0.0, 0.0)), its.direction((1.0, 0.0, 0.0))
    if max(map(abs, less(axis, other))) < 1e-9:
        return 1
    against = (-other[0], -other[1], -other[2])
    return -1 if max(map(abs, less(axis, against))) < 1e-9 else 0
