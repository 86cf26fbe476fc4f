"""The heat of a mix before it is mixed: which cup, which voids, and what the reckoner says of them.

`question_of` reads the plan and costs nothing; `heat_of` integrates and takes some tenths of a
second, so that a screen asks in a thread (see `HeatNotes`).
"""

from __future__ import annotations

import math
import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchmate.bench.service import Bench
from benchmate.bench.shelf.heat_voids import voids_of
from benchmate.bench.shelf.materials import materials_of
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.cold import fresh_reading
from benchmate.job.windows.windows import rule_for
from benchmate.plan.plan import Step, Window
from benchmate.plan.rates import nearest_label_c, rates_at
from benchmate.quantities.worded import Worded, celsius, measured
from benchmate.reckon.asking.frame import Refused as CannotReckon
from benchmate.reckon.heat.pour_lumps import CupOfMix, LayerInVoid
from benchmate.refusal import Refused
from benchmate.shelf import FAMILIES, Material, filled, from_family

if TYPE_CHECKING:
    from benchmate.reckon.heat.pour_heat import CupHeat, PourHeat

LABEL_C, LABEL_MASS_G = 21.0, 100.0
"""What a pot life is taken to hold for where the label doesn't say."""


@dataclass(frozen=True)
class HeatQuestion:
    """A cup and the voids it is poured into, ready to be reckoned."""

    address: str
    label: str
    material: str
    cup: CupOfMix
    voids: tuple[tuple[str, LayerInVoid], ...]
    """Whose void, and what goes into it from this cup; voids that are alike stand once."""
    assumed: tuple[str, ...]
    """What neither plan, material nor thermometer gave, in words."""
    clock_min: float = math.inf
    """What the cup's own clock says in this air: its pot life, by mass and temperature."""
    is_rough: bool = False
    """No label gave the pot life."""


@dataclass(frozen=True)
class HeatAnswer:
    """What the reckoner says of a question."""

    question: HeatQuestion
    cup: CupHeat
    voids: tuple[tuple[str, PourHeat], ...]

    @property
    def pourable_min(self) -> float:
        """How long the cup stays pourable: its clock and the course of its heat are two views of
        one cup, and the shorter speaks."""
        return min(self.cup.pourable_min, self.question.clock_min)

    @property
    def cautions(self) -> tuple[str, ...]:
        """Each caution once: the voids' first, with whose each is, then the cup's own."""
        own = self.cup.cautions
        more = (
            Worded("{whose}: {said}", whose=whose, said=c)
            for whose, v in self.voids
            for c in v.cautions
            if c not in own
        )
        return (*more, *own)

    @property
    def standing(self) -> tuple[str, ...]:
        """What is worth standing on the bench before the mix.

        A cup well below the label's own mass is within what the label foresees; crying over each
        of those would teach the eye to skip the caution that matters. `benchmate calc heat` tells
        all.
        """
        small = self.question.cup.mass_g < self.question.cup.label_mass_g / 2
        if not small:
            return (*self.cautions, *self.advice)
        own = {*self.cup.cautions, *self.cup.advice}
        return tuple(t for t in (*self.cautions, *self.advice) if t not in own)

    @property
    def advice(self) -> tuple[str, ...]:
        """What would help, each once, with its numbers."""
        found = (*self.cup.advice, *(a for _, v in self.voids for a in v.advice))
        return tuple(dict.fromkeys(found))


def heat_of(question: HeatQuestion) -> HeatAnswer:
    """Peaks in the cup and in every void. Loads scipy; not for a screen's own thread."""
    from benchmate.reckon.heat.pour_heat import cup_heat, pour_heat

    voids = tuple((whose, pour_heat(question.cup, layer)) for whose, layer in question.voids)
    return HeatAnswer(question, cup_heat(question.cup), voids)


def question_of(
    bench: Bench, job: JobState, step: Step, start_c: float | None = None
) -> HeatQuestion | None:
    """The cup and voids of a mix step; None where the step mixes nothing that warms itself.

    Begins at `start_c`, else at the shop's last reading, else at the label's temperature.
    """
    life = next((w for w in step.windows if w.rule.family == "arrhenius" and w.closes_s), None)
    mix = next((m for m in job.plan.mixes if m.address == step.address), None) if job.plan else None
    if life is None or mix is None or not life.closes_s or mix.total_g <= 0.0:
        return None
    assumed: list[str] = []
    began_c = start_c if start_c is not None else _air_c(bench, life, assumed)
    material = _material_of(bench, step)
    rule = rule_for(life, "closes")
    ref_c = None if rule.ref_c is None else nearest_label_c(rule, began_c)
    cup = CupOfMix(
        mass_g=mix.total_g,
        start_c=began_c,
        pot_life_min=life.closes_s / 60.0,
        label_c=_or(ref_c, LABEL_C, "the label's temperature", "°C", assumed),
        label_mass_g=_or(life.rule.label_mass_g, LABEL_MASS_G, "the label's mass", "g", assumed),
        heat_j_g=_told(material, "heat_j_g"),
        specific_heat_j_gk=_told(material, "specific_heat_j_gk"),
    )
    voids = voids_of(job, mix, began_c)
    return HeatQuestion(
        step.address,
        life.label.removesuffix(f", {life.name}"),
        material.name if material else "",
        cup,
        voids,
        tuple(assumed),
        life.closes_s / 60.0 / rates_at(rule, began_c).mid,
        "closes" in life.rough,
    )


def mix_step(job: JobState, address: str = "") -> Step:
    """The mix at an address, else the job's next one. Raises Refused where there is none."""
    from benchmate.job.deciding.guards import check_step

    if address:
        return check_step(job, address)
    mixes = [
        job.steps[m.address] for m in (job.plan.mixes if job.plan else ()) if m.address in job.steps
    ]
    coming = next((s for s in mixes if not job.is_settled(s.address)), None)
    if coming is None:
        raise Refused(f"{job.title} has no mix still to come.")
    return coming


class HeatNotes:
    """Cautions for the mixes a screen shows, worked out aside and kept until the air has changed.

    `of` belongs to the thread that owns the bench; a thread of its own only reckons with numbers.
    """

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._found: dict[HeatQuestion, tuple[str, ...]] = {}
        self._asked: set[HeatQuestion] = set()

    def of(self, act: Act | None) -> tuple[str, ...]:
        """What is known of the act's heat by now: cautions, then advice; empty while it is not."""
        job = self._bench.shop.jobs.get(act.job) if act is not None else None
        if job is None or act is None or act.step is None or act.kind != "do":
            return ()
        question = question_of(self._bench, job, act.step)
        if question is None:
            return ()
        if question not in self._asked:
            self._asked.add(question)
            threading.Thread(target=self._reckon, args=(question,), daemon=True).start()
        return self._found.get(question, ())

    def _reckon(self, question: HeatQuestion) -> None:
        try:
            answer = heat_of(question)
        except (CannotReckon, ArithmeticError):
            return  # No caution where nothing can be said; the step's own cautions stand.
        self._found[question] = answer.standing


def _air_c(bench: Bench, window: Window, assumed: list[str]) -> float:
    """The air's last reading to half a degree, or the label's temperature."""
    reading = fresh_reading(bench.shop.around.air_of(window), bench.now_s())
    if reading is not None:
        return round(reading.temperature_c * 2.0) / 2.0
    start_c = window.at_c if window.at_c is not None else LABEL_C
    assumed.append(
        Worded("mix, shot and shop at {air}: nobody has read the air lately", air=celsius(start_c))
    )
    return start_c


def _or(value: float | None, default: float, what: str, unit: str, assumed: list[str]) -> float:
    if value is not None:
        return value
    assumed.append(
        Worded("{what}: {value}, its label doesn't say", what=what, value=measured(default, unit))
    )
    return default


def _material_of(bench: Bench, step: Step) -> Material | None:
    name = next((a.material for a in step.amounts if a.material), "")
    material = materials_of(bench).get(name)
    if material is not None:
        return filled(material)
    return from_family(name) if name in FAMILIES else None


def _told(material: Material | None, key: str) -> float | None:
    """What the label itself says: a family's value is the reckoner's own, and rough."""
    if material is None or key in material.rough:
        return None
    value: float | None = getattr(material, key)
    return value
