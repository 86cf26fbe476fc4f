"""What if: the air as it might be from some instant on.

A supposition is a log like any other, so that every window can be asked what would become of it;
starting later needs no log of its own, only a later anchor. Suppositions are never stored.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading

H_S = 3600.0
DAY_S = 24 * H_S
STEP_S = 15 * 60.0

Curve = Sequence[tuple[float, float]]
"""Hours since midnight and °C, in order; straight lines between, round the clock."""


def held(log: AirLog, from_s: float, temperature_c: float, humidity_pct: float | None) -> AirLog:
    """The air held at one temperature from an instant on: "the box at 25 °C"."""
    return log.supposing([Reading(from_s, temperature_c, humidity_pct)], from_s)


def daily(
    log: AirLog,
    from_s: float,
    curve: Curve,
    midnight_s: float,
    humidity_pct: float | None = None,
    days: float = 21.0,
) -> AirLog:
    """The air going through the same curve every day, in steps of a quarter of an hour.

    `midnight_s` is any midnight on the shop's line of seconds. After `days` the last value holds.
    Raises ValueError for a curve without points or with hours outside 0 to 24 or out of order.
    """
    _check_curve(curve)
    steps = math.ceil(days * DAY_S / STEP_S)
    starts = [from_s + i * STEP_S for i in range(steps)]
    middles = [((start + STEP_S / 2 - midnight_s) % DAY_S) / H_S for start in starts]
    values = [curve_at(curve, hour) for hour in middles]
    readings = [Reading(s, c, humidity_pct) for s, c in zip(starts, values, strict=True)]
    return log.supposing(readings, from_s)


def heating_off(
    day_c: float, night_c: float, off_h: float, on_h: float, lag_h: float = 2.0
) -> list[tuple[float, float]]:
    """A daily curve with the heating off from `off_h` to `on_h`: down to `night_c`, and up again.

    The shop takes `lag_h` hours to cool and as long to warm, or less where the night or the day
    is too short for that. Raises ValueError when the two hours are one.
    """
    night_h = (on_h - off_h) % 24.0
    if night_h == 0.0:
        raise ValueError("the heating can't go off and on at the same hour")
    cool_h, warm_h = min(lag_h, night_h), min(lag_h, 24.0 - night_h)
    corners = [(off_h, day_c), (off_h + cool_h, night_c), (on_h, night_c), (on_h + warm_h, day_c)]
    return sorted((hour % 24.0, c) for hour, c in corners)


def curve_at(curve: Curve, hour: float) -> float:
    """The curve's temperature at an hour of the day, on the straight line between its points."""
    after = next((i for i, (h, _) in enumerate(curve) if h > hour), 0)
    (h0, c0), (h1, c1) = curve[after - 1], curve[after]
    span, into = (h1 - h0) % 24.0, (hour - h0) % 24.0
    return c0 if span == 0.0 else c0 + (c1 - c0) * into / span


def _check_curve(curve: Curve) -> None:
    hours = [hour for hour, _ in curve]
    if not hours:
        raise ValueError("a daily curve needs at least one hour with its temperature")
    if hours != sorted(hours) or hours[0] < 0.0 or hours[-1] >= 24.0:
        raise ValueError("the hours of a daily curve must run from 0 to below 24, in order")
