"""How long a cure takes in this shop, by the label's points and the air's log.

Sources: see `equivalent_age`; the default activation energy: see `kinetics`.
"""

from __future__ import annotations

import math
from datetime import datetime

from benchmate.localtime import later
from benchmate.reckon.asking.frame import (
    Given,
    Input,
    Reckoner,
    Refused,
    Result,
    WithU,
    Worked,
    refusing,
)
from benchmate.reckon.asking.tables import TemperatureLog, temperature_log
from benchmate.reckon.heat.careful import careful_time_s, energies_of
from benchmate.reckon.heat.equivalent_age import Between, Cure, cure_along, cure_at
from benchmate.reckon.heat.kinetics import activation_between


def _activation(given: Given) -> float | None:
    """The activation energy that the label gives, in J/mol; None where it gives none."""
    second = given.has("second_time_h"), given.has("second_c")
    energy = given.maybe("activation_energy_kj_mol")
    if second[0] != second[1]:
        raise Refused("a label's second point needs both second_time_h and second_c")
    if all(second) and energy is not None:
        raise Refused("give the label's second point or activation_energy_kj_mol, not both")
    if energy is not None:
        return energy * 1000.0
    if not all(second):
        return None
    label = given.number("label_time_h"), given.number("label_c")
    with refusing("second_c"):
        return activation_between(*label, given.number("second_time_h"), given.number("second_c"))


def _solve(given: Given, log: TemperatureLog | None, activation_j_mol: float) -> Cure:
    label_time_h, label_c = given.number("label_time_h"), given.number("label_c")
    if log is None:
        return cure_at(label_time_h, label_c, given.number("shop_c"), activation_j_mol)
    between: Between = "linear" if given.word("between") == "linear" else "held"
    return cure_along(log.points, label_time_h, label_c, activation_j_mol, between)


def _log_of(given: Given) -> TemperatureLog | None:
    if given.has("log") == given.has("shop_c"):
        raise Refused("give shop_c, or log=@FILE with time and °C: one of them")
    return temperature_log(given.data("log")) if given.has("log") else None


def _done_at(given: Given, log: TemperatureLog | None, found: Cure) -> float | str:
    """Date and time where a start is known, else hours on the log's clock."""
    began = log.began if log else None
    if given.has("started"):
        if log is not None:
            raise Refused("started goes with shop_c; a log's cure begins at its first time")
        try:
            began = datetime.fromisoformat(given.word("started"))
        except ValueError as error:
            raise Refused('started must be like "2026-11-26 17:00"') from error
    if began is None:
        return found.done_h
    try:
        return later(began, found.time_h).isoformat(" ", "minutes")
    except OverflowError as error:
        raise Refused("the cure would take longer than the calendar goes on") from error


def _work(given: Given) -> Worked:
    log, known = _log_of(given), _activation(given)
    low, likely, high = energies = energies_of(known)
    found = _solve(given, log, likely)
    time_h: float | WithU = found.time_h
    notes = []
    if known is None:
        least, most = sorted(_solve(given, log, energy).time_h for energy in (low, high))
        time_h = WithU(found.time_h, (most - least) / math.sqrt(12.0))
        notes.append(
            "Rough: 55 kJ/mol is taken, as for an amine-cured epoxy; with 45 to 70 kJ/mol it is"
            f" {least:.3g} to {most:.3g} h. A second point of the label would say more."
        )
    if found.held_on:
        notes.append("The log ends before the cure does: its last temperature is taken on.")
    values: dict[str, float | str | WithU | None] = {
        "time_h": time_h,
        "careful_h": None,
        "equivalent_age_h": found.equivalent_age_h,
        "done_at": _done_at(given, log, found),
    }
    if log is None:
        label_s, label_c = given.number("label_time_h") * 3600.0, given.number("label_c")
        careful_s = careful_time_s(label_s, label_c, given.number("shop_c"), energies)
        values["careful_h"] = careful_s / 3600.0
        notes.append(CAREFUL)
    return Worked(values, tuple(notes))


CAREFUL = (
    "A clock at the bench waits for careful_h: the label may be a tenth out, the cure slower than"
    " taken, and the shop up to 3 °C colder than when it was read. Reading it again shortens that."
)
RECKONER = Reckoner(
    name="cure",
    title="How long a cure takes in this shop",
    inputs=(
        Input(key="label_time_h", meaning="the label's time", above=0, high=10_000),
        Input(key="label_c", meaning="the temperature it holds at", low=-20, high=150),
        Input(
            key="second_time_h",
            meaning="the label's time at a second temperature",
            needed=False,
            above=0,
            high=10_000,
        ),
        Input(key="second_c", meaning="that second temperature", needed=False, low=-20, high=150),
        Input(
            key="activation_energy_kj_mol",
            meaning="in place of a second point; not given: 55, as for an amine-cured epoxy",
            needed=False,
            low=0,
            high=300,
            source_low=40,
            source_high=110,
            beyond="published values for epoxies lie in there; check it",
        ),
        Input(
            key="shop_c",
            meaning="the shop's temperature, if it stays the same; or give a log",
            needed=False,
            low=-20,
            high=150,
        ),
        Input(
            key="log",
            meaning="time and °C as JSON rows, or @FILE (CSV or JSON); the cure begins with it",
            takes="data",
            needed=False,
        ),
        Input(
            key="between",
            meaning="between readings the value is held, or goes in a straight line",
            takes="choice",
            choices=("held", "linear"),
            default="held",
        ),
        Input(
            key="started",
            meaning="date and time of the start, with shop_c",
            takes="word",
            needed=False,
        ),
    ),
    results=(
        Result(key="time_h", meaning="clock hours until it is cured", has_u=True),
        Result(
            key="careful_h",
            meaning="clock hours that a clock at the bench waits, with shop_c just read",
            unit="h",
        ),
        Result(
            key="equivalent_age_h",
            meaning="hours at label_c that the log is worth at its end (with shop_c: that the"
            " label's time is worth in this shop)",
        ),
        Result(
            key="done_at",
            meaning="date and time where they are known, else hours on the log's clock",
            unit="h",
        ),
    ),
    formula="equivalent age = sum of exp(-(Ea/R)(1/T - 1/T_label)) dt; done when it is the label's",
    sources=(
        "Arrhenius' law; equivalent age in the form of ASTM C1074 (made for concrete)",
        "55 kJ/mol, 45 to 70: published effective activation energies of amine-cured epoxies",
    ),
    limits=(
        "For cures that go by Arrhenius: epoxy and its like, not for what dries.",
        "Common practice (~) is for a shop of 18 to 22 °C: between them its time stands; outside, "
        "give the nearer end as label_c.",
        "A cold cure may stop short of full strength however long it is given.",
        "The log is the air's; a large mix is warmer, a cold piece colder.",
    ),
    example={
        "label_time_h": "24",
        "label_c": "20",
        "second_time_h": "48",
        "second_c": "10",
        "shop_c": "13",
    },
    work=_work,
    curve=("shop_c", "time_h"),
)
