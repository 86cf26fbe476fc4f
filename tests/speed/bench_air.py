"""What following the air costs: an agenda over a long log, a year's log, one more reading.

The agenda is asked for at every tick and every key press, so it has 5 ms; the bare thing beside it
is the same agenda with no reading at all, which is what a plain timer would cost.
"""

from __future__ import annotations

import math
from random import Random
from time import perf_counter

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.job.state.shop import PLACE, Shop, grow
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.agenda import agenda
from benchmate.job.windows.windows import SHOP, Around
from benchmate.moment import Moment
from benchmate.plan.plan import Window
from benchmate.plan.rates import FAMILY_SPREAD, Rule
from tests.speed.harness import Measure, median_ms

H = 3600.0
EVERY_S = 300.0
WINDOWS = 20
YEAR = 100_000
AGENDA_MS, YEAR_MS = 5.0, 500.0


def a_shops_air(count: int) -> list[Reading]:
    """Readings every five minutes: cold nights, a slow season, a thermometer with tenths."""
    chance = Random("air")
    readings = []
    for i in range(count):
        hours = i * EVERY_S / H
        swing = 5 * math.sin(2 * math.pi * hours / 24) + 6 * math.sin(2 * math.pi * hours / 8766)
        celsius = round(14 + swing + chance.uniform(-0.5, 0.5), 1)
        readings.append(Reading(i * EVERY_S, celsius, float(round(60 + chance.uniform(-9, 9)))))
    return readings


def a_job_with_live_windows(anchor_s: float) -> JobState:
    """Twenty acts without a plan, each with a window of its own rule and three edges."""
    at = Moment(round(anchor_s * 1e9))
    started = ev.JobStarted(happened=at, recorded=at, job="speed", title="Speed")
    records = [Recorded(1, started)]
    families = list(FAMILY_SPREAD)
    for i in range(WINDOWS):
        address = f"speed/all/all/act-{i}#1"
        rule = Rule(family=families[i % len(families)], ref_c=20.0 + i / 10)
        window = Window(
            name="cure",
            address=f"{address}:cure",
            label=f"cure {i}",
            rule=rule,
            opens_s=(20 + i) * H,
            full_s=(60 + i) * H,
            closes_s=(90 + i) * H,
        )
        act = ev.FreeAct(happened=at, recorded=at, address=address, act="mixed", windows=(window,))
        records.append(Recorded(len(records) + 1, act))
    return fold_all(records)


def the_agenda(readings: list[Reading]) -> list[Measure]:
    """An agenda with 20 live windows over 10,000 readings, and with one reading more."""
    now_s = readings[-1].t_s + 60
    job, log = a_job_with_live_windows(now_s - 4 * H), AirLog(readings)
    follows, plain = Around(air={SHOP: log}), Around()
    live = len(agenda([job], follows, now_s).windows)
    assert live == WINDOWS, f"{live} windows are live"
    cost = median_ms(lambda: agenda([job], follows, now_s), rounds=50)
    bare = median_ms(lambda: agenda([job], plain, now_s), rounds=50)
    one_more = median_ms(lambda: log.plus(Reading(now_s, 15.0, 60.0)), rounds=20)
    return [
        Measure(
            f"agenda, {WINDOWS} live windows over {len(readings)} readings",
            cost,
            "ms",
            f"the same without any air {bare:.3f} ms (x {cost / bare:.1f})",
            target=AGENDA_MS,
            ok=cost <= AGENDA_MS,
        ),
        Measure(
            f"one more reading, for {WINDOWS} rules at once",
            one_more,
            "ms",
            "no promise",
        ),
    ]


def a_years_log() -> list[Measure]:
    """A year of readings from their stored bytes to the first window's end."""
    moments = [(Moment(round(r.t_s * 1e9)), r) for r in a_shops_air(YEAR)]
    stored = [
        ev.encode(
            ev.AirRead(
                happened=m, recorded=m, temperature_c=r.temperature_c, humidity_pct=r.humidity_pct
            )
        )
        for m, r in moments
    ]
    best = min((_opened(stored) for _ in range(5)), key=lambda times: times[1] + times[2])
    bare, taken_in, asked = best
    cost = taken_in + asked
    return [
        Measure(
            f"a year's log ({YEAR} readings) taken in and asked for the first time",
            cost,
            "ms",
            f"decoding the same bytes {bare:.0f} ms; of it the first question {asked:.0f} ms;"
            " best of 5",
            target=YEAR_MS,
            ok=cost <= YEAR_MS,
        )
    ]


def _opened(stored: list[bytes]) -> tuple[float, float, float]:
    """Times in ms: decoding, taking the readings in, the first question put to the log."""
    start = perf_counter()
    events = [ev.decode(one) for one in stored]
    decoded = perf_counter()
    records = [(PLACE + SHOP, Recorded(i, event)) for i, event in enumerate(events, start=1)]
    log = grow(Shop(), records).air_of(SHOP)
    taken_in = perf_counter()
    log.reaches(Rule(family="arrhenius", ref_c=20.0), YEAR * EVERY_S, 24 * H)
    asked = perf_counter()
    return (decoded - start) * 1e3, (taken_in - decoded) * 1e3, (asked - taken_in) * 1e3


def measure() -> list[Measure]:
    """The agenda over a long log, one more reading, and a year's log."""
    return [*the_agenda(a_shops_air(10_000)), *a_years_log()]
