"""The next act: a sentence, its amounts, its window, its caution, and the keys that do it."""

from __future__ import annotations

from collections.abc import Callable

from benchmate.job.agenda import Act, Agenda
from benchmate.job.phrases import act_sentence, amounts_text, bound_text, window_text
from benchmate.job.state import JobState
from benchmate.quantities import Units, show_mass
from benchmate.tui.present.lines import Line, Role, Span, line, wrap

Clock = Callable[[float], str]


def next_act(
    job: JobState, act: Act, units: Units, clock: Clock, cells: int, most: int
) -> list[Line]:
    """The act's lines, the most needed first where there is little room."""
    role: Role = "alarm" if act.kind == "answer" else "strong"
    out = [line(" ", Span(row, role)) for row in wrap(act_sentence(job, act), cells - 2, 2)]
    if act.step is not None and act.kind == "do" and act.step.amounts:
        out += [(), line("      ", Span(amounts_text(act.step, units), "strong"))]
    if act.kind == "weigh" and act.step and act.step.weigh and act.step.weigh.plan_g is not None:
        out += [(), line("      ", Span(_planned(act, units), "strong"))]
    bound = bound_text(act, clock)
    extra: list[Line] = []
    if bound:
        spoils = act.bound is not None and act.bound.spoils
        extra += [line("      ", Span(r, "spoil" if spoils else "caution"))
                  for r in wrap(bound, cells - 7, 2)]  # fmt: skip
    extra += [line("      ", Span(r, "caution")) for r in cautions(job, act, cells - 7)]
    if extra and len(out) + len(extra) < most:
        out.append(())
    return (out + extra)[:most]


def _planned(act: Act, units: Units) -> str:
    point = act.step.weigh if act.step else None
    if point is None or point.plan_g is None:
        return ""
    text = f"plan {show_mass(point.plan_g, units)}"
    if point.tolerance_g is not None:
        text += f" ± {show_mass(point.tolerance_g, units)}"
    return text


def cautions(job: JobState, act: Act, cells: int, most: int = 2) -> list[str]:
    """The step's cautions in short: each text's first sentence."""
    texts = job.plan.cautions if job.plan else {}
    names = act.step.cautions if act.step and act.kind == "do" else ()
    out: list[str] = []
    for name in names:
        first = texts.get(name, name).split(". ")[0].rstrip(".")
        out += wrap(f"Caution: {first}", cells, 1)
    return out[:most]


def nothing(agenda: Agenda, has_jobs: bool, clock: Clock, cells: int) -> list[Line]:
    """What stands where the next act would, when nothing needs hands."""
    if not has_jobs:
        rows = [
            Span("No job is running.", "strong"),
            Span("s  start a job from a procedure, or without one"),
            Span("c  start a clock straight from a tin"),
            Span("?  help"),
        ]
        return [line(" ", r) for r in rows]
    out = [line(" ", Span("Nothing needs hands now.", "strong"))]
    if agenda.windows:
        out.append(line("      ", window_text(agenda.windows[0], clock)))
    return out


Keys = tuple[tuple[str, str], ...]
KEYS_DO: Keys = (
    ("space", "{act}"),
    ("backspace", "take it back"),
    ("w", "weigh"),
    ("1-9", "other piece"),
)
KEYS_WEIGH: Keys = (
    ("space", "weigh"),
    ("backspace", "take it back"),
    ("x", "skip"),
    ("1-9", "other piece"),
)
KEYS_ANSWER: Keys = (("space", "say what became of it"), ("backspace", "take it back"))
KEYS_NONE: Keys = (("s", "start"), ("c", "clock"), ("backspace", "take it back"), ("?", "help"))

_KEYS: dict[str, Keys] = {
    "do": KEYS_DO,
    "weigh": KEYS_WEIGH,
    "check": KEYS_WEIGH,
    "answer": KEYS_ANSWER,
}


def keys(act: Act | None, glove: str) -> Line:
    """The keys that matter now, the glove key first."""
    table = _KEYS[act.kind] if act else KEYS_NONE
    verb = act.step.act if act and act.step else ""
    if act and act.kind == "check":
        verb = "answer"
    spans: list[Span | str] = [" "]
    for key, what in table:
        name = glove if key == "space" else key
        text = "answer" if act and act.kind == "check" and key == "space" else what
        spans += [Span(name, "key"), f"  {text.format(act=verb)}    "]
    return line(*spans)
