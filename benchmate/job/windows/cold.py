"""Air too cold for what hands are about to do: spoiled for some families, late for the others.

A water-borne glue or film below its lowest working temperature never becomes a joint or a film,
however long it is left; an epoxy or a solvent finish takes longer. Glue and wood count as much as
air, and they follow it by hours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchmate.air.log import NO_AIR, AirLog
from benchmate.air.readings import Reading
from benchmate.job.state.state import JobState
from benchmate.job.windows.windows import SHOP, Around, view
from benchmate.plan.plan import Step, Window
from benchmate.plan.rates import Family, is_too_cold
from benchmate.quantities.worded import Worded, celsius

FRESH_S = 3 * 3600.0
"""An older reading says too little of the air now to refuse anything by it."""
NIGHT_S = 12 * 3600.0
"""How long glue and wood may remember the coldest air (common practice, no source)."""

LATE: dict[Family, str] = {
    "arrhenius": "it cures much later, and may never get hard right through",
    "evaporation": "it dries later, and may grip or harden poorly",
    "moisture cure": "it cures later, and may stay weak",
}


@dataclass(frozen=True)
class Cold:
    """Why the air is no air to do this in. "spoils": not late; "wood": it was so a while ago."""

    kind: Literal["spoils", "wood", "late"]
    air_c: float
    lowest_c: float
    text: str
    is_sure: bool = True
    """False where a single doubtful reading says so, and no other bears it out."""


def fresh_reading(log: AirLog, at: float) -> Reading | None:
    """The reading that holds at an instant, if it is fresh enough to go by."""
    reading = log.at(at)
    return reading if reading is not None and at - reading.t_s <= FRESH_S else None


def coldest_since(log: AirLog, at: float, span_s: float = NIGHT_S) -> float | None:
    """The lowest air of the last hours; None where nothing fresh is known. A doubtful reading
    that is over says nothing."""
    last = fresh_reading(log, at)
    if last is None:
        return None
    found = (r for r in log.between(at - span_s, at) if not r.is_doubtful or r == last)
    return min(r.temperature_c for r in found)


def cold(
    windows: Sequence[Window], minimum_c: float | None, around: Around, at: float
) -> Cold | None:
    """The gravest thing to say of an act with these windows; None: nothing, or air not known."""
    found = [c for w in windows if (c := _of_window(w, around, at)) is not None]
    if minimum_c is not None:
        log = around.air_of(windows[0]) if windows else around.air.get(SHOP, NO_AIR)
        if (spoils := _spoiling(minimum_c, log, at)) is not None:
            found.append(spoils)
    rank = {"spoils": 0, "wood": 1, "late": 2}
    return min(found, key=lambda c: (rank[c.kind], c.air_c - c.lowest_c), default=None)


def cold_caution(job: JobState, step: Step, around: Around, now: float) -> str | None:
    """What to say of the cold before a step of a job; None where there is nothing to say."""
    found = cold(step.windows, step.minimum_c, around, now)
    return None if found is None or step.address in job.done else found.text


def can_wait(job: JobState, step: Step, around: Around, at: float) -> bool:
    """Whether nothing is spoiled by waiting for warmer air: glue that is spread can't wait."""
    for name in step.within:
        window = job.windows.get(name)
        seen = view(job, window, around, at) if window is not None else None
        if seen is not None and seen.spoils and seen.state in ("open", "closing"):
            return False
    return True


def _of_window(window: Window, around: Around, at: float) -> Cold | None:
    rule, log = window.rule, around.air_of(window)
    if rule.lowest_c is None or rule.family == "constant":
        return None
    if rule.family == "waterborne":
        return _spoiling(rule.lowest_c, log, at)
    reading = fresh_reading(log, at)
    if reading is None or not is_too_cold(rule, reading.temperature_c):
        return None
    text = Worded(
        "Cold at {air}, below {lowest}: {late}. See the maker's data sheet.",
        air=celsius(reading.temperature_c),
        lowest=celsius(rule.lowest_c),
        late=LATE[rule.family],
    )
    return Cold("late", reading.temperature_c, rule.lowest_c, text)


def _spoiling(lowest_c: float, log: AirLog, at: float) -> Cold | None:
    reading, coldest_c = fresh_reading(log, at), coldest_since(log, at)
    if reading is None or coldest_c is None or coldest_c >= lowest_c:
        return None
    if reading.temperature_c < lowest_c:
        text = Worded(
            "Too cold at {air}: below {lowest} the glue or finish won't form properly. Warm glue,"
            " wood and shop first; see the maker's data sheet.",
            air=celsius(reading.temperature_c),
            lowest=celsius(lowest_c),
        )
        is_sure = log.is_borne_out(reading, lowest_c)
        return Cold("spoils", reading.temperature_c, lowest_c, text, is_sure)
    text = Worded(
        "Are the glue and the wood above {lowest} yet? The shop was down to {coldest} in the last"
        " {hours} h.",
        lowest=celsius(lowest_c),
        coldest=celsius(coldest_c),
        hours=f"{NIGHT_S / 3600:.0f}",
    )
    return Cold("wood", coldest_c, lowest_c, text)
