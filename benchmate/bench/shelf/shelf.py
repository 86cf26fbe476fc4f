"""The shelf: materials described, used up, and clocks started straight from one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import find_material, gone_materials
from benchmate.bench.starting.job_id import free_id
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams.commands import DescribeMaterial, EmptyMaterial
from benchmate.job.state.shop import JOB
from benchmate.job.state.state import JobState
from benchmate.job.windows.cold import cold
from benchmate.job.windows.succession import FOLLOW, is_followed
from benchmate.job.words.phrases import CLOCKS_TITLE, holds_clocks
from benchmate.moment import Moment
from benchmate.nearest import did_you_mean
from benchmate.plan.plan import Amount, Window
from benchmate.plan.rates import asks_touch
from benchmate.quantities import QuantityError
from benchmate.refusal import Refused
from benchmate.shelf import (
    Material,
    acts_of,
    clashes,
    filled,
    rough_edges,
    windows_of,
)
from benchmate.shelf.clocks import WORDS
from benchmate.shelf.material import EDGES
from benchmate.shelf.questions import answered, questions

_SAID = {
    "data_sheet": "data sheet",
    "opened_on": "opened on",
    "keeps_d": "keeps",
    "label_mass_g": "mass in the cup",
}
"""What a label's value is called when it is typed, where `stores show` says it at more length."""

_ALWAYS_ASKED = {"data_sheet", "opened_on", "amount", "keeps_d"}


def describe_material(bench: Bench, material: Material) -> None:
    """Put a material on the shelf, or its label anew in place of the one that this bench knew.

    Raises Refused for what can't be on a label, or where another bench has typed it meanwhile.
    """
    bench.settle(
        DescribeMaterial(material=material, before=bench.shop.shelf.labels.get(material.name))
    )


def material_gone(bench: Bench, name: str) -> None:
    """A material is used up or thrown away."""
    bench.settle(EmptyMaterial(name=name))


def with_label(material: Material, values: Mapping[str, str]) -> Material:
    """The material with what its label says, typed as "open time=8 min", "spread=180" and so on.

    A window's name with a time sets the edge that the family's window of that name has; with
    ".opens", ".full" or ".closes" behind it, that edge. Raises Refused with a sentence for each
    answer that can't be read.
    """
    typed = {_question_key(material, key): text for key, text in values.items()}
    for key in typed:  # What is about to be typed anew can't stand against itself.
        material = answered(material, key, "") if "/" in key else material
    words, wrong = dict(zip(typed, values, strict=True)), []
    for key, text in typed.items():
        try:
            material = answered(material, key, text)
        except QuantityError as error:
            wrong.append(f"{words[key]}: {error}.")
    if wrong:
        raise Refused("\n".join(wrong))
    return material


def _question_key(material: Material, key: str) -> str:
    """A label's words as the questions name them: "open time" becomes act/window/edge, and a
    value's word as `stores show` prints it becomes its field."""
    name, _, edge = key.partition(".")
    window = next((w for w in filled(material).windows if w.name == name), None)
    if window is not None:
        edge = edge or ("closes" if window.opens_s is None and window.closes_s else "opens")
        if edge not in EDGES:
            raise Refused(f"A clock opens, is full or closes; it has no “{edge[:20]}”.")
        return f"{window.act}/{window.name}/{edge}"
    asked = {q.key for q in questions(material.family)} | _ALWAYS_ASKED
    if key in asked:
        return key
    words = {_SAID.get(q, WORDS.get(q, q)): q for q in sorted(asked) if "/" not in q}
    found = words.get(" ".join(key.replace("_", " ").split()).lower())
    if found is not None:
        return found
    known = [*dict.fromkeys(w.name for w in filled(material).windows), *words]
    hint = did_you_mean(name, known, f"It may say: {', '.join(known)}.")
    raise Refused(f"A label of this kind has no “{key[:40]}”.{hint}")


def clocks_job(bench: Bench) -> str:
    """The job that holds clocks without a job; made when the first one starts."""
    for job in bench.shop.live:
        if holds_clocks(job):
            return job.job
    made = free_id(bench, CLOCKS_TITLE)
    bench.do(made, cmd.StartJob(job=made, title=CLOCKS_TITLE))
    return made


def start_clock(
    bench: Bench,
    material: Material,
    act: str,
    *,
    name: str = "",
    piece: str = "",
    job: str = "",
    grams: float | None = None,
    at: Moment | None = None,
) -> str:
    """Start the windows of an act with a material; what runs now, in a sentence."""
    acts = acts_of(material)
    if act not in acts:
        known = ", ".join(acts) or "none: give its label's times first"
        raise Refused(f"{material.name} has no clock for “{act[:30]}”; it has: {known}.")
    where = job or clocks_job(bench)
    if not name and not piece:
        name, piece = _continued(bench.job(where), material, act)
    label = name or piece or material.name
    windows = tuple(
        msgspec.structs.replace(w, label=f"{label}, {w.name}")
        for w in windows_of(material, act, grams)
    )
    used = (
        (Amount(what=material.kind or "material", amount=grams, material=material.name),)
        if grams
        else ()
    )
    bench.do(
        where,
        cmd.DoFreely(
            act=act,
            material=material.name,
            name=name,
            piece=piece,
            windows=windows,
            used=used,
            at=at,
        ),
    )
    running = f"{label}: {act}; {', '.join(w.name for w in windows)} running."
    return " ".join((running, *clashes(material, act), *_cautions(bench, windows, at)))


def _continued(job: JobState | None, material: Material, act: str) -> tuple[str, str]:
    """Name and piece of the one open act with this material that the act follows: what was spread
    on the lid is the lid's to be closed. Empty where there is none, or more than one."""
    acts = (
        [f.event for f in job.free if f.event.material == material.name] if job is not None else []
    )
    open_ = {
        (e.name, e.piece)
        for e in acts
        if job is not None
        and act in FOLLOW.get(e.act, ())
        and any(w.closes_s is not None and not is_followed(job, w) for w in e.windows)
    }
    return next(iter(open_)) if len(open_) == 1 else ("", "")


def _cautions(bench: Bench, windows: Sequence[Window], at: Moment | None) -> Iterable[str]:
    """What the air makes of a clock just started; the act itself is done and stays recorded."""
    found = cold(windows, None, bench.shop.around, bench.now_s(at))
    if found is not None:
        yield found.text
    if any(asks_touch(w.rule) and w.opens_s is not None for w in windows):
        yield "A touch test decides, not the clock."


def cautions_of(material: Material) -> tuple[str, ...]:
    """The cautions that go with a material, in full: "Caution, isocyanates: …"."""
    from benchmate.procedure.cautions import CAUTIONS

    names = (n for n in filled(material).cautions if n in CAUTIONS)
    return tuple(f"Caution, {name}: {CAUTIONS[name]}" for name in names)


def rough_windows(material: Material) -> tuple[str, ...]:
    """Names of the windows whose times no label gave ("common practice, no source")."""
    return tuple(w.name for w in filled(material).windows if rough_edges(w))


def free_jobs(bench: Bench) -> tuple[JobState, ...]:
    """Open jobs without a plan."""
    return tuple(j for j in bench.shop.live if j.plan is None)


__all__ = [
    "CLOCKS_TITLE",
    "JOB",
    "cautions_of",
    "clocks_job",
    "describe_material",
    "find_material",
    "free_jobs",
    "gone_materials",
    "holds_clocks",
    "material_gone",
    "rough_windows",
    "start_clock",
    "with_label",
]
