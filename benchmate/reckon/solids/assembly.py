"""Shapes put together: parts added, voids cut, and what that leaves.

Surface: where a void opens at a flat face, its mouth is taken off twice (once from the face, once
from the void's own surface), so that what is left is the surface a finish would meet. The same is
done where a flat face of one part stands wholly on another. Where a mouth or joint is only partly
flat, a note says that the surface counts too large.

Parts that overlap, holes that cross, and a hole that runs out through a curved side are counted
once, by points; the volume then has an uncertainty and the surface isn't worked out.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids.body import AXES, Body
from benchmate.reckon.solids.leaves import Flat
from benchmate.reckon.solids.placing import NEAR_MM, Vec, dot, less, moved
from benchmate.reckon.solids.sampling import Amount, sampled
from benchmate.reckon.solids.second import put_together

_PROBE_MM = 1e-4
_SHRINK = 1e-3
_FACING = (("+x", "-x"), ("-x", "+x"), ("+y", "-y"), ("-y", "+y"), ("+z", "-z"), ("-z", "+z"))


def assembled(name: str, parts: Sequence[Body], voids: Sequence[Body]) -> Body:
    """The parts together, less the voids.

    Raises Refused when a void sticks out of the parts, misses them, or leaves nothing.
    """
    total = _Sum()
    for index, part in enumerate(parts):
        total.add(part, parts[:index])
    solid = Body(name, 0.0, None, (0.0, 0.0, 0.0), parts=tuple(parts))
    for index, void in enumerate(voids):
        total.cut(void, solid, voids[:index])
    volume = math.fsum(sign * amount.volume for sign, amount in total.amounts)
    if volume <= 0.0:
        raise Refused(f"{name}: the voids take all of it, and no volume is left")
    centre = _centre(total.amounts, volume)
    below = [note for body in (*parts, *voids) for note in body.notes]
    return Body(
        name,
        volume,
        total.surface,
        centre,
        tuple(total.flats),
        parts=tuple(parts),
        voids=tuple(voids),
        notes=tuple(dict.fromkeys((*below, *total.notes))),
        u_volume=math.hypot(*(amount.u for _, amount in total.amounts)),
        made_second=put_together(
            [(sign, a.volume, a.centre, a.second) for sign, a in total.amounts], centre
        ),
    )


@dataclass
class _Sum:
    """What adds up while parts and voids are put together."""

    surface: float | None = 0.0
    amounts: list[tuple[float, Amount]] = field(default_factory=list)
    flats: list[Flat] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, part: Body, before: Sequence[Body]) -> None:
        """Add a part to those before it; what they share counts once."""
        shared = [other for other in before if overlapping(part, other)]
        if shared:
            amount = sampled(part, lambda p: not any(other.contains(p) for other in shared))
            self._by_points(part, 1.0, amount, "adds nothing: it lies inside the others")
            return
        for other in before:
            self._join(part, other)
        self._exactly(part, 1.0)
        self.flats.extend(part.flats)

    def cut(self, void: Body, solid: Body, before: Sequence[Body]) -> None:
        """Cut a void; only what is there, and not cut yet, is taken."""
        _refuse_sticking_out(void, solid)
        crossed = [other for other in before if overlapping(void, other)]
        if crossed or not _is_inside(void, solid):
            amount = sampled(
                void,
                lambda p: solid.contains(p) and not any(other.contains(p) for other in crossed),
            )
            self._by_points(void, -1.0, amount, "takes nothing: there is no wood where it lies")
            return
        for other in before:
            self._join(void, other)
        self._note(self._take_off(void, solid, inward=True), void)
        self._exactly(void, -1.0)

    def _exactly(self, body: Body, sign: float) -> None:
        self.amounts.append((sign, Amount(body.volume, body.centre, body.second, body.u_volume)))
        both_known = self.surface is not None and body.surface is not None
        self.surface = (self.surface or 0.0) + (body.surface or 0.0) if both_known else None

    def _by_points(self, body: Body, sign: float, amount: Amount, nothing: str) -> None:
        if amount.volume <= 0.0:
            raise Refused(f"{body.name} {nothing}; move it with at_mm or turn it with along")
        self.amounts.append((sign, amount))
        self.surface = None
        self.notes.append(
            f"{body.name} crosses another shape or a curved side: its volume is found by points, "
            "and the surface isn't worked out."
        )

    def _join(self, one: Body, two: Body) -> None:
        """Take off the flat faces of one that stand wholly on the other, either way round."""
        share = self._take_off(one, two, inward=False)
        if share < 1.0:
            share = max(share, self._take_off(two, one, inward=False))
        self._note(share, one)

    def _note(self, share: float, who: Body) -> None:
        if 0.0 < share < 1.0:
            self.notes.append(
                f"{who.name} lies only partly on a flat face: there the surface counts too large."
            )

    def _take_off(self, one: Body, two: Body, *, inward: bool) -> float:
        """The greatest share of a face that lies on the other's surface; 1 means taken off.

        A joint has the other body in front of the face, a void's mouth has it behind.
        """
        shares = [0.0]
        for flat in one.flats:
            shares.append(_share_on(flat, two, inward=inward))
            if shares[-1] == 1.0:
                self.surface = None if self.surface is None else self.surface - 2.0 * flat.area
                self._shrink(flat, inward=inward)
        return max(shares)

    def _shrink(self, flat: Flat, *, inward: bool) -> None:
        """Take the face off the one it lies in, so that a later joint there counts what is left."""
        sense = 1.0 if inward else -1.0
        for index, mine in enumerate(self.flats):
            level = abs(dot(mine.normal, less(mine.middle, flat.middle))) <= _PROBE_MM
            if level and dot(mine.normal, flat.normal) * sense > 1.0 - 1e-9:
                self.flats[index] = mine.smaller_by(flat.area)
                return


def _share_on(flat: Flat, other: Body, *, inward: bool) -> float:
    """The share of a face's points that lie on the other's surface."""
    step = -_PROBE_MM if inward else _PROBE_MM
    count = 0
    for point in flat.points:
        near = moved(point, less(flat.middle, point), _SHRINK)
        ahead, behind = moved(near, flat.normal, step), moved(near, flat.normal, -step)
        count += other.contains(ahead) and not other.contains(behind)
    return count / len(flat.points)


def overlapping(one: Body, two: Body) -> bool:
    """Whether two shapes share room; touching isn't sharing."""
    if any(one.box[a] + two.box[b] <= NEAR_MM for a, b in _FACING):
        return False
    return _reaches_into(one, two) or _reaches_into(two, one)


def _reaches_into(one: Body, two: Body) -> bool:
    drawn_in = (moved(point, less(one.centre, point), 1e-6) for point in one.samples)
    return any(one.contains(p, NEAR_MM) and two.contains(p, -NEAR_MM) for p in drawn_in)


def _refuse_sticking_out(void: Body, solid: Body) -> None:
    for axis, n in AXES.items():
        beyond = void.box[axis] - solid.reach(n)
        if beyond > NEAR_MM:
            raise Refused(
                f"{void.name} sticks out of the body by {beyond:.4g} mm along {axis}; shorten it, "
                "move it with at_mm or turn it with along"
            )


def _is_inside(void: Body, solid: Body) -> bool:
    drawn_in = (moved(point, less(void.centre, point), 1e-6) for point in void.samples)
    return all(solid.contains(p, 2.0 * NEAR_MM) for p in drawn_in if void.contains(p, NEAR_MM))


def _centre(amounts: Sequence[tuple[float, Amount]], volume: float) -> Vec:
    x, y, z = (
        math.fsum(sign * amount.volume * amount.centre[i] for sign, amount in amounts) / volume
        for i in range(3)
    )
    return (x, y, z)
