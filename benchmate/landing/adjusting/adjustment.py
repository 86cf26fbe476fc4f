"""The adjustment: what to change in the layers still to come so that a piece lands on its weight.

Model of the pour: the room of a layer is filled by shot (as metal volume) and resin. More shot
drives out resin of its own volume and must be tapped down; less shot leaves room that resin fills.
The least resin is what fills the gaps between the shot: there is never less, since the amounts
always fill the room. The most shot is what lies there tapped down.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.landing.adjusting.reach import Reach, Slot, known_with
from benchmate.landing.course import LayerCourse, PieceCourse, Weight
from benchmate.landing.pour import as_weighed, resin_around
from benchmate.landing.will_weigh import landing


@dataclass(frozen=True, slots=True)
class LayerChange:
    """New amounts for one layer, in g. `tapped`: it has to lie denser than poured."""

    place: int
    name: str
    old_shot_g: float
    new_shot_g: float
    old_resin_g: float
    new_resin_g: float
    tapped: bool = False
    address: str = ""
    """Of the step that pours it."""


@dataclass(frozen=True, slots=True)
class PieceChange:
    """What changes in one piece (nothing, for some of a set), and where that lets it land."""

    piece: str
    changes: tuple[LayerChange, ...]
    would_weigh_g: float
    lands: Weight


def apply(course: PieceCourse, changes: Sequence[LayerChange]) -> PieceCourse:
    """The course with an adjustment taken: its changed layers are poured by weight."""
    new = {
        change.place: as_weighed(layer, change.new_shot_g)
        for change in changes
        if isinstance(layer := course.stages[change.place], LayerCourse)
    }
    return course.with_layers(new)


def bend(reach: Reach, aim_g: float, division_g: float) -> PieceChange:
    """The least change that brings a piece to `aim_g`, or as near as it can be brought.

    Shot to hold back: from as few of the last layers as can carry it. Shot to add: to all layers
    that are weighed out anyway, from the next one on, since room that a layer leaves unused is lost
    to those above it; among layers poured to the line, to the fewest that can carry it. It is
    shared by their room, so that none is tapped harder than need be. Amounts are rounded to the
    scale's division, and what one layer's rounding leaves goes into the next.
    """
    wanted = reach.nearest(aim_g) - reach.will_weigh.g
    changes = _in_divisions(reach.slots, _share_out(reach, wanted), division_g)
    known = known_with(reach.known, {c.place: c.new_shot_g for c in changes})
    if not changes:
        return unchanged(reach)
    return PieceChange(reach.course.piece, changes, reach.will_weigh.g, landing(known))


def unchanged(reach: Reach) -> PieceChange:
    """The piece left as it is."""
    return PieceChange(reach.course.piece, (), reach.will_weigh.g, reach.will_weigh)


def worth_it(reach: Reach, wanted_g: float, division_g: float) -> bool:
    """Whether a correction of `wanted_g` should be offered now.

    Never when it is smaller than the scale's division or than the doubt about what it corrects.
    Before the last layer only when it is more than the weighings to come would bring of
    themselves, or when the next layer's room would be missed later. At the last layer also when
    the amounts are right but pouring to the line would lose them again.
    """
    if not reach.slots:
        return False
    least = max(division_g, reach.fill_u_g)
    if len(reach.slots) == 1 and reach.slots[0].layer.by == "line":
        by_line = math.sqrt(max(0.0, reach.will_weigh.u_g**2 - reach.land_u_g**2))
        return max(abs(wanted_g), by_line) > least
    if abs(wanted_g) <= least:
        return False
    needs_the_next = len(_fewest(reach, wanted_g)) == len(reach.slots)
    return needs_the_next or abs(wanted_g) > reach.moves_g


def _share_out(reach: Reach, wanted_g: float) -> dict[int, float]:
    """Shot per layer, by place, for the layers that change, each by its share of the room."""
    carriers = _carriers(reach, wanted_g)
    rooms = [slot.up_g if wanted_g > 0.0 else slot.down_g for slot in carriers]
    if sum(rooms) <= 0.0:
        return {slot.place: slot.shot_g for slot in carriers[-1:]}
    share = wanted_g / sum(rooms)
    return {
        slot.place: slot.shot_g + share * room / slot.lands_per_g
        for slot, room in zip(carriers, rooms, strict=True)
    }


def _in_divisions(
    slots: Sequence[Slot], shot_g: dict[int, float], division_g: float
) -> tuple[LayerChange, ...]:
    """Each layer's change in whole divisions; what is rounded off is made up for in the next."""
    found, owed_g = [], 0.0
    for slot in slots:
        if slot.place not in shot_g:
            continue
        change = _change(slot, shot_g[slot.place] + owed_g, division_g)
        given_g = slot.shot_g if change is None else change.new_shot_g
        owed_g += shot_g[slot.place] - given_g
        found += [] if change is None else [change]
    return tuple(found)


def _carriers(reach: Reach, wanted_g: float) -> tuple[Slot, ...]:
    """The layers that a correction is shared among: see `bend`."""
    fewest = _fewest(reach, wanted_g)
    if wanted_g <= 0.0:
        return fewest
    weighed = 0
    for slot in reversed(reach.slots):
        if slot.layer.by != "weight":
            break
        weighed += 1
    return reach.slots[-max(len(fewest), weighed) :]


def _fewest(reach: Reach, wanted_g: float) -> tuple[Slot, ...]:
    """The fewest layers, counted from the last, that can carry a correction.

    They must have room as well for what the weighings before the last layer may still bring: shot
    can always be held back, but what would not go in can't be made up for.
    """
    slots = reach.slots
    for first in range(len(slots) - 1, 0, -1):
        if wanted_g <= 0.0:
            kept, room = reach.moves_g, sum(slot.down_g for slot in slots[first:])
        else:
            others = sum(slot.up_g for slot in slots[:first])
            kept, room = 2.0 * reach.moves_g, reach.high_g - reach.will_weigh.g - others
        if abs(wanted_g) + kept <= room:
            return slots[first:]
    return slots


def _change(slot: Slot, shot_g: float, division_g: float) -> LayerChange | None:
    """The change in steps of the scale; None when the layer would be poured as before."""
    layer = slot.layer
    new_shot = _in_steps(shot_g, division_g)
    if layer.by == "weight" and abs(new_shot - layer.shot_g) < division_g / 2.0:
        return None
    resin_g = resin_around(layer.fill, layer.void_ml, new_shot)
    return LayerChange(
        place=slot.place,
        name=layer.name,
        old_shot_g=layer.shot_g,
        new_shot_g=new_shot,
        old_resin_g=layer.resin_g,
        new_resin_g=_in_steps(resin_g, division_g),
        tapped=new_shot > slot.loose_g + division_g / 2.0,
        address=layer.address,
    )


def _in_steps(value_g: float, division_g: float) -> float:
    """Rounded to whole divisions, and to a number that prints as one."""
    return max(0.0, round(round(value_g / division_g) * division_g, 6))
