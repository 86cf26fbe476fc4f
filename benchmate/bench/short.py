"""Short words for an act: the verb in its plain form, and what it is done to."""

from __future__ import annotations

import re

from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import amounts_text, piece_label, thing_of, weighed_what
from benchmate.plan.plan import Check, Step
from benchmate.procedure.file.acts import act_of
from benchmate.quantities import Units, show_mass
from benchmate.quantities.worded import show_measured

_WORD = re.compile(r"[A-Za-z]+")
_ODD = {
    "left": "leave",
    "taken": "take",
    "laid": "lay",
    "made": "make",
    "put": "put",
    "brought": "bring",
    "set": "set",
    "dried": "dry",
    "tried": "try",
    "done": "do",
}


def verb(step: Step) -> str:
    """The act as an order: "poured" becomes "pour", "tried dry" "try dry".

    The sentence of the step is asked first, since "scraped" alone could be scrap or scrape.
    """
    act, _, rest = step.act.partition(" ")
    words = [w.lower() for w in _WORD.findall(step.do)]
    tries = (*words, _ODD.get(act, ""), act[:-3], act[:-2], act[:-1])
    found = next((w for w in tries if w and (act_of(w) == act or _ODD.get(act) == w)), act)
    return f"{found} {rest}".strip()


def short_act(job: JobState, act: Act) -> str:
    """ "pour bookend B, layer 3": for lists, where the sentence is too long."""
    if act.step is None:
        return act.bound.window.label if act.bound else act.address
    if act.kind == "weigh" and act.step.piece:
        return f"weigh {weighed_what(job, act.address)}"
    doing = verb(act.step)
    if act.kind == "do" and act.step.block == "extra":
        # The maker's own words: no verb of the trade and no piece could stand for them.
        said = act.step.do.partition(". ")[0].rstrip(".")
        return said[:1].lower() + said[1:]
    if act.kind == "do" and act.step.short and act.step.piece:
        # A verb and a thing alone may sound like damage: "try bookend A, block".
        return f"{act.step.short}, {piece_label(job, act.step.piece)}"
    if act.kind == "weigh":
        doing = "weigh"
    elif act.kind == "check" and act.check is not None:
        doing = f"check {act.check.name} of"
    return f"{doing} {thing_of(job, act.step)}"


def amounts_of(act: Act, units: Units) -> str:
    """What goes in, what the weight should be, or what the check allows."""
    step = act.step
    if step is None:
        return ""
    if act.kind == "check" and act.check is not None:
        return limits_of(act.check, units)
    if act.kind == "weigh":
        return planned(step, units)
    return amounts_text(step, units)


def planned(step: Step, units: Units) -> str:
    """ "plan 129.1 g ± 3.9 g"."""
    point = step.weigh
    if point is None or point.plan_g is None:
        return ""
    text = f"plan {show_mass(point.plan_g, units)}"
    return text + (f" ± {show_mass(point.tolerance_g, units)}" if point.tolerance_g else "")


def limits_of(check: Check, units: Units = "metric") -> str:
    """ "at least 4 mm", "46 mm to 48 mm"."""
    low, high = (
        "" if bound is None else show_measured(bound, check.unit, units)
        for bound in (check.at_least, check.at_most)
    )
    if low and high:
        return f"{low} to {high}"
    return f"at least {low}" if low else f"at most {high}" if high else ""
