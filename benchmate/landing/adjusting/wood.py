"""The last adjustment is wood: what is still to be sanded or turned off lands the pieces.

Once everything is poured, weight can only be taken off, at a step that takes some anyway. How much
is then no longer the plan's guess but what brings the piece to its target, or a set to one weight.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.landing.course import CourseChange, PieceCourse
from benchmate.landing.will_weigh import WillWeigh, all_will_weigh
from benchmate.landing.words import Say, capital, grams, light_or_heavy, step_for

MOST_OVER_PLAN = 2.0
"""At most so many times the plan's wood comes off before sizes and walls suffer: common practice,
no source."""


@dataclass(frozen=True, slots=True)
class WoodOff:
    """How much one piece should lose at its next step that takes wood, and where that lands it.

    `short_g` is by how much it then still misses its target (below zero: too light).
    """

    piece: str
    address: str
    stage: str
    planned_g: float
    take_g: float
    lands_g: float
    short_g: float
    sentence: str


@dataclass(frozen=True, slots=True)
class _Room:
    """Between which finished weights a piece can be brought, by taking all there is or nothing."""

    course: PieceCourse
    found: WillWeigh
    place: int

    @property
    def stage(self) -> CourseChange:
        stage = self.course.stages[self.place]
        assert isinstance(stage, CourseChange), "`_next_taking` names changes only"
        return stage

    @property
    def planned_g(self) -> float:
        return -self.stage.adds_g

    @property
    def high_g(self) -> float:
        return self.found.mass_g + self.planned_g

    @property
    def low_g(self) -> float:
        return self.found.mass_g - (MOST_OVER_PLAN - 1.0) * self.planned_g


def wood_off(
    courses: Sequence[PieceCourse],
    match_g: float | None = None,
    division_g: float = 1.0,
    say: Say = grams,
) -> tuple[WoodOff, ...]:
    """What to take off each piece whose next change is wood, with nothing left to pour.

    Pieces that must match aim at one weight that all of them can reach, the target where it is
    among those. Empty where the plan's own amounts will do.
    """
    made = list(zip(courses, all_will_weigh(courses), strict=True)) if courses else []
    if any(course.still_to_pour for course in courses):
        return ()
    rooms = [_Room(c, found, p) for c, found in made if (p := _next_taking(c)) is not None]
    if not rooms:
        return ()
    fixed = [found.mass_g for c, found in made if _next_taking(c) is None]
    matched = match_g is not None and len(made) > 1
    common = _common(rooms, fixed) if matched else None
    found_all = [_off(room, common, division_g, say) for room in rooms]
    worth = any(abs(off.take_g - off.planned_g) >= division_g for off in found_all)
    return tuple(found_all) if worth else ()


def _next_taking(course: PieceCourse) -> int | None:
    """The next step that may set the weight, if it takes wood off."""
    open_ = [
        i
        for i, s in enumerate(course.stages)
        if isinstance(s, CourseChange) and not s.done and s.adjustable
    ]
    if not open_:
        return None
    stage = course.stages[open_[0]]
    return open_[0] if stage.planned_g < 0.0 else None


def _common(rooms: Sequence[_Room], fixed: Sequence[float]) -> float:
    """One weight for all: as near to the target as every piece can come; finished twins stand."""
    low = max([room.low_g for room in rooms])
    high = min([room.high_g for room in rooms])
    if fixed:
        aim = sum(fixed) / len(fixed)
    else:
        target_g = rooms[0].course.target_g
        aim = target_g if target_g is not None else min(r.found.mass_g for r in rooms)
    return min(max(aim, low), high) if low <= high else (low + high) / 2.0


def _off(room: _Room, common: float | None, division_g: float, say: Say) -> WoodOff:
    target_g = room.course.target_g
    aim = common if common is not None else target_g
    aim = room.found.mass_g if aim is None else aim
    lands_g = min(max(aim, room.low_g), room.high_g)
    take_g = room.high_g - lands_g
    short_g = 0.0 if target_g is None else lands_g - target_g
    words = _sentence(room, take_g, lands_g, short_g, division_g, say)
    return WoodOff(
        room.found.piece,
        room.course.address,
        room.stage.name,
        room.planned_g,
        take_g,
        lands_g,
        short_g,
        words,
    )


def _sentence(
    room: _Room, take_g: float, lands_g: float, short_g: float, division_g: float, say: Say
) -> str:
    """ "Bookend A, sand the outside: take 11 g off in place of 8 g; it then weighs 850 g." """
    lead = f"{capital(room.found.piece)}, {room.stage.name}: take "
    amount = f"{say(take_g, division_g)} off"
    if take_g < division_g / 2.0:
        amount = "no wood off"
    if abs(take_g - room.planned_g) >= division_g:
        amount += f" in place of {say(room.planned_g, division_g)}"
    step = max(division_g, step_for(room.found.u_g))
    tolerance_g = room.course.tolerance_g
    off = ""
    if tolerance_g is not None and abs(short_g) > tolerance_g:
        off = f", {light_or_heavy(short_g, step, say)}"
    return f"{lead}{amount}; it then weighs {say(lands_g, step)}{off}."
