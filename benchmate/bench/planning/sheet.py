"""A plan as the maker reads it: visits with their steps, what runs by itself, the jobs' ends."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from benchmate.bench.planning.question import Question, expected_air
from benchmate.bench.service import Bench
from benchmate.job.windows.windows import edges_from
from benchmate.job.words.phrases import piece_label
from benchmate.localtime import local
from benchmate.plan.plan import Plan, Step, Window
from benchmate.planner.from_jobs import AGAIN
from benchmate.planner.wire import Told

VISIT_GAP_S = 3 * 3600.0
"""Hands that rest longer than this have gone home."""
RESTS_S = 2 * 3600.0
"""Waits shorter than this are no news."""


@dataclass(frozen=True)
class Row:
    """One step on the sheet. Times are Unix seconds."""

    begins: float
    ends: float
    job: str
    address: str
    title: str
    who: str
    """The piece it is about, "bookend A", or its job's title."""
    what: str
    """The step in a few words: "trim the tenon"."""
    is_pinned: bool = False
    is_wish: bool = False


@dataclass(frozen=True)
class Rest:
    """Something that runs by itself after a visit."""

    says: str
    until: float


@dataclass(frozen=True)
class Visit:
    """One stay in the shop, and what goes on alone after it."""

    rows: tuple[Row, ...]
    rests: tuple[Rest, ...] = ()

    @property
    def begins(self) -> float:
        """When its first step begins."""
        return self.rows[0].begins

    @property
    def ends(self) -> float:
        """When its last step ends."""
        return max(r.ends for r in self.rows)

    @property
    def day(self) -> str:
        """Its date, as 2026-12-05."""
        return str(local(self.begins).date())


@dataclass(frozen=True)
class Sheet:
    """All of it."""

    visits: tuple[Visit, ...]
    done_by: Mapping[str, float]
    """By job: when its last step is done."""
    titles: Mapping[str, str]
    told: Told | None = None
    """The plan it was made of; None: the adopted dates."""

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every step, in order."""
        return tuple(r for v in self.visits for r in v.rows)

    def between(self, from_s: float, until_s: float) -> Sheet:
        """Only the visits that begin in a stretch of time."""
        visits = tuple(v for v in self.visits if from_s <= v.begins < until_s)
        return Sheet(visits, self.done_by, self.titles, self.told)


def sheet_of(bench: Bench, question: Question, told: Told) -> Sheet:
    """The sheet of a plan."""
    spans = {
        key: (question.wall(begin), question.wall(end)) for key, (begin, end) in told.steps.items()
    }
    return _sheet(bench, spans, question.wishes, told)


def adopted_sheet(bench: Bench) -> Sheet | None:
    """The adopted dates that are still to come; None where none were adopted."""
    dates = bench.shop.dates
    if dates is None or not dates.dates:
        return None
    spans = {
        key: (begins, dates.ends.get(key, begins))
        for key, begins in dates.dates.items()
        if _is_pending(bench, key)
    }
    return _sheet(bench, spans, {}, None)


def _is_pending(bench: Bench, key: str) -> bool:
    job = bench.shop.jobs.get(key.partition("/")[0])
    address = key.partition(AGAIN)[0]
    return job is not None and job.is_live and address in job.steps and not job.is_settled(address)


def _sheet(
    bench: Bench,
    spans: Mapping[str, tuple[float, float]],
    wishes: Mapping[str, Plan],
    told: Told | None,
) -> Sheet:
    pins = bench.shop.dates.pins if bench.shop.dates else {}
    titles: dict[str, str] = {}
    done_by: dict[str, float] = {}
    rows = []
    for key, (begins, ends) in spans.items():
        job, (address, again, _) = key.partition("/")[0], key.partition(AGAIN)
        running = bench.shop.jobs.get(job)
        step = _steps(bench, job, wishes)[address]
        title = titles[job] = wishes[job].title if job in wishes else bench.shop.jobs[job].title
        what = step.short or step.act
        row = Row(
            begins=begins,
            ends=ends,
            job=job,
            address=address,
            title=title,
            who=piece_label(running, step.piece) if running and step.piece else title,
            what=f"go on: {what}" if again else what,
            is_pinned=address in pins,
            is_wish=job in wishes,
        )
        rows.append(row)
        done_by[job] = max(done_by.get(job, 0.0), ends)
    rows.sort(key=lambda r: (r.begins, r.ends))
    return Sheet(tuple(_visits(bench, rows, wishes)), done_by, titles, told)


def _steps(bench: Bench, job: str, wishes: Mapping[str, Plan]) -> Mapping[str, Step]:
    if job in wishes:
        return {s.address: s for s in wishes[job].steps}
    return bench.shop.jobs[job].steps


def _visits(bench: Bench, rows: list[Row], wishes: Mapping[str, Plan]) -> Iterable[Visit]:
    groups: list[list[Row]] = []
    for row in rows:
        if not groups or row.begins - max(r.ends for r in groups[-1]) > VISIT_GAP_S:
            groups.append([])
        groups[-1].append(row)
    waits = list(_waits(bench, rows, wishes))
    for i, group in enumerate(groups):
        ends = max(r.ends for r in group)
        back = groups[i + 1][0].begins if i + 1 < len(groups) else float("inf")
        rests = tuple(
            Rest(says, until) for begun, says, until in waits if begun <= ends and until > ends
        )
        long = tuple(r for r in rests if r.until - ends > RESTS_S or r.until > back)
        yield Visit(tuple(group), tuple(sorted(long, key=lambda r: r.until)))


def _waits(
    bench: Bench, rows: list[Row], wishes: Mapping[str, Plan]
) -> Iterable[tuple[float, str, float]]:
    """What the steps start that runs by itself: from when, in words, until when it opens."""
    now = bench.now()
    now_s = bench.now_s(now)
    around = expected_air(bench, now_s, now.wall_s)
    for view in bench.agenda(now).windows:
        edge = view.opens or view.full
        if view.state == "shut" and edge is not None and view.pending:
            yield now.wall_s, view.window.label, now.wall_s + edge.at - now_s
    # Of an act that is broken off and gone on with, the clock starts when the last of it is done.
    for row in {row.address: row for row in rows}.values():
        steps = _steps(bench, row.job, wishes)
        for window in steps[row.address].windows:
            waiting = [s for s in steps.values() if window.address in (*s.waits, *s.waits_full)]
            if not waiting:
                continue
            anchor = now_s + row.ends - now.wall_s
            opens, full, _ = edges_from(window, around, anchor)
            is_full = any(window.address in s.waits_full for s in waiting)
            edge = full if is_full and full is not None else opens
            if edge is not None:
                yield row.ends, _resting(window, row), row.ends + edge.at - anchor


def _resting(window: Window, row: Row) -> str:
    return window.label or f"{row.who}, {window.name}"


@dataclass(frozen=True)
class Run:
    """Steps of one piece in one go."""

    rows: tuple[Row, ...]

    @property
    def says(self) -> str:
        """What is done, numbers joined: "bookend A: mix cup 1, pour layer 1–4, cap the fill"."""
        who = next((r.who for r in self.rows if r.who != r.title), self.rows[0].who)
        words: list[str] = []
        first = ""
        for row in self.rows:
            name, _, number = row.what.rpartition(" ")
            is_next = number.isdigit() and words and words[-1].startswith(f"{name} ")
            if is_next and words[-1].rpartition(" ")[2].partition("–")[0].isdigit():
                first = words[-1].rpartition(" ")[2].partition("–")[0]
                words[-1] = f"{name} {first}–{number}"
            else:
                words.append(row.what)
        return f"{who}: {', '.join(words)}"

    @property
    def is_pinned(self) -> bool:
        """Whether one of them is wanted at its time."""
        return any(r.is_pinned for r in self.rows)


def runs_of(visit: Visit) -> list[Run]:
    """A visit's steps, those of one piece that follow each other together."""
    runs: list[list[Row]] = []
    for row in visit.rows:
        whos = {r.who for r in runs[-1] if r.who != r.title} if runs else set()
        joins = runs and runs[-1][0].job == row.job
        if joins and (row.who == row.title or not whos or row.who in whos):
            runs[-1].append(row)
        else:
            runs.append([row])
    return [Run(tuple(run)) for run in runs]


def per_day(sheet: Sheet) -> list[tuple[str, list[Visit]]]:
    """The visits by day."""
    return [(day, list(visits)) for day, visits in groupby(sheet.visits, key=lambda v: v.day)]
