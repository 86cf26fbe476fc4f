"""What the bench's state is in words: the one line of `next`, and what a mark answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from benchmate.bench.service import Bench
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.windows.before import air_cautions
from benchmate.job.windows.windows import WindowView
from benchmate.job.words.phrases import (
    act_sentence,
    amount_text,
    amounts_text,
    bound_text,
    window_text,
)
from benchmate.localtime import show_when
from benchmate.plan.plan import Check
from benchmate.quantities.worded import all_in_units

NOTHING = "No job is open. `benchmate start` starts one; `benchmate clock` a single clock."


def clock_of(bench: Bench) -> Any:
    """Turns places on the time line into the wall times people read."""
    now = bench.now()
    line = bench.shop.timeline

    def show(place_s: float) -> str:
        return show_when(line.wall_at(place_s, now), now.wall_s)

    return show


def next_line(bench: Bench, job: str = "") -> str:
    """What is next and when, in one line: of a job's own, or of the whole shop."""
    found = bench.agenda()
    mine = next((a for a in (*found.ready, *found.later) if a.job == job), None)
    if mine is not None:
        return _line(bench, mine)
    if not bench.shop.live:
        return NOTHING
    if found.next is not None:
        return _line(bench, found.next)
    if found.later:
        return _line(bench, found.later[0])
    if found.windows:
        return "Nothing to do yet. " + window_text(found.windows[0], clock_of(bench))
    paused = [j.title for j in bench.shop.live if j.status == "paused"]
    if paused:
        return f"Nothing to do: {', '.join(paused)} paused."
    first = bench.shop.live[0]
    if first.plan is None:
        return f"{first.title} has no plan: `benchmate clock MATERIAL DID` notes what you do."
    return f"{first.title} is all done. `benchmate job finish` closes it."


def _line(bench: Bench, act: Act) -> str:
    job = bench.shop.jobs[act.job]
    parts, units = [act_sentence(job, act)], bench.settings.units
    amounts = act.step.amounts if act.step is not None and act.kind == "do" else ()
    # What the sentence says already isn't said twice.
    if act.step is not None and not all(amount_text(a, units) in parts[0] for a in amounts):
        parts.append(amounts_text(act.step, units, ", "))
    bound = bound_text(act, clock_of(bench)) if act.kind != "answer" else ""
    if bound:
        parts.append(bound[:1].upper() + bound[1:])
    parts += cautions_of(bench, act)[:1]
    if act.kind == "weigh" and bench.settings.scale.port:
        parts += _on_the_scale(bench)
    return sentences(parts)


def _on_the_scale(bench: Bench) -> list[str]:
    """What an open bench hears of the scale, where that is a weight."""
    from benchmate.bench.weights.live_scale import live_elsewhere

    live = live_elsewhere(bench)
    return [f"On the scale: {live.text}, {live.state}"] if live.text else []


def sentences(parts: Sequence[str]) -> str:
    """The parts as sentences after one another; the last one keeps no full stop."""
    bare = [p.rstrip(".") for p in parts]
    return " ".join(p if p.endswith(("?", "!")) else f"{p}." for p in bare).rstrip(".")


def cautions_of(bench: Bench, act: Act) -> tuple[str, ...]:
    """What the air has to say before an act."""
    job = bench.shop.jobs[act.job]
    said = air_cautions(job, act, bench.shop.around, bench.now_s())
    return all_in_units(said, bench.settings.units)


def act_data(bench: Bench, act: Act) -> dict[str, Any]:
    """An act as data for other programs."""
    job = bench.shop.jobs[act.job]
    wall = bench.wall_at
    return {
        "job": act.job,
        "address": act.address,
        "kind": act.kind,
        "say": act_sentence(job, act),
        "ready_at": None if act.ready_at <= 0 else wall(act.ready_at),
        "latest_at": None if act.latest_at == float("inf") else wall(act.latest_at),
        "spoils": act.spoils,
        "cautions": list(cautions_of(bench, act)),
        "amounts": [
            {"what": a.what, "amount": a.amount, "unit": a.unit}
            for a in (act.step.amounts if act.step else ())
        ],
        "check": None if act.check is None else check_data(act.check),
    }


def check_data(check: Check) -> dict[str, Any]:
    """A check as data: its name, what it is asked in ("" for yes or no), and its limits."""
    return {
        "name": check.name,
        "ask": check.ask,
        "unit": check.unit,
        "at_least": check.at_least,
        "at_most": check.at_most,
    }


def window_data(bench: Bench, view: WindowView) -> dict[str, Any]:
    """A live window as data for other programs; times are Unix seconds."""
    edges = {name: view.edges.get(name) for name in ("opens", "full", "closes")}
    return {
        "window": view.address,
        "label": view.window.label,
        "job": view.job,
        "state": "ruined" if view.is_ruined else view.state,
        **{k: None if e is None else bench.wall_at(e.at) for k, e in edges.items()},
        "missed": view.window.missed,
    }


def agenda_data(bench: Bench, found: Agenda) -> dict[str, Any]:
    """The whole agenda as data."""
    return {
        "next": act_data(bench, found.next) if found.next else None,
        "ready": [act_data(bench, a) for a in found.ready],
        "later": [act_data(bench, a) for a in found.later],
        "windows": [window_data(bench, v) for v in found.windows],
    }
