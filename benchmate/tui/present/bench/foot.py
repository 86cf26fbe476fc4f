"""The bench's last lines: weighings with their verdict, the heading, and what comes later."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from benchmate.bench.short import short_act
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import act_sentence, weighed_what
from benchmate.landing.verdict import Verdict
from benchmate.landing.words import say_in
from benchmate.quantities import Units, show_duration, show_mass
from benchmate.tui.present.bench.weights.judging import Judge
from benchmate.tui.present.lines import Line, Role, Span, crop, first_fitting, fit, line, width

VERDICT_ROLES: dict[Verdict, Role] = {
    Verdict.ON_PLAN: "good",
    Verdict.NEAR_THE_EDGE: "caution",
    Verdict.OFF_PLAN: "spoil",
    Verdict.CANT_TELL: "caution",
}
HEAD = 10
"""Cells of the word that begins each row."""
Clock = Callable[[float], str]


def labelled(word: str, rest: Line) -> Line:
    """A row of the foot: its word, then what it says."""
    return (Span(f" {word}".ljust(HEAD), "dim"), *rest)


def weighed(
    jobs: Sequence[JobState], judge: Judge, units: Units, cells: int, most: int
) -> list[Line]:
    """The last weighings of all jobs, newest first."""
    found = [(w.happened.wall_ns, w.version, j, w) for j in jobs for w in j.weighings.values()]
    found.sort(key=lambda f: f[:2], reverse=True)
    shown = [(j, w) for _, _, j, w in found[:most]]
    wide = max(
        (width(line(weighed_what(j, w.address, w.what, w.piece))) for j, w in shown), default=0
    )
    return [
        labelled(
            "weighed" if i == 0 else "",
            first_fitting(_weighing(j, w, judge, units, wide), cells - HEAD),
        )
        for i, (j, w) in enumerate(shown)
    ]


def _weighing(job: JobState, w: Weighing, judge: Judge, units: Units, wide: int) -> list[Line]:
    """One weighing, the fullest wording first."""
    step = job.steps.get(w.address)
    point = step.weigh if step is not None else None
    gain = point is not None and point.kind == "gain"
    weight = show_mass(w.net_g, units, sign=gain)
    where = weighed_what(job, w.address, w.what, w.piece)
    found = judge(job, w)
    if found is None or point is None or point.plan_g is None:
        return [line(fit(where, wide), Span(f"{weight:>11}", "strong"))]
    verdict = Span(found.said(say_in(units)), VERDICT_ROLES[found.verdict])
    plan = f"  plan {show_mass(point.plan_g, units)}"
    return [
        line(fit(where, wide), Span(f"{weight:>11}", "strong"), f"{plan:<16}", verdict),
        line(where, Span(f"  {weight}", "strong"), f"{plan}  ", verdict),
        line(where, Span(f"  {weight}", "strong"), "  ", verdict),
    ]


def joined(left: Line, right: Line, cells: int) -> list[Line]:
    """Both on one row where they fit, else the right one on a row of its own."""
    if not right:
        return [left]
    gap = cells - width(left) - width(right) - 1
    if gap >= 2:
        return [(*left, Span(" " * gap), *right)]
    return [left, crop((Span(" " * HEAD), *right), cells)]


def later(jobs: Mapping[str, JobState], acts: Sequence[Act], clock: Clock, cells: int) -> Line:
    """What waits for a window, soonest first: "17:23 unclamp lamp A, 8 min · 19:52 …"."""
    if not acts:
        return labelled("later", line(Span("nothing is waiting", "dim")))
    out: list[Span] = []
    for act in acts:
        more = line(" · " if out else "", _later(jobs[act.job], act, clock))
        if out and width(out) + width(more) > cells - HEAD:
            break
        out += more
    return crop(labelled("later", tuple(out)), cells)


def _later(job: JobState, act: Act, clock: Clock) -> str:
    hands = f", {show_duration(act.step.hands_s)}" if act.step else ""
    return f"{clock(act.ready_at)} {short_act(job, act)}{hands}"


def columned(texts: Sequence[str]) -> list[str]:
    """The texts as a column, two cells from the next one."""
    wide = max(map(len, texts), default=0) + 2
    return [t.ljust(wide) for t in texts]


def later_list(
    jobs: Mapping[str, JobState], acts: Sequence[Act], clock: Clock, cells: int, most: int
) -> list[Line]:
    """The same as a list, with each act's sentence."""
    out = []
    shown = acts[:most]
    whens = columned([clock(a.ready_at) for a in shown])
    spans = columned([show_duration(a.step.hands_s) if a.step else "" for a in shown])
    for i, act in enumerate(shown):
        row = line(
            Span(whens[i], "strong"),
            Span(spans[i], "dim"),
            act_sentence(jobs[act.job], act),
        )
        out.append(crop(labelled("later" if i == 0 else "", row), cells))
    if len(acts) > most:
        rest = f"and {len(acts) - most} more"
        out[-1] = labelled("", line(Span(rest, "dim")))
    return out or [labelled("later", line(Span("nothing is waiting", "dim")))]
