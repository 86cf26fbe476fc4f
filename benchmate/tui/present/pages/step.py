"""One step in full, in sentences."""

from __future__ import annotations

from benchmate.bench.short import limits_of
from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import amounts_text, place_label, remembered
from benchmate.lists.at_step import reckoned_at
from benchmate.plan.plan import Check, Step
from benchmate.quantities import Units, show_duration, show_mass
from benchmate.tui.present.lines import Role


def limits_text(check: Check, units: Units) -> str:
    """ "at least 4 mm", "46 mm to 48 mm", or the question where it is yes or no."""
    return limits_of(check, units) or (f"in {check.unit}" if check.unit else check.ask)


def step_detail(job: JobState, step: Step, units: Units) -> list[tuple[str, Role]]:
    """All of a step in sentences: the work, its amounts, hands, windows and cautions in full."""
    out: list[tuple[str, Role]] = [(f"{place_label(job, step.address)}: {step.do}", "strong")]
    out += [(text, "caution") for text in remembered(job, step)]
    if step.amounts:
        out.append((amounts_text(step, units, ", "), "plain"))
    if job.plan is not None:
        out += [(text, "plain") for text in reckoned_at(job.plan, step, units)]
    out.append((_hands(job, step), "plain"))
    for w in step.windows:
        times = (("opens", w.opens_s), ("full", w.full_s), ("closes", w.closes_s))
        edges = ", ".join(f"{n} {show_duration(s)}" for n, s in times if s is not None)
        at = f" at {w.at_c:g} °C" if w.at_c is not None and not w.rough else ""
        cost = f"; if missed: {w.missed}" if w.missed != "nothing" else ""
        out.append((f"{w.name}: {edges}{at}{cost} ({w.source or 'the file'})", "plain"))
    texts = job.plan.cautions if job.plan else {}
    out += [(f"Caution, {name}: {texts.get(name, name)}", "caution") for name in step.cautions]
    return out


def _hands(job: JobState, step: Step) -> str:
    text = f"about {show_duration(step.hands_s)} of work"
    record = job.done.get(step.address)
    if record is not None and record.begun is not None:
        took = (record.done.wall_ns - record.begun.wall_ns) / 1e9
        text += f", it took {show_duration(took)}"
    if step.takes_g:
        text += f"; takes {show_mass(step.takes_g)} off"
    if step.adds_g:
        text += f"; adds {show_mass(step.adds_g)}"
    return text
