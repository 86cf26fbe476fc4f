"""Checks, for both front doors: what was typed becomes a number in the check's unit."""

from __future__ import annotations

from benchmate.plan.plan import Check
from benchmate.quantities import (
    QuantityError,
    Units,
    parse_duration_s,
    parse_length_mm,
    parse_mass_g,
    parse_number,
    parse_percent,
    parse_temperature_c,
)
from benchmate.quantities.worded import in_units

YES = frozenset({"yes", "y", "1", "true", "ok"})
NO = frozenset({"no", "n", "0", "false"})


def read_answer(check: Check, text: str) -> float:
    """A check's answer: yes is 1 and no is 0, a measure is in the check's unit.

    Raises QuantityError with what was expected.
    """
    if not check.unit:
        return _yes_or_no(check, text)
    if check.unit == "mm":
        return parse_length_mm(text, "mm")
    if check.unit == "g":
        return parse_mass_g(text, "g")
    if check.unit == "°C":
        return parse_temperature_c(text, "°C")
    if check.unit == "%":
        return parse_percent(text, "%")
    if check.unit in ("s", "min", "h"):
        return parse_duration_s(text, check.unit) / {"s": 1.0, "min": 60.0, "h": 3600.0}[check.unit]
    return parse_number(text.strip().removesuffix(check.unit).strip()).value


def _yes_or_no(check: Check, text: str) -> float:
    word = text.strip().lower()
    if word in YES:
        return 1.0
    if word in NO:
        return 0.0
    raise QuantityError(f"“{text.strip()[:40]}” doesn't answer “{check.ask}”: say yes or no")


def answer_said(check: Check, value: float, units: Units = "metric") -> str:
    """What to say of an answer that was recorded: what is wrong with it, else the answer."""
    return fault_of_answer(check, value, units) or answer_text(check, value, units)


def fault_of_answer(check: Check, value: float, units: Units = "metric") -> str:
    """Where an answer is off plan, in words; empty where it isn't."""
    from benchmate.job.weights.drift import check_fault

    return in_units(check_fault(check, value), units)


def answer_text(check: Check, value: float, units: Units = "metric") -> str:
    """An answer as it is said back: "wall 5 mm", "level: yes"."""
    if not check.unit:
        return f"{check.name}: {'yes' if value else 'no'}"
    return in_units(f"{check.name} {value:g} {check.unit}", units)
