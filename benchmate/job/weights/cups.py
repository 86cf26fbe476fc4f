"""Cups: which act mixed one, what went in, what is still said to be in it. Pure."""

from __future__ import annotations

from benchmate.job.state.state import JobState
from benchmate.plan.plan import MIXED, Mix
from benchmate.quantities import show_mass, show_number, show_percent
from benchmate.quantities.show import Units


def in_cup_g(job: JobState, address: str) -> float | None:
    """What went into a cup: as the maker said, else as planned; None where neither is known."""
    done, step = job.done.get(address), job.steps.get(address)
    said = done.used if done is not None else {}
    if MIXED in said:
        return said[MIXED]
    if step is not None and step.amounts:
        return sum(said.get(a.what, a.amount) for a in step.amounts)
    mix = mix_at(job, address)
    return sum(said.values()) if said else mix.total_g if mix is not None else None


def mix_at(job: JobState, address: str) -> Mix | None:
    """The plan's cup of that mix step."""
    return next((m for m in job.plan.mixes if m.address == address), None) if job.plan else None


def cups_of(job: JobState) -> list[str]:
    """The acts that mixed a cup of this job, the newest last."""
    mixes = {m.address for m in job.plan.mixes} if job.plan else set()
    mixes |= {f.event.address for f in job.free if f.event.act == "mixed"}
    return sorted((a for a in mixes if a in job.done), key=lambda a: job.done[a].version)


def cup_in_hand(job: JobState) -> str:
    """The cup that is most likely meant: the newest of which nobody said what is left, else the
    newest; empty where none was mixed."""
    cups = cups_of(job)
    open_ = [a for a in cups if job.done[a].left_g is None]
    return next(reversed(open_ or cups), "")


def said_of(job: JobState, address: str, units: Units = "metric") -> str:
    """ "128 g mixed, 6 g left in the cup (4.7 %)"; empty where nobody said anything of an act."""
    record = job.done.get(address)
    if record is None:
        return ""
    counted = {n.what: n.used_in for n in job.plan.needs} if job.plan else {}
    parts = [
        f"{what}: {show_number(amount, 1)} {counted[what]}"
        if counted.get(what)
        else f"{show_mass(amount, units)} {what}"
        for what, amount in record.used.items()
    ]
    if record.left_g is not None:
        whole = in_cup_g(job, address)
        share = f" ({show_percent(100 * record.left_g / whole)})" if whole else ""
        parts.append(f"{show_mass(record.left_g, units)} left in the cup{share}")
    return ", ".join(parts)
