"""A typed reading that looks like a slip: why it is asked about, and what was likely meant.

Asking costs a key, a wrong reading moves every window: so more is asked about here than a file's
readings are questioned for (see `readings.absurd`). Bounds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading, absurd
from benchmate.quantities.doubts import SHOP_C, celsius_meant, fraction_meant
from benchmate.quantities.worded import Worded, celsius
from benchmate.refusal import Refused

USUAL_C = (-10.0, 40.0)
"""What a shop that is worked in has; beyond it a reading is asked about."""
LIKELY_C = SHOP_C
"""Where a reading that was meant is looked for when no other is near in time."""
STEP_C, STEP_WITHIN_S = 8.0, 30 * 60.0
"""Air that goes further than this so soon is asked about: an open door in winter may do it."""
NEAR_C, NEAR_S = 4.0, 6 * 3600.0
"""A likely reading is this near to one of these last hours."""


class Doubt(NamedTuple):
    """Why a reading is asked about, and what was likely meant instead (None: nothing is)."""

    text: str
    meant: Reading | None = None
    slip: str = ""
    other: Reading | None = None
    """The reading near in time that it is too far from; None: it is rare air by itself."""


class DoubtfulAir(Refused):
    """A reading that looks like a slip. Recorded all the same when the maker says it stands."""

    def __init__(self, doubt: Doubt, *, is_impossible: bool = False) -> None:
        super().__init__(_asked(doubt))
        self.doubt = doubt
        self.is_impossible = is_impossible
        """No word of the maker's makes it a reading."""


def doubt_of(log: AirLog, new: Reading) -> Doubt | None:
    """Whether to ask before a reading is recorded into a log; None: it may well be right."""
    other = None if _is_rare(new) else _far_from(log, new)
    strange = absurd(None, new) or strange_text(new, other) or _frost(log, new)
    if strange is None:
        return None
    meant, slip = _meant(log, new) or (None, "")
    return Doubt(strange, meant, slip, other)


def _frost(log: AirLog, new: Reading) -> str | None:
    """Frost that nothing bears out, and that is a shop's usual number in the other scale."""
    near = (r for r in _beside(log, new) if abs(r.t_s - new.t_s) <= NEAR_S)
    if celsius_meant(new.temperature_c) is None or any(
        abs(r.temperature_c - new.temperature_c) <= NEAR_C for r in near
    ):
        return None
    return Worded("{air} is cold for a shop.", air=celsius(new.temperature_c))


def is_impossible(new: Reading) -> bool:
    """Whether no word of the maker makes it a reading."""
    return absurd(None, new) is not None


def _asked(doubt: Doubt) -> str:
    if doubt.meant is None:
        return doubt.text
    return Worded(
        "{why} {slip}: {meant}{damp}?",
        why=doubt.text,
        slip=doubt.slip,
        meant=celsius(doubt.meant.temperature_c),
        damp="" if doubt.meant.humidity_pct is None else f", {doubt.meant.humidity_pct:g} %",
    )


def strange_text(new: Reading, other: Reading | None) -> str | None:
    """What is strange about a reading, or about it beside `other`; None where nothing is."""
    if other is None:
        rare = _is_rare(new)
        return (
            Worded("{air} is rare air for a shop.", air=celsius(new.temperature_c))
            if rare
            else None
        )
    first, then = (other, new) if other.t_s <= new.t_s else (new, other)
    return Worded(
        "{old} to {new} in {minutes} min is a big jump for a shop.",
        old=celsius(first.temperature_c),
        new=celsius(then.temperature_c),
        minutes=f"{max(1.0, (then.t_s - first.t_s) / 60.0):.0f}",
    )


def _is_rare(new: Reading) -> bool:
    low, high = USUAL_C
    return not low <= new.temperature_c <= high


def _far_from(log: AirLog, new: Reading) -> Reading | None:
    """The reading near in time that a new one is too far from."""
    for other in _beside(log, new):
        is_near = abs(new.t_s - other.t_s) <= STEP_WITHIN_S
        if is_near and abs(new.temperature_c - other.temperature_c) > STEP_C:
            return other
    return None


def _beside(log: AirLog, new: Reading) -> Iterable[Reading]:
    """The readings before and after it in time."""
    return (r for r in (log.at(new.t_s), log.after(new.t_s)) if r is not None)


def _meant(log: AirLog, new: Reading) -> tuple[Reading, str] | None:
    """The first slip that would make it a likely reading, with the slip's name."""
    near = [r.temperature_c for r in _beside(log, new) if abs(r.t_s - new.t_s) <= NEAR_S]
    for meant, slip in _slips(new):
        celsius_c = meant.temperature_c
        if near and any(abs(celsius_c - c) <= NEAR_C for c in near):
            return meant, slip
        if not near and LIKELY_C[0] <= celsius_c <= LIKELY_C[1]:
            return meant, slip
    return None


def _slips(new: Reading) -> Iterable[tuple[Reading, str]]:
    c, damp = new.temperature_c, new.humidity_pct
    if (percent := fraction_meant(damp)) is not None:
        yield new._replace(humidity_pct=percent), "A fraction for per cent"
    yield new._replace(temperature_c=(c - 32.0) / 1.8), "Read in °F"
    yield new._replace(temperature_c=c * 1.8 + 32.0), "Read in °C"
    if damp is not None and 0.0 <= c <= 100.0:
        yield new._replace(temperature_c=damp, humidity_pct=c), "Humidity typed first"
    yield new._replace(temperature_c=c / 10.0), "A decimal point left out"
    yield new._replace(temperature_c=c * 10.0), "A decimal point too early"
    yield new._replace(temperature_c=-c), "A minus sign"
    yield new._replace(temperature_c=c + 10.0), "A first digit left out or mistaken"
    yield new._replace(temperature_c=c - 10.0), "A first digit mistaken"
