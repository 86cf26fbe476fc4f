"""A place's air over time, and what a window's time makes of it.

Between readings the last value holds. Before the first the label's air is assumed, and so it is
three days after the last: until then the last value is held, with growing doubt. A gap between
two readings may have been as cold as the colder of them and as warm as the warmer; that, too,
is doubt and moves no middle.

A log never changes; a reading makes a new one. The running sums of each rule are kept with the
log, so that a question costs two binary searches, and a new reading goes on with them instead of
building them anew.
"""

from __future__ import annotations

import math
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable
from operator import lt, sub
from typing import Literal, NamedTuple

from benchmate.air.rate_sums import RateSums
from benchmate.air.readings import Reading
from benchmate.plan.rates import (
    STILL,
    Rates,
    Rule,
    asks_touch,
    cup_rates,
    is_range,
    is_spoiled_by,
    rates_at,
)
from benchmate.reckon.heat.careful import TAIL_DOUBT

HOLD_S = 72 * 3600.0
"""How long a reading is held before it says nothing any more."""
DAMP_HOLD_S = 6 * 3600.0
"""So long a humidity holds while only temperatures are read (common practice, no source)."""
NEAR_S = 30 * 60.0
"""Readings this near each other leave no doubt about the gap between them."""
BACK_S = 72 * 3600.0
"""How far before the oldest question sums begin, so that the next older one finds them there."""
Kind = Literal["label", "estimate", "range"]


class Progress(NamedTuple):
    """Label seconds that have passed: at least, by our estimate, and at most."""

    low: float
    mid: float
    high: float


class Reach(NamedTuple):
    """When a window's edge comes, on the shop's line of seconds.

    "label": the label's own time; "estimate": worked out from the air or the cup's mass;
    "range": say only from `earliest` to `latest`. `label_t` always stands beside it. `knows_air`:
    whether any reading has a say. `age_s` is that of the last reading (None without one, or
    without a `now_s` to count from). From `spoiled_t` on the air was, or is thought to be, too
    cold: spoiled, not late.
    """

    t: float
    earliest: float
    latest: float
    label_t: float
    kind: Kind
    knows_air: bool
    age_s: float | None = None
    spoiled_t: float | None = None
    touch_test: bool = False


class AirLog:
    """Readings of one place in order of time. Later words on the same instant win.

    From `supposed_s` on the readings are a supposition ("what if the box were at 25 °C"): they
    hold without doubt and never go stale.
    """

    __slots__ = ("_count", "_kept", "_times", "_tracks", "_under", "supposed_s")

    def __init__(self, readings: Iterable[Reading] = (), supposed_s: float | None = None) -> None:
        by_time: dict[float, Reading] = {}
        under: list[Reading] = []
        for reading in readings:
            if (old := by_time.get(reading.t_s)) is not None:
                under.append(old)
            by_time[reading.t_s] = reading
        self._under = tuple(under)
        """Earlier words on an instant, oldest first: they hold again when the later are gone."""
        # A list that later logs go on with: each looks at its own first `_count` only, so that
        # folding a year of readings one by one doesn't copy them each time.
        self._kept = [by_time[t] for t in sorted(by_time)]
        self._times = array("d", (reading.t_s for reading in self._kept))
        self._count = len(self._kept)
        self.supposed_s = supposed_s
        self._tracks: dict[Rule, RateSums] = {}

    def __len__(self) -> int:
        """How many readings there are."""
        return self._count

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The readings, in order of time."""
        return tuple(self._kept[: self._count])

    def plus(self, *readings: Reading) -> AirLog:
        """The log with more readings; the usual ones, at the end, cost almost nothing."""
        times = array("d", (reading.t_s for reading in readings))
        last = self._times[self._count - 1] if self._count else -math.inf
        if not all(map(lt, array("d", (last,)) + times, times)):
            return AirLog((*self.every, *readings), self.supposed_s)
        grown = AirLog((), self.supposed_s)
        grown._under = self._under
        grown._kept, grown._times = self._kept, self._times
        if len(self._kept) > self._count or not self._count:
            grown._kept, grown._times = self._kept[: self._count], self._times[: self._count]
        grown._kept.extend(readings)
        grown._times.extend(times)
        grown._count = self._count + len(readings)
        # As a list: the reminders' thread may just be asking the same log about another rule.
        for rule, track in list(self._tracks.items()):
            grown._tracks[rule] = grown._extended(track.body_alone(), rule, self._count - 1)
        return grown

    def without(self, numbers: Collection[int]) -> AirLog:
        """The log without the readings of these numbers; a whole new one, since it is rare."""
        if not numbers:
            return self
        return AirLog((r for r in self.every if r.number not in numbers), self.supposed_s)

    def moved(self, number: int, by_s: float) -> AirLog:
        """The log with the readings after this number so much later: their clock was wrong."""
        return AirLog(r._replace(t_s=r.t_s + by_s) if r.number > number else r for r in self.every)

    def after(self, t_s: float) -> Reading | None:
        """The first reading after an instant; None after the last."""
        i = bisect_right(self._times, t_s, 0, self._count)
        return self._kept[i] if i < self._count else None

    def is_borne_out(self, reading: Reading, below_c: float) -> bool:
        """Whether one may go by a reading below a limit: it is not doubtful, or the one before or
        after it is below the limit too."""
        if not reading.is_doubtful:
            return True
        i = bisect_left(self._times, reading.t_s, 0, self._count)
        beside = (self._kept[j] for j in (i - 1, i + 1) if 0 <= j < self._count)
        return any(other.temperature_c < below_c for other in beside)

    def supposing(self, readings: Iterable[Reading], from_s: float) -> AirLog:
        """What is known up to `from_s`, and these suppositions from then on."""
        known = self._kept[: bisect_left(self._times, from_s, 0, self._count)]
        return AirLog((*known, *readings), from_s)

    @property
    def every(self) -> tuple[Reading, ...]:
        """The readings, and before them those that later words on the same instant cover."""
        return (*self._under, *self.readings)

    def at(self, t_s: float) -> Reading | None:
        """The last reading at or before an instant; None before the first."""
        i = bisect_right(self._times, t_s, 0, self._count) - 1
        return self._kept[i] if i >= 0 else None

    def between(self, t0: float, t1: float) -> list[Reading]:
        """The readings that have a say between two instants: the one that held at `t0` too."""
        first = max(0, bisect_right(self._times, t0, 0, self._count) - 1)
        return self._kept[first : bisect_right(self._times, t1, 0, self._count)]

    def progress(self, rule: Rule, t0: float, t1: float) -> Progress:
        """Label seconds that pass between two instants, with their bounds."""
        track = self._track(rule, min(t0, t1))
        if track is None:
            return Progress(*((t1 - t0) * rate for rate in cup_rates(rule)))
        return Progress(*(track.integral(i, t1) - track.integral(i, t0) for i in range(3)))

    def reaches(self, rule: Rule, t0: float, amount_s: float, now_s: float | None = None) -> Reach:
        """When a window begun at `t0` has so many label seconds behind it.

        Holds the last reading for what is still to come. `now_s` only dates that reading.
        """
        track = self._track(rule, t0)
        if track is None:
            ends = [t0 + amount_s / rate for rate in cup_rates(rule)]
        else:
            ends = [track.when(i, track.integral(i, t0) + amount_s) for i in range(3)]
        latest, middle, earliest = ends
        knows_air = track is not None and self._says_anything(t0, middle)
        return Reach(
            t=middle,
            earliest=earliest,
            latest=latest,
            label_t=t0 + amount_s,
            kind=_kind(rule, knows_air=knows_air),
            knows_air=knows_air,
            age_s=None if now_s is None else self.age_s(now_s),
            spoiled_t=self.spoiled_since(rule, t0, latest),
            touch_test=asks_touch(rule),
        )

    def spoiled_since(self, rule: Rule, t0: float, t1: float) -> float | None:
        """The first instant in between at which the air was too cold for the joint or film.

        A single doubtful reading doesn't decide it.
        """
        if rule.lowest_c is None:
            return None
        for reading in self.between(t0, t1):
            stale = t0 >= reading.t_s + HOLD_S and not self._is_supposed(reading)
            is_cold = is_spoiled_by(rule, reading.temperature_c) and not stale
            if is_cold and self.is_borne_out(reading, rule.lowest_c):
                return max(t0, reading.t_s)
        return None

    def age_s(self, now_s: float) -> float | None:
        """How old the last reading up to now is; None where there is none."""
        reading = self.at(now_s)
        return None if reading is None else now_s - reading.t_s

    def _says_anything(self, t0: float, t: float) -> bool:
        if not self._count or self._times[0] >= t:
            return False
        return self.supposed_s is not None or t0 < self._times[self._count - 1] + HOLD_S

    def _track(self, rule: Rule, from_s: float) -> RateSums | None:
        """The rule's sums from an instant on; None where time simply runs.

        That is without readings, or for a rule that doesn't follow the air. They begin somewhat
        before the oldest instant asked for: a year's log is not summed for today's windows.
        """
        if not self._count or rule.family == "constant":
            return None
        track = self._tracks.get(rule)
        if track is None or (track.first and from_s < self._times[track.first]):
            first = max(0, bisect_right(self._times, from_s - BACK_S, 0, self._count) - 1)
            track = self._extended(RateSums(cup_rates(rule), first), rule, first)
            self._tracks[rule] = track
        return track

    def _extended(self, track: RateSums, rule: Rule, first: int) -> RateSums:
        """The track with the gaps from reading `first` on, and with what follows the last one."""
        kept = self._kept[first : self._count]
        seen = _Rated(rule)
        damp = [self._damp(i) for i in range(first, self._count)]
        known = [(r.temperature_c, h) for r, h in zip(kept, damp, strict=True)]
        starts, rates = self._times[first : self._count - 1], [seen[air] for air in known]
        tail_starts, tail = self._tail(rule, kept[-1]._replace(humidity_pct=damp[-1]))
        ends = self._times[first + 1 : self._count]
        far = [i for i, gap in enumerate(map(sub, ends, starts)) if gap > NEAR_S]
        for i in reversed(far):
            if not self._is_supposed(kept[i]):
                held = self._held(kept[i + 1], rates[i], seen[known[i + 1]])
                if ends[i] - starts[i] > HOLD_S:
                    rates.insert(i + 1, _forgotten(rule, held))
                    starts.insert(i + 1, starts[i] + HOLD_S)
                rates[i] = held
        if starts:
            track.extend(starts, rates[:-1])
        track.body = len(track.starts)
        track.extend(tail_starts, tail)
        return track

    def _damp(self, i: int) -> float | None:
        """The humidity that holds with a reading: its own, or the last one's for some hours.

        Somebody who reads only the temperature hasn't made the air's dampness unknown.
        """
        reading = self._kept[i]
        at = i
        while at > 0 and self._kept[at].humidity_pct is None:
            at -= 1
            if reading.t_s - self._kept[at].t_s > DAMP_HOLD_S:
                return None
        return self._kept[at].humidity_pct

    def _is_supposed(self, reading: Reading) -> bool:
        return self.supposed_s is not None and reading.t_s >= self.supposed_s

    def _held(self, after: Reading, a: Rates, b: Rates) -> Rates:
        """The rates in a long gap between two readings: as the first, doubtful by the second."""
        return a if self._is_supposed(after) else _between(a.mid, a, b)

    def _tail(self, rule: Rule, last: Reading) -> tuple[list[float], list[Rates]]:
        """What follows the last reading: held with growing doubt, at last forgotten."""
        temperature_c, humidity_pct = last[1:3]
        if self._is_supposed(last):
            return [last.t_s], [rates_at(rule, temperature_c, humidity_pct)]
        starts = [last.t_s + age for age, _ in TAIL_DOUBT]
        rates = [rates_at(rule, temperature_c, humidity_pct, doubt) for _, doubt in TAIL_DOUBT]
        return [*starts, last.t_s + HOLD_S], [*rates, _forgotten(rule, rates[-1])]


class _Rated(dict[tuple[float, float | None], Rates]):
    """A rule's rates by temperature and humidity: a year of tenths of a degree repeats itself."""

    def __init__(self, rule: Rule) -> None:
        super().__init__()
        self.rule = rule

    def __missing__(self, key: tuple[float, float | None]) -> Rates:
        rates = self[key] = rates_at(self.rule, *key)
        return rates


def _kind(rule: Rule, *, knows_air: bool) -> Kind:
    if knows_air and is_range(rule):
        return "range"
    return "estimate" if knows_air or cup_rates(rule) != STILL else "label"


def _between(mid: float, a: Rates, b: Rates) -> Rates:
    return Rates(min(a.low, b.low), mid, max(a.high, b.high))


def _forgotten(rule: Rule, held: Rates) -> Rates:
    """The label's own rate again, inside the doubt that there was."""
    label = cup_rates(rule)
    return _between(label.mid, held, label)


NO_AIR = AirLog()
"""No shop temperature yet: times are as on the labels."""
