"""`benchmate days`: the day sheet, and all that is said about days."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from benchmate.bench import Bench
from benchmate.bench.planning.planning import (
    adopt,
    kept_text,
    late_text,
    plan_now,
    reasons,
    what_fits,
)
from benchmate.bench.planning.question import air_text
from benchmate.bench.planning.saying import aims_text, needs_a_reason
from benchmate.bench.planning.sheet import Sheet, Visit, adopted_sheet, per_day, runs_of
from benchmate.bench.planning.times import span_ahead, time_ahead
from benchmate.cli.opening import fail, json_option, pick_job, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.deciding.streams.dates import pending_step
from benchmate.job.events.of_shop import OtherHours
from benchmate.localtime import show_clock, show_date, show_when
from benchmate.quantities import parse_duration_s


@click.command()
@click.option("--from", "from_", metavar="DAY", help="Show the visits from a day on.")
@click.option("--until", metavar="DAY", help="Show the visits up to a day.")
@click.option("--adopt", "adopting", is_flag=True, help="Plan, and make it the day sheet.")
@click.option("--seconds", default=5.0, show_default=True, help="How long to look for better.")
@click.option("--wish", "wishes", multiple=True, metavar="PROCEDURE", help="Plan it as well.")
@click.option("--pin", "pins", multiple=True, metavar="STEP=WHEN", help="Want a step at a time.")
@click.option("--unpin", "unpins", multiple=True, metavar="STEP", help="Whenever it fits again.")
@click.option("--block", "blocks", multiple=True, metavar="WHEN", help="Nobody is in the shop.")
@click.option("--visit", "visits", multiple=True, metavar="WHEN", help="A visit more.")
@click.option("--usual", multiple=True, metavar="WHEN", help="Those hours are as usual again.")
@click.option(
    "--due", "dues", multiple=True, metavar="JOB=DAY", help="Done by then; JOB= drops it."
)
@click.option("--promise", "promises", multiple=True, metavar="JOB=DAY", help="Promised.")
@click.option("--delivery", "deliveries", multiple=True, metavar="WHAT=WHEN", help="Awaited.")
@click.option("--for", "for_", multiple=True, metavar="STEP", help="With --delivery: what waits.")
@click.option("--fits", metavar="TIME", help='What fits into "40 min" from now.')
@json_option
@click.pass_obj
def days(home: Path | None, /, as_json: bool, **said: Any) -> None:
    """The day sheet: what to do when, with one pair of hands in shop hours.

    Shows the adopted sheet; where there is none, or with --adopt or --wish, it is planned.
    """
    with the_bench(home) as bench:
        if said["fits"]:
            _fits(bench, said["fits"])
            return
        told = _said(bench, said)
        for text in told:
            put(text)
        sheet = adopted_sheet(bench)
        if sheet is None or said["adopting"] or said["wishes"] or told:
            sheet = _planned(bench, said, quiet=as_json)
        elif late := late_text(bench):
            put(late, err=True)
        sheet = sheet.between(*_stretch(bench, said["from_"], said["until"]))
        if as_json:
            say_json(sheet_data(sheet))
        else:
            put("\n".join(sheet_text(bench, sheet)))


def _planned(bench: Bench, said: dict[str, Any], *, quiet: bool) -> Sheet:
    from benchmate.bench.starting.starting import plan_for

    wishes = [plan_for(bench, name)[0] for name in said["wishes"]]
    question, sheet = plan_now(bench, said["seconds"], wishes)
    if sheet.told is not None and not quiet:
        reason = reasons(question, said["seconds"]) if needs_a_reason(sheet.told) else []
        texts = [kept_text(bench, sheet), *aims_text(question, sheet.told), *reason]
        for text in filter(None, [*texts, air_text(bench, question)]):
            put(text)
    if said["adopting"]:
        put(adopt(bench, sheet), err=quiet)
    elif not quiet and not said["wishes"]:
        put("Not adopted yet: `benchmate days --adopt` makes it the day sheet.")
    return sheet


# What is said about days ------------------------------------------------------------------------


def _said(bench: Bench, said: dict[str, Any]) -> list[str]:
    """Record what was said; what it was, in sentences."""
    now = bench.now().wall_s
    texts = []
    for text in said["pins"]:
        step, when = _pair(text)
        at = time_ahead(when, now)
        bench.settle(cmd.PinStep(step=pending_step(bench.shop, step), at=at))
        texts.append(f"{step} is wanted {show_when(at, now)}.")
    for step in said["unpins"]:
        bench.settle(cmd.PinStep(step=pending_step(bench.shop, step), at=None))
        texts.append(f"{step} may be done whenever it fits.")
    for opens, whens in ((False, said["blocks"]), (True, said["visits"])):
        for when in whens:
            texts.append(_hours(bench, when, opens=opens))
    texts += [_hours(bench, when, opens=False, undo=True) for when in said["usual"]]
    for text in said["deliveries"]:
        what, when = _pair(text)
        comes = time_ahead(when, now) if when else None
        bench.settle(cmd.AwaitDelivery(what=what, steps=said["for_"], comes=comes))
        texts.append(f"{what} comes {show_when(comes, now)}." if comes else f"{what} is here.")
    for to, pairs in (("", said["dues"]), ("a customer", said["promises"])):
        texts += [_due(bench, text, to) for text in pairs]
    return texts


def _hours(bench: Bench, when: str, *, opens: bool, undo: bool = False) -> str:
    now = bench.now().wall_s
    begins, ends = span_ahead(when, now)
    bench.settle(
        cmd.ChangeHours(hours=OtherHours(begins=begins, ends=ends, opens=opens), undo=undo)
    )
    stretch = f"{show_when(begins, now)} to {show_when(ends, now)}"
    if undo:
        return f"{stretch}: the usual hours again."
    return f"{stretch}: {'one visit more' if opens else 'nobody in the shop'}."


def _due(bench: Bench, text: str, to: str) -> str:
    name, when = _pair(text)
    job = pick_job(bench, name)
    now = bench.now().wall_s
    by = time_ahead(when, now, at="23:59") if when else None
    bench.settle(cmd.PromiseFinish(job=job.job, by=by, to=to))
    if by is None:
        return f"{job.title} may be done whenever it fits."
    return f"{job.title} is {'promised for' if to else 'wanted by'} {show_date(by)}."


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.rpartition("=")
    if not equals or not name.strip():
        fail(f"“{text[:40]}” has no = in it; write NAME=WHEN.")
    return name.strip(), value.strip()


def _stretch(bench: Bench, from_: str | None, until: str | None) -> tuple[float, float]:
    now = bench.now().wall_s
    first = span_ahead(from_, now)[0] if from_ else float("-inf")
    return first, span_ahead(until, now)[1] if until else float("inf")


def _fits(bench: Bench, text: str) -> None:
    sheet = what_fits(bench, parse_duration_s(text, "min") / 60)
    for visit in sheet.visits:
        put("\n".join(_visit_lines(bench, visit)))
    if not sheet.visits:
        put(f"Nothing fits into {text}.")


# The sheet --------------------------------------------------------------------------------------


def sheet_text(bench: Bench, sheet: Sheet) -> list[str]:
    """The sheet as lines: each day's visits, what runs by itself, each job's finish."""
    lines: list[str] = []
    for _, visits in per_day(sheet):
        lines += ["", show_date(visits[0].begins)]
        for visit in visits:
            lines += _visit_lines(bench, visit)
    now = bench.now().wall_s
    lines += ["", *(f"{sheet.titles[j]}: done {show_when(at, now)}" for j, at in _ends(sheet))]
    return lines[1:]


def _ends(sheet: Sheet) -> list[tuple[str, float]]:
    return sorted(sheet.done_by.items(), key=lambda item: item[1])


def _visit_lines(bench: Bench, visit: Visit) -> list[str]:
    now = bench.now().wall_s
    lines = []
    for run in runs_of(visit):
        pin = "  (pinned)" if run.is_pinned else ""
        span = f"{show_clock(run.rows[0].begins)}–{show_clock(run.rows[-1].ends)}"
        lines.append(f"  {span}  {run.says}{pin}")
    for rest in visit.rests:
        lines.append(f"     runs by itself: {rest.says}, until {show_when(rest.until, now)}")
    return lines


def sheet_data(sheet: Sheet) -> dict[str, Any]:
    """The sheet as data for other programs; times are Unix seconds."""
    return {
        "visits": [
            {
                "begins": v.begins,
                "ends": v.ends,
                "steps": [
                    {"address": r.address, "job": r.job, "begins": r.begins, "ends": r.ends}
                    | {"say": f"{r.who}: {r.what}", "pinned": r.is_pinned, "wish": r.is_wish}
                    for r in v.rows
                ],
                "runs": [{"say": r.says, "until": r.until} for r in v.rests],
            }
            for v in sheet.visits
        ],
        "jobs": [{"job": j, "title": sheet.titles[j], "done_by": at} for j, at in _ends(sheet)],
        "how": sheet.told.how if sheet.told else "adopted",
        "aims": [
            {"name": a.name, "value": a.value, "bound": a.bound, "proven": a.is_proven}
            for a in (sheet.told.aims if sheet.told else ())
        ],
    }
