"""What is left in a material, how long it keeps, and what a plan takes from each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from benchmate.plan.plan import MIXED, Amount, Step
from benchmate.quantities import show_mass, show_volume
from benchmate.quantities.show import Units
from benchmate.shelf.filling import filled
from benchmate.shelf.material import Material


def left_of(material: Material, used_g: float) -> float | None:
    """What is left, in the material's unit: its amount less what was used since.

    None where either isn't known (by volume without a density). Below zero the label's amount was
    not true.
    """
    if material.amount is None:
        return None
    if material.unit == "g":
        return material.amount - used_g
    density = filled(material).density_g_cm3
    return None if density is None and used_g else material.amount - used_g / (density or 1.0)


def left_g(material: Material, used_g: float) -> float | None:
    """As `left_of`, in grams; None too where a volume has no density."""
    left, density = left_of(material, used_g), filled(material).density_g_cm3
    if left is None or material.unit == "g":
        return left
    return None if density is None else left * density


def show_amount(material: Material, amount: float, units: Units = "metric") -> str:
    """An amount in the material's unit, as people read it."""
    return show_volume(amount, units) if material.unit == "ml" else show_mass(amount, units)


def left_words(material: Material, used_g: float, units: Units = "metric") -> str:
    """ "820 g of 1000 g left"; what was used where the amount isn't known; empty for neither."""
    left = left_of(material, used_g)
    if left is None or material.amount is None:
        return f"{show_mass(used_g, units)} used" if used_g > 0.0 else ""
    whole = show_amount(material, material.amount, units)
    if left < 0.0:
        return f"empty by the record, {show_amount(material, -left, units)} more than {whole} used"
    return f"{show_amount(material, left, units)} of {whole} left"


def keeps_until(material: Material) -> date | None:
    """The day until which it may be used once opened, by its label, or by common practice where
    the label is silent; None where neither says, or nobody said when it was opened."""
    keeps_d = filled(material).keeps_d
    if keeps_d is None or not material.opened_on:
        return None
    try:
        return date.fromisoformat(material.opened_on) + timedelta(days=keeps_d)
    except (ValueError, OverflowError):
        return None


def too_old(material: Material, today: date) -> str:
    """A sentence where the material has stood open for longer than it keeps."""
    until = keeps_until(material)
    if until is None or today <= until:
        return ""
    by = "rule of thumb" if material.keeps_d is None else "its label"
    return (
        f"{material.name} was opened on {material.opened_on}; by {by} it kept until {until}. "
        "Try it on scrap first, or open a fresh one."
    )


def taken(
    step: Step, steps: Mapping[str, Step], said: Mapping[str, float] | None = None
) -> dict[str, float]:
    """Grams that one step takes from each material: as planned, or as the maker said (by the
    amount's name; `MIXED` for all that went into a cup). What is poured from a cup was taken when
    it was mixed."""
    said = said or {}
    if MIXED in said and step.amounts:
        return {step.amounts[0].material: said[MIXED]}
    mix = steps.get(step.mix)
    in_cup = {a.material for a in mix.amounts} if mix is not None else set()
    return _summed(
        (a, said.get(a.what, a.amount))
        for a in step.amounts
        if a.material and a.material not in in_cup
    )


def _summed(amounts: Iterable[tuple[Amount, float]]) -> dict[str, float]:
    out: dict[str, float] = {}
    for amount, value in amounts:
        if amount.unit == "g":
            out[amount.material] = out.get(amount.material, 0.0) + value
    return out


def needed(steps: Sequence[Step]) -> dict[str, float]:
    """Grams that all these steps take from each material, as planned."""
    by_address = {s.address: s for s in steps}
    out: dict[str, float] = {}
    for step in steps:
        for material, grams in taken(step, by_address).items():
            out[material] = out.get(material, 0.0) + grams
    return out


def short_of(material: Material, used_g: float, need_g: float, units: Units = "metric") -> str:
    """A sentence where the material runs out before the plan's need is met."""
    left = left_g(material, used_g)
    if left is None or left >= need_g:
        return ""
    return (
        f"{material.name} runs out: the plan takes {show_mass(need_g, units)}, and "
        f"{show_mass(max(0.0, left), units)} is left by the record."
    )
