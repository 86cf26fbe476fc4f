"""How far the layers still to come can bend a piece's heading."""

import math
from dataclasses import dataclass, replace

from benchmate.landing.ahead import (
    STANDING,
    covariance,
    lands_per_g,
    mean,
    room,
    terms,
    total,
)
from benchmate.landing.course import LayerCourse, PieceCourse, Weight
from benchmate.landing.follow import KnownWeight
from benchmate.landing.pour import as_weighed
from benchmate.landing.will_weigh import landing

_ROOM_KEPT = 1.0
"""Standard deviations of room kept back, all layers together: an amount that is asked for should
go in five times of six. What doesn't is seen at the next weighing."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A layer still to come that could be poured by weight.

    `shot_g` is what it would hold as planned, `most_g` tapped down; `lands_per_g` is what one more
    gram of shot adds, since it drives out resin of its own volume.
    """

    place: int
    layer: LayerCourse
    shot_g: float
    loose_g: float
    most_g: float
    lands_per_g: float

    @property
    def up_g(self) -> float:
        """How much heavier the layer can be made."""
        return max(0.0, (self.most_g - self.shot_g) * self.lands_per_g)

    @property
    def down_g(self) -> float:
        """How much lighter: no shot at all, resin alone."""
        return self.shot_g * self.lands_per_g


@dataclass(frozen=True, slots=True)
class Reach:
    """A piece's heading and how far it can be moved.

    `low_g` and `high_g` are the finished weights it can be brought to. `fill_u_g` is the doubt
    about the weight right after the fill, if poured by weight: a smaller correction would be
    guessing. `moves_g` is how far the weighings before the last layer should still move the
    heading (one standard deviation): a smaller correction can wait for them.
    """

    known: KnownWeight
    will_weigh: Weight
    slots: tuple[Slot, ...]
    low_g: float
    high_g: float
    land_u_g: float
    fill_u_g: float
    moves_g: float

    def nearest(self, aim_g: float | None) -> float:
        """The finished weight nearest to `aim_g` that the layers still to come can bring about."""
        if aim_g is None:
            return self.will_weigh.g
        return min(max(aim_g, self.low_g), self.high_g)

    @property
    def course(self) -> PieceCourse:
        """The course as it stands."""
        return self.known.course


def reach_of(known: KnownWeight) -> Reach:
    """Work out how far a piece can be moved by pouring its remaining layers by weight."""
    found = landing(known)
    slots = tuple(_slot(known, place) for place in known.course.still_to_pour)
    weighed = known_with(known, {slot.place: slot.shot_g for slot in slots})
    up_g = _all_together_up(known, slots)
    return Reach(
        known=known,
        will_weigh=found,
        slots=slots,
        low_g=found.g - sum(slot.down_g for slot in slots),
        high_g=found.g + up_g,
        land_u_g=landing(weighed).u_g if slots else found.u_g,
        fill_u_g=_fill_doubt(weighed),
        moves_g=_moves(known, slots),
    )


def known_with(known: KnownWeight, shot_g: dict[int, float]) -> KnownWeight:
    """What is known stays; the layers named (by place) get this shot, weighed out."""
    stages = known.course.stages
    new = {
        place: as_weighed(layer, grams)
        for place, grams in shot_g.items()
        if isinstance(layer := stages[place], LayerCourse)
    }
    return replace(known, course=known.course.with_layers(new))


def _slot(known: KnownWeight, place: int) -> Slot:
    layer = known.course.stages[place]
    assert isinstance(layer, LayerCourse), "`still_to_pour` names layers only"
    loose = mean(known, room(known, place, 0.0))
    shot_g = layer.shot_g if layer.by == "weight" else loose
    most = max(shot_g, mean(known, room(known, place, layer.fill.packing.tapped_gain)))
    return Slot(place, layer, shot_g, loose, most, lands_per_g(known, layer))


def _all_together_up(known: KnownWeight, slots: tuple[Slot, ...]) -> float:
    """How much heavier all layers together can be made, with room kept for what isn't known.

    A layer may end above its line, since the next one gives way; so only the room of all of them
    counts, and its doubt is the doubt of the whole.
    """
    if not slots:
        return 0.0
    full = total([room(known, s.place, s.layer.fill.packing.tapped_gain) for s in slots])
    doubt = math.sqrt(covariance(known, full, full))
    slope = slots[-1].lands_per_g
    return max(0.0, sum(slot.up_g for slot in slots) - _ROOM_KEPT * doubt * slope)


def _fill_doubt(weighed: KnownWeight) -> float:
    layers = set(weighed.course.still_to_pour)
    poured = total([STANDING, *(term for place, term in terms(weighed) if place in layers)])
    return math.sqrt(covariance(weighed, poured, poured) + weighed.course.scale_u_g**2)


def _moves(known: KnownWeight, slots: tuple[Slot, ...]) -> float:
    """Standard deviation of the heading's coming moves by weighings before the last layer.

    What a reading will do to a mean is known beforehand but for its sign: covariance of the two
    over the deviation of the reading.
    """
    if len(slots) < 2:
        return 0.0
    sums = terms(known)
    last = slots[-1].place
    layers = {slot.place for slot in slots} - {last}
    before = total([term for place, term in sums if place in layers])
    fill = total([term for place, term in sums if place in layers or place == last])
    spread = covariance(known, before, before)
    return abs(covariance(known, before, fill)) / math.sqrt(spread) if spread > 0.0 else 0.0
