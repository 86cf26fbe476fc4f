"""The heat of one mix: how warm it can get with its shot, and when.

Sources: see `heat` and `kinetics`; specific heats of metals: see `metal`.
"""

from __future__ import annotations

import math
from typing import Any

from benchmate.quantities.worded import Worded, whole_celsius
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.filling.metal import find_metal
from benchmate.reckon.heat.heat import (
    AIR_W_M2K,
    EPOXY_HEAT_J_G,
    EPOXY_SPECIFIC_HEAT_J_GK,
    NEARLY_CURED,
    Course,
    CupLoss,
    Loss,
    Lump,
    course,
    loss_of,
    scaled_to_pot_life,
)
from benchmate.reckon.heat.kinetics import R_J_MOL_K, ZERO_C_K, Kinetics, rate_ratio

ROUGH_POT_LIFE = (30.0, 25.0, 100.0)
"""Pot life in min, at °C, of so many g: a quick casting epoxy, where nothing better is known."""

_POT_LIFE = ("pot_life_min", "label_c", "label_mass_g")
_ORDERS = ("a_per_min", "k_per_min", "order", "n", "m")
_RATES = ("k1_per_min", "k2_per_min", "a1_per_min", "a2_per_min", "at_c")
_ENERGIES = tuple(
    f"{name}{end}"
    for name in ("ea", "e1", "e2", "activation", "activation_energy")
    for end in ("_j_mol", "_kj_mol")
)
_HOTTEST_SANE_C = 300.0


def kinetics_from(data: object) -> Kinetics:
    """The law of cure in a JSON object; Refused where it describes none. Three forms:

    pot_life_min (with label_c, label_mass_g): the epoxy's shape, scaled to the label;
    a_per_min or k_per_min (with order and an activation energy): a law of that order;
    k1_per_min and k2_per_min, or a1 and a2 (with m, n and activation energies): autocatalytic.

    An `a` is Arrhenius' factor, a `k` is the rate at `at_c` (25 °C).
    """
    fields = _folded(data, "kinetics", (*_POT_LIFE, *_ORDERS, *_RATES, *_ENERGIES, "model"))
    if fields.maybe("pot_life_min", above=0) is not None:
        return scaled_to_pot_life(
            fields.number("pot_life_min", above=0.1, high=100_000),
            _or(fields.maybe("label_c", low=-20, high=100), ROUGH_POT_LIFE[1]),
            _or(fields.maybe("label_mass_g", above=0.1, high=100_000), ROUGH_POT_LIFE[2]),
        )
    e1 = _energy(fields, "e1", "ea", "activation", "activation_energy")
    e2 = _energy(fields, "e2", "ea", "activation", "activation_energy", "e1")
    at_c = _or(fields.maybe("at_c", low=-50, high=300), 25.0)
    order = fields.maybe("order", low=0, high=5)
    k1 = _rate(fields, at_c, e1, "1") or _rate(fields, at_c, e1, "")
    k2 = _rate(fields, at_c, e2, "2")
    if not k1 and not k2:
        raise Refused(
            "kinetics needs pot_life_min, or a_per_min, or k1_per_min and k2_per_min,"
            ' like {"pot_life_min": 40, "label_c": 25, "label_mass_g": 100}'
        )
    if not k1:
        raise Refused("kinetics needs a k1 (or a1) above zero: without it the cure never begins")
    return Kinetics(
        k1_per_min=k1,
        k2_per_min=k2,
        activation_1_j_mol=e1,
        activation_2_j_mol=e2,
        ref_c=at_c,
        m=_or(fields.maybe("m", low=0, high=5), 1.0),
        n=_or(order, _or(fields.maybe("n", low=0, high=5), 1.0)),
    )


def loss_from(data: object, lump: Lump) -> Loss | CupLoss:
    """The loss in a JSON object: area_cm2 or area_m2, or "cup": true for a plain cup of this mix.

    h_w_m2k is 10 where it isn't given, ambient_c the start's temperature. Raises Refused for a
    heat that is lost through no area.
    """
    fields = _folded(data, "loss", ("h_w_m2k", "area_cm2", "area_m2", "ambient_c", "cup"))
    area_cm2 = fields.maybe("area_cm2", low=0, high=1e7)
    area_m2 = fields.maybe("area_m2", low=0, high=1e3)
    if area_cm2 is None and area_m2 is not None:
        area_cm2 = area_m2 * 1e4
    around_c = _or(fields.maybe("ambient_c", low=-50, high=150), lump.start_c)
    if area_cm2 is None and fields.data.get("cup") is True:
        return CupLoss(lump.resin_g, around_c)
    h = _or(fields.maybe("h_w_m2k", low=0, high=1e5), AIR_W_M2K)
    if area_cm2 is None:
        if h == 0.0:
            return Loss(0.0, around_c)
        raise Refused('loss needs area_cm2 or area_m2, or "cup": true for a plain cup of this mix')
    return loss_of(area_cm2, around_c, h)


def exotherm(lump: Lump, law: Kinetics, loss: Loss | CupLoss | None) -> Course:
    """The cure's course. Without loss the peak is the adiabatic one, its time that of 99 % cure."""
    if isinstance(loss, CupLoss) or (loss is not None and loss.conductance_j_min_k > 0.0):
        return course(lump, law.rate, loss)
    found = course(lump, law.rate)
    reached = found.end_alpha >= NEARLY_CURED - 1e-6
    peak_c = lump.start_c + lump.adiabatic_rise_c if reached else found.peak_c
    return Course(peak_c, found.end_min, found.end_min, found.end_alpha, found.end_c)


def _folded(data: object, where: str, known: tuple[str, ...]) -> Fields:
    """The fields with their names in small letters, so that "Ea_J_mol" is taken as it is meant."""
    fields = Fields(data, where)
    folded = Fields({str(key).casefold(): value for key, value in fields.data.items()}, where)
    folded.only(*known)
    return folded


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def _energy(fields: Fields, *names: str) -> float:
    for name in names:
        joules = fields.maybe(f"{name}_j_mol", low=0, high=300_000)
        kilojoules = fields.maybe(f"{name}_kj_mol", low=0, high=300)
        if joules is not None or kilojoules is not None:
            return joules if joules is not None else _or(kilojoules, 0.0) * 1000.0
    return Kinetics(k1_per_min=1.0).activation_1_j_mol


def _rate(fields: Fields, at_c: float, energy_j_mol: float, number: str) -> float:
    """The rate per minute at `at_c`, from a rate there or from Arrhenius' factor; 0 unasked."""
    there = fields.maybe(f"k{number}_per_min", low=0, high=1e4)
    factor = fields.maybe(f"a{number}_per_min", low=0, high=1e50)
    if there is not None or factor is None:
        return _or(there, 0.0)
    # exp(-E/RT) is the ratio to an infinitely hot mix; taken from 0 °C to keep one formula.
    from_zero = rate_ratio(at_c, 0.0, energy_j_mol)
    return factor * from_zero * _at_zero(energy_j_mol)


def _at_zero(energy_j_mol: float) -> float:
    return math.exp(-energy_j_mol / (R_J_MOL_K * ZERO_C_K))


def _lump(given: Given) -> tuple[Lump, list[str]]:
    rough = []
    heat, specific = given.maybe("heat_j_g"), given.maybe("specific_heat_j_gk")
    if heat is None or specific is None:
        rough.append(
            f"Rough: {EPOXY_HEAT_J_G:g} J/g and {EPOXY_SPECIFIC_HEAT_J_GK:g} J/(g K) stand in for"
            " what the maker's sheet may give (350 to 500 and 1.2 to 2.0 are usual for epoxy)."
        )
    shot_g, shot = given.number("shot_g"), given.word("shot")
    shot_heat = 0.0
    if shot_g > 0.0:
        if not shot:
            raise Refused("shot_g needs its metal, as shot=steel: metals take heat differently")
        name, metal = find_metal(shot)
        if metal.specific_heat_j_gk is None:
            raise Refused(f"the specific heat of {name} is not known here; name another metal")
        shot_heat = metal.specific_heat_j_gk
    lump = Lump(
        given.number("resin_g"),
        given.number("start_c"),
        shot_g,
        shot_heat,
        _or(heat, EPOXY_HEAT_J_G),
        _or(specific, EPOXY_SPECIFIC_HEAT_J_GK),
    )
    return lump, rough


def _law(given: Given) -> tuple[Kinetics, list[str]]:
    if given.has("kinetics"):
        return kinetics_from(given.data("kinetics")), []
    note = "Rough: the speed is that of an epoxy whose 100 g stay pourable for 30 min at 25 °C;"
    return scaled_to_pot_life(*ROUGH_POT_LIFE), [f"{note} give kinetics with your pot life."]


def _work(given: Given) -> Worked:
    lump, notes = _lump(given)
    law, rough = _law(given)
    loss = loss_from(given.data("loss"), lump) if given.has("loss") else None
    found = exotherm(lump, law, loss)
    notes += rough + _said(lump, law, loss, found)
    values: dict[str, Any] = {
        "adiabatic_rise_c": lump.adiabatic_rise_c,
        "peak_c": found.peak_c,
        "peak_time_min": found.peak_time_min,
    }
    return Worked(values, tuple(notes))


def _said(lump: Lump, law: Kinetics, loss: Loss | CupLoss | None, found: Course) -> list[str]:
    notes: list[str] = []
    if loss is None:
        cup = course(lump, law.rate, CupLoss(lump.resin_g, lump.start_c))
        notes.append(
            Worded(
                "Worst case: no heat is lost, and the peak's time is that of 99 % cure. In a cup on"
                " the bench it would peak near {peak} after {minutes} min, roughly; a thin pour"
                " stays far below.",
                peak=whole_celsius(cup.peak_c),
                minutes=f"{cup.peak_time_min:.0f}",
            )
        )
    if found.end_alpha < NEARLY_CURED - 1e-6:
        notes.append(f"After 60 days it is only {found.end_alpha:.0%} cured: too slow to follow.")
    if found.peak_c > _HOTTEST_SANE_C:
        notes.append("Resin chars and smokes long before that: this mix must never stand together.")
    return notes


RECKONER = Reckoner(
    name="exotherm",
    title="How warm a mix gets as it cures, with its shot",
    inputs=(
        Input(key="resin_g", meaning="resin and hardener together", above=0, high=1e6),
        Input(key="shot_g", meaning="metal among it", default=0, low=0, high=1e7),
        Input(key="shot", meaning="the shot's metal", takes="word", needed=False),
        Input(
            key="heat_j_g",
            meaning="heat of the whole cure per gram of mix; not given: 400, rough",
            needed=False,
            low=0,
            high=1000,
            source_low=150,
            source_high=600,
            beyond="epoxies give 350 to 500; check the sheet",
        ),
        Input(
            key="specific_heat_j_gk",
            meaning="specific heat of the mix; not given: 1.8, rough",
            needed=False,
            low=0.8,
            high=4.2,
            source_low=1.0,
            source_high=2.5,
            beyond="epoxies have 1.2 to 2.0; check the sheet",
        ),
        Input(key="start_c", meaning="temperature when mixed", default=20, low=-20, high=120),
        Input(
            key="kinetics",
            meaning='JSON: {"pot_life_min", "label_c", "label_mass_g"}, or {"a_per_min",'
            ' "ea_j_mol", "order"}, or {"k1_per_min", "k2_per_min", "at_c", "ea_j_mol", "m", "n"}',
            takes="data",
            needed=False,
        ),
        Input(
            key="loss",
            meaning='JSON: {"h_w_m2k", "area_cm2", "ambient_c"} or {"cup": true}; not given: none,'
            " the worst case",
            takes="data",
            needed=False,
        ),
    ),
    results=(
        Result(
            key="adiabatic_rise_c",
            meaning="rise if no heat were lost: an upper bound",
            unit="k",
            decimals=0,
        ),
        Result(key="peak_c", meaning="highest temperature", decimals=0),
        Result(key="peak_time_min", meaning="when, counted from mixing"),
    ),
    formula="rise = resin heat/(resin c + shot c_shot); capacity dT/dt = resin heat dα/dt"
    " - hA(T-Ta); dα/dt = (k1 + k2 α^m)(1-α)^n",
    sources=(
        "Conservation of energy; Newton's law of cooling; Kamal's autocatalytic law",
        "Specific heats of metals: CRC Handbook table as carried by the library chemicals",
        "Heat and specific heat of neat epoxy: common ranges, from memory",
    ),
    limits=(
        "One temperature throughout: the middle of a large cup is hotter than its mean.",
        "Default values are rough. Go by the maker's sheet and a small test.",
        "Polyester and polyurethane need their maker's data: give heat_j_g and kinetics.",
    ),
    example={
        "resin_g": "44",
        "shot_g": "472",
        "shot": "steel",
        "start_c": "20",
        "kinetics": '{"pot_life_min": 40, "label_c": 25, "label_mass_g": 100}',
        "loss": '{"area_cm2": 130, "h_w_m2k": 6}',
    },
    work=_work,
)
