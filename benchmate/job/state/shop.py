"""The whole shop as its streams leave it: jobs, air, scales, materials, what was learned, the
clock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import msgspec

from benchmate.air.log import NO_AIR, AirLog
from benchmate.air.readings import Reading
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold, fold_all
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.own_waits import OwnWait, OwnWaits, wait_key
from benchmate.job.windows.windows import Around, SetBack
from benchmate.moment import Timeline
from benchmate.plan.plan import scatter_of

JOB, PLACE = "job:", "place:"
SCALES, STORES, LEARNED, CLOCK, DATES = "scales", "stores", "learned", "clock", "dates"
Write = tuple[str, ev.AnyEvent]
"""A stream and an event for it."""


@dataclass(frozen=True)
class ScaleRecord:
    """A scale as last described, and its checks against known weights."""

    described: ev.ScaleDescribed
    checks: tuple[ev.ScaleChecked, ...] = ()

    @property
    def checked(self) -> ev.ScaleChecked | None:
        """The last check."""
        return self.checks[-1] if self.checks else None


@dataclass(frozen=True)
class Shelf:
    """Materials by name, each with its label (JSON text) and what was taken from it."""

    labels: Mapping[str, str] = field(default_factory=dict)
    used: Mapping[str, float] = field(default_factory=dict)
    gone: Mapping[str, str] = field(default_factory=dict)
    """Labels of materials that are used up: a fresh one of the same needn't be typed again."""


@dataclass(frozen=True)
class Lessons:
    """What earlier jobs left for later ones, by procedure."""

    values: Mapping[tuple[str, str], ev.Learned] = field(default_factory=dict)
    wishes: tuple[ev.NextTimeKept, ...] = ()
    waits: Mapping[tuple[str, str], ev.WaitSeen] = field(default_factory=dict)
    """By window and edge: what its wait really took."""
    ended: tuple[ev.JobEnded, ...] = ()

    def wishes_for(self, procedure: str) -> dict[str, tuple[str, ...]]:
        """Per step of the file: what was wished for next time."""
        out: dict[str, tuple[str, ...]] = {}
        for wish in self.wishes:
            if wish.procedure == procedure:
                out[wish.file_step] = (*out.get(wish.file_step, ()), wish.text)
        return out

    @cached_property
    def own_waits(self) -> OwnWaits:
        """What is known of this shop's own waits."""
        seen: dict[str, list[ev.WaitSeen]] = {}
        for event in self.waits.values():
            seen.setdefault(wait_key(event.material, event.clock, event.edge), []).append(event)
        taken = {k: e for (_, k), e in self.values.items() if k in seen}
        return {key: OwnWait(tuple(found), taken.get(key)) for key, found in seen.items()}

    def values_for(self, procedure: str) -> dict[str, float]:
        """The plan values taken over for a procedure; a scatter stands beside its value."""
        made: dict[str, float] = {}
        for (name, key), event in self.values.items():
            if name == procedure and event.value is not None:
                made[key] = event.value
                if event.scatter is not None:
                    made[scatter_of(key)] = event.scatter
        return made


@dataclass(frozen=True)
class Shop:
    """A frozen picture of everything that is open."""

    timeline: Timeline = field(default_factory=Timeline)
    jobs: Mapping[str, JobState] = field(default_factory=dict)
    """By id, in the order in which they were started."""
    air: Mapping[str, AirLog] = field(default_factory=dict)
    void_air: Mapping[str, frozenset[int]] = field(default_factory=dict)
    """Per place: the numbers of the readings that were taken back."""
    scales: Mapping[str, ScaleRecord] = field(default_factory=dict)
    rules: ev.VerdictRules | None = None
    shelf: Shelf = field(default_factory=Shelf)
    lessons: Lessons = field(default_factory=Lessons)
    dates: ev.DayPlanned | None = None
    versions: Mapping[str, int] = field(default_factory=dict)
    """Per stream: its last event's number."""
    set_back: Mapping[tuple[str, str], SetBack] = field(default_factory=dict)
    """By window and edge: edges that had come, and were put off again by newer words on the air."""
    boot_air: Mapping[str, int] = field(default_factory=dict)
    """Per place: its last reading's number when this machine was started."""
    unreadable: tuple[str, ...] = ()
    """Streams beside the jobs that hold events of a newer benchmate."""

    @property
    def around(self) -> Around:
        """What the jobs' windows stand in."""
        return Around(self.timeline, self.air, self.set_back, self.lessons.own_waits)

    @property
    def live(self) -> tuple[JobState, ...]:
        """Jobs that are neither stopped nor finished."""
        return tuple(j for j in self.jobs.values() if j.is_live)

    def air_of(self, place: str) -> AirLog:
        """A place's air."""
        return self.air.get(place, NO_AIR)


def grow(shop: Shop, fresh: Iterable[tuple[str, Recorded]]) -> Shop:
    """The shop after these (stream, event) pairs, given in the journal's order."""
    versions = dict(shop.versions)
    jobs: dict[str, list[Recorded]] = {}
    air: dict[str, list[tuple[Recorded, ev.AirRead, float]]] = {}
    gone: dict[str, set[int]] = {}
    for stream, record in fresh:
        if record.version <= versions.get(stream, 0):
            continue
        versions[stream] = record.version
        if stream.startswith(JOB):
            jobs.setdefault(stream[len(JOB) :], []).append(record)
        elif isinstance(record.event, ev.AirRead):
            place_s = shop.timeline.at(record.event.happened)
            air.setdefault(stream[len(PLACE) :], []).append((record, record.event, place_s))
        elif stream.startswith(PLACE) and isinstance(record.event, ev.TakenBack):
            gone.setdefault(stream[len(PLACE) :], set()).update(record.event.versions)
        else:
            if isinstance(record.event, ev.ClockBegan):
                shop = _air_by_boot(shop, record.event, versions)
            shop = _beside(shop, stream, record.event)
    if air or gone:
        read = {place: [_reading(shop, *one) for one in found] for place, found in air.items()}
        shop = replace(shop, air={**shop.air, **_logs(shop, read, gone)})
    if gone:
        void = {p: shop.void_air.get(p, frozenset()) | numbers for p, numbers in gone.items()}
        shop = replace(shop, void_air={**shop.void_air, **void})
    grown = dict(shop.jobs)
    for job, records in jobs.items():
        old = grown.get(job)
        grown[job] = fold_all(records) if old is None else fold(old, *records)
    if len(grown) > len(shop.jobs):
        grown = _by_start(grown, shop.timeline)
    timeline = shop.timeline
    for records in jobs.values():
        recorded = getattr(records[-1].event, "recorded", None)
        if recorded is not None:
            timeline = timeline.passed(timeline.at(recorded))
    return replace(shop, jobs=grown, versions=versions, timeline=timeline)


def _air_by_boot(shop: Shop, event: ev.ClockBegan, versions: Mapping[str, int]) -> Shop:
    """At a boot's first event its readings begin; where its base is put right they move along."""
    old_s = shop.timeline.bases_s.get(event.recorded.boot_id or "")
    if old_s is None:
        found = {s[len(PLACE) :]: n for s, n in versions.items() if s.startswith(PLACE)}
        return replace(shop, boot_air=found)
    by_s, since = event.base_s - old_s, shop.boot_air
    return replace(shop, air={p: g.moved(since.get(p, 0), by_s) for p, g in shop.air.items()})


def _by_start(jobs: Mapping[str, JobState], timeline: Timeline) -> dict[str, JobState]:
    """The jobs in the order in which their starts were recorded: one that was read late (it was
    closed, and is open again) has its old rank, as it will have when the bench is next opened."""

    def start(item: tuple[str, JobState]) -> float:
        recorded = getattr(item[1].records[0].event, "recorded", None)
        return float("-inf") if recorded is None else timeline.at(recorded)

    return dict(sorted(jobs.items(), key=start))


def _reading(shop: Shop, record: Recorded, event: ev.AirRead, place_s: float) -> Reading:
    """A reading on the time line: by its boot's base as it was put right since, or else where it
    stood when it was recorded."""
    if event.happened.boot_id in shop.timeline.bases_s:
        place_s = shop.timeline.at(event.happened)
    return Reading(
        place_s, event.temperature_c, event.humidity_pct, record.version, event.is_doubtful
    )


def _logs(
    shop: Shop, air: Mapping[str, Iterable[Reading]], gone: Mapping[str, set[int]]
) -> dict[str, AirLog]:
    """The logs that have changed: readings that came, less those that were taken back."""
    return {
        place: shop.air_of(place).plus(*air.get(place, ())).without(gone.get(place, ()))
        for place in {**air, **gone}
    }


def _beside(shop: Shop, stream: str, event: ev.AnyEvent | ev.Unknown) -> Shop:
    """One event of a stream beside the jobs."""
    if isinstance(event, ev.Unknown) and event.kind == ev.LOST:
        return shop
    if isinstance(event, ev.Unknown):
        return replace(shop, unreadable=tuple(dict.fromkeys((*shop.unreadable, stream))))
    if isinstance(event, (ev.ClockBegan, ev.ClockShifted)):
        return replace(shop, timeline=_clock(shop.timeline, event))
    if isinstance(event, ev.EdgeSetBack):
        back = SetBack(shop.timeline.at(event.at), shop.timeline.at(event.recorded))
        return replace(shop, set_back={**shop.set_back, (event.window, event.edge): back})
    if isinstance(event, (ev.ScaleDescribed, ev.ScaleChecked, ev.VerdictRules)):
        return _scales(shop, event)
    if isinstance(event, (ev.MaterialDescribed, ev.MaterialGone, ev.MaterialUsed)):
        return replace(shop, shelf=_shelf(shop.shelf, event))
    if isinstance(event, ev.DayPlanned):
        return replace(shop, dates=event)
    return replace(shop, lessons=_lessons(shop.lessons, event))


def _clock(timeline: Timeline, event: ev.ClockBegan | ev.ClockShifted) -> Timeline:
    if isinstance(event, ev.ClockShifted):
        return timeline.saw_shift(event.shift_s)
    return timeline.saw_boot(event.recorded.boot_id or "", event.base_s, event.shift_s)


def _scales(shop: Shop, event: ev.ScaleDescribed | ev.ScaleChecked | ev.VerdictRules) -> Shop:
    if isinstance(event, ev.VerdictRules):
        return replace(shop, rules=event)
    old = shop.scales.get(event.name)
    if isinstance(event, ev.ScaleDescribed):
        record = ScaleRecord(event, old.checks if old else ())
    elif old is None:
        return shop
    else:
        record = ScaleRecord(old.described, (*old.checks, event))
    return replace(shop, scales={**shop.scales, event.name: record})


def _shelf(shelf: Shelf, event: ev.MaterialDescribed | ev.MaterialGone | ev.MaterialUsed) -> Shelf:
    if isinstance(event, ev.MaterialDescribed):
        gone = {k: v for k, v in shelf.gone.items() if k != event.name}
        return replace(shelf, labels={**shelf.labels, event.name: event.label}, gone=gone)
    if isinstance(event, ev.MaterialGone):
        # A fresh material may have the same name: nothing has been taken from that one yet.
        labels, taken = dict(shelf.labels), dict(shelf.used)
        label = labels.pop(event.name, None)
        taken.pop(event.name, None)
        gone = dict(shelf.gone) if label is None else {**shelf.gone, event.name: label}
        return replace(shelf, labels=labels, used=taken, gone=gone)
    used = shelf.used.get(event.name, 0.0) + event.amount
    return replace(shelf, used={**shelf.used, event.name: used})


def _lessons(lessons: Lessons, event: ev.AnyEvent) -> Lessons:
    if isinstance(event, ev.Learned):
        return replace(lessons, values={**lessons.values, (event.procedure, event.key): event})
    if isinstance(event, ev.WaitSeen):
        at = (event.window, event.edge)
        known = {k: w for k, w in lessons.waits.items() if k != at}
        first = lessons.waits.get(at)
        if first is not None:  # What is seen later of the same wait was known of since then.
            event = msgspec.structs.replace(event, recorded=first.recorded)
        return replace(lessons, waits={**known, at: event} if event.counts else known)
    if isinstance(event, ev.NextTimeKept):
        return replace(lessons, wishes=(*lessons.wishes, event))
    if isinstance(event, ev.NextTimeDropped):
        gone = (event.procedure, event.file_step, event.text)
        kept = tuple(w for w in lessons.wishes if (w.procedure, w.file_step, w.text) != gone)
        return replace(lessons, wishes=kept)
    if isinstance(event, ev.JobEnded):
        others = tuple(e for e in lessons.ended if e.job != event.job)
        ended = others if event.status == "open" else (*others, event)
        return replace(lessons, ended=ended)
    return lessons
