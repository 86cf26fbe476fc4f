"""Damp air before a coat, and a blank that isn't at home in the shop's air.

Both need a humidity: where nobody has read one nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.windows.cold import NIGHT_S, coldest_since, fresh_reading
from benchmate.job.windows.windows import SHOP, Around
from benchmate.plan.plan import Step, Window
from benchmate.quantities.worded import Worded

WET_ACTS = ("coated", "spread")
AT_HOME_S = 14 * 86400.0
"""A thick blank follows the air over weeks: what it has stood in so long is taken for its home
(common practice, no source)."""
LEAST_KNOWN_S = 2 * 86400.0
"""A shorter log says nothing of where a blank is at home."""


def dew_caution(step: Step, around: Around, now: float) -> str | None:
    """What to say before a coat or a glue goes on a piece that may be colder than the air.

    The surface is taken to be as cold as the air was at its coldest in the last NIGHT_S: an
    assumption, and said so.
    """
    log = _log_of(step.windows, around)
    reading, surface_c = fresh_reading(log, now), coldest_since(log, now)
    if step.act not in WET_ACTS or reading is None or surface_c is None:
        return None
    if not reading.humidity_pct:
        return None
    # Only who coats pays for loading the reckoner.
    from benchmate.reckon.wood.dewpoint import coat_caution

    said = coat_caution(reading.temperature_c, reading.humidity_pct, surface_c)
    if said is None or surface_c >= reading.temperature_c:
        return said
    hours = NIGHT_S / 3600
    lower = said.lowered() if isinstance(said, Worded) else said[:1].lower() + said[1:]
    return Worded(
        "If it is still as cold as the air in the last {hours} h, {said}",
        hours=f"{hours:.0f}",
        said=lower,
    )


def settling_caution(step: Step, around: Around, now: float) -> str | None:
    """What to say before a blank is weighed that has stood in other air than today's."""
    weigh = step.weigh
    if weigh is None or weigh.kind != "whole" or weigh.weighed not in ("blank", "part"):
        return None
    log = _log_of(step.windows, around)
    reading = fresh_reading(log, now)
    home = mean_air(log.between(now - AT_HOME_S, now), now - AT_HOME_S, now)
    if reading is None or reading.humidity_pct is None or home is None:
        return None
    from benchmate.reckon.wood.moisture import emc_pct, settling

    said = settling(emc_pct(*home), reading.temperature_c, reading.humidity_pct)
    days = AT_HOME_S / 86400
    return None if said is None else f"By the air of the last {days:.0f} days: {said}"


def mean_air(readings: Iterable[Reading], t0: float, t1: float) -> tuple[float, float] | None:
    """Mean temperature and humidity over a stretch, by how long each held.

    None where too little of it is known.
    """
    kept = list(readings)
    if not kept:
        return None
    ends = [*kept[1:], kept[-1]._replace(t_s=t1)]
    spans = [(r, max(0.0, e.t_s - max(r.t_s, t0))) for r, e in zip(kept, ends, strict=True)]
    known = [(r.temperature_c, r.humidity_pct, s) for r, s in spans if r.humidity_pct is not None]
    total = sum(s for _, _, s in known)
    if total < LEAST_KNOWN_S:
        return None
    return (
        sum(c * s for c, _, s in known) / total,
        sum(h * s for _, h, s in known) / total,
    )


def _log_of(windows: Iterable[Window], around: Around) -> AirLog:
    first = next(iter(windows), None)
    return around.air_of(first) if first is not None else around.air.get(SHOP, AirLog())
