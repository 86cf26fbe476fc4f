"""The bench's last lines: the last weighings with their verdict, and what comes later today."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchmate.job.agenda import Act
from benchmate.job.drift import judge
from benchmate.job.events import VerdictRules
from benchmate.job.phrases import act_sentence, piece_label, short_address
from benchmate.job.state import JobState, Weighing
from benchmate.landing.verdict import Verdict
from benchmate.quantities import Units, show_duration, show_mass
from benchmate.tui.present.lines import Line, Role, Span, crop, line

_ROLES: dict[Verdict, Role] = {
    Verdict.ON_PLAN: "good",
    Verdict.NEAR_THE_EDGE: "caution",
    Verdict.OFF_PLAN: "spoil",
    Verdict.CANT_TELL: "caution",
}


def weighed(
    jobs: Sequence[JobState], rules: VerdictRules | None, units: Units, cells: int, most: int
) -> list[Line]:
    """The last weighings of all jobs, newest first."""
    found = [(w.happened.wall_ns, w.version, j, w) for j in jobs for w in j.weighings.values()]
    found.sort(key=lambda f: f[:2], reverse=True)
    return [crop(_weighing(j, w, rules, units), cells) for _, _, j, w in found[:most]]


def _weighing(job: JobState, w: Weighing, rules: VerdictRules | None, units: Units) -> Line:
    step = job.steps.get(w.address)
    gain = step is not None and step.weigh is not None and step.weigh.kind == "gain"
    where = short_address(w.address) if w.address else (w.what or w.piece)
    if step is not None and step.piece:
        what = step.weigh.what if step.weigh and step.weigh.what else step.act
        where = f"{piece_label(job, step.piece)}, {what}"
    spans: list[Span | str] = [
        Span(" weighed  ", "dim"),
        f"{where}  ",
        Span(show_mass(w.net_g, units, sign=gain), "strong"),
    ]
    found = judge(job, w, rules)
    if found is not None and step and step.weigh and step.weigh.plan_g is not None:
        spans += [f"  plan {show_mass(step.weigh.plan_g, units)}  ",
                  Span(found.said(), _ROLES[found.verdict])]  # fmt: skip
    return line(*spans)


def later(
    jobs: dict[str, JobState], acts: Sequence[Act], clock: Callable[[float], str], cells: int
) -> Line:
    """What waits for a window, soonest first: "17:23 clamps off lamp foot, 5 min · 19:52 …"."""
    spans: list[Span | str] = [Span(" later    ", "dim")]
    for i, act in enumerate(acts[:4]):
        job = jobs[act.job]
        hands = f", {show_duration(act.step.hands_s)}" if act.step else ""
        text = f"{clock(act.ready_at)} {act_sentence(job, act)}{hands}"
        spans.append((" · " if i else "") + text)
    if not acts:
        spans.append(Span("nothing waits for a clock", "dim"))
    return crop(line(*spans), cells)
