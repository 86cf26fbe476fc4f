"""Sentences that carry their quantities, so that whoever says them picks the units.

The core makes a `Worded` where its text holds a temperature, a length or a weight; it is a plain
text in metric units to everything that doesn't ask. A front door passes what it is about to say
through `in_units`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from benchmate.quantities.show import (
    Units,
    show_length,
    show_mass,
    show_temperature,
    show_temperature_step,
    show_volume,
)


class WordedAmount(NamedTuple):
    """A quantity inside a sentence: its value in the unit inside, and how it is shown."""

    value: float
    show: Callable[[float, Units], str]


class Worded(str):
    """A text made from a template and amounts: `Worded("below {lowest}", lowest=celsius(10.0))`.

    Amounts may be other texts too, also worded ones. Joining it with plain texts by `+` or an
    f-string leaves a plain text in metric units: nest it in another `Worded` instead.
    """

    __slots__ = ("_amounts", "_template")
    _amounts: dict[str, WordedAmount | str]
    _template: str

    def __new__(cls, template: str, **amounts: WordedAmount | str) -> Worded:
        """Make the text in metric units."""
        made = super().__new__(cls, _filled(template, amounts, "metric"))
        made._template, made._amounts = template, amounts
        return made

    def lowered(self) -> Worded:
        """The same with a small first letter, to stand in a longer sentence."""
        return Worded(self._template[:1].lower() + self._template[1:], **self._amounts)

    def said(self, units: Units) -> str:
        """The same sentence in these units."""
        return _filled(self._template, self._amounts, units)


def in_units(text: str, units: Units) -> str:
    """A text in these units, where it carries its quantities; any other text as it is."""
    return text.said(units) if isinstance(text, Worded) else text


def all_in_units(texts: Sequence[str], units: Units) -> tuple[str, ...]:
    """Several texts in these units."""
    return tuple(in_units(text, units) for text in texts)


def _filled(template: str, amounts: dict[str, WordedAmount | str], units: Units) -> str:
    shown = {
        name: amount.show(amount.value, units)
        if isinstance(amount, WordedAmount)
        else in_units(amount, units)
        for name, amount in amounts.items()
    }
    return template.format_map(shown)


def celsius(value_c: float) -> WordedAmount:
    """A temperature."""
    return WordedAmount(value_c, show_temperature)


def whole_celsius(value_c: float) -> WordedAmount:
    """A temperature that is known to no better than a degree."""
    return WordedAmount(value_c, _whole)


def _whole(value_c: float, units: Units) -> str:
    shown = value_c * 9 / 5 + 32 if units == "inch" else value_c
    return f"{shown:.0f} {'°F' if units == 'inch' else '°C'}"


def celsius_step(value_k: float) -> WordedAmount:
    """A difference of temperatures."""
    return WordedAmount(value_k, show_temperature_step)


def measured(value: float, unit: str) -> WordedAmount:
    """A quantity whose unit inside is known by its sign: "mm", "g", "ml", "°C"; any other unit
    stands behind the number as it is."""
    shown = _SHOWN.get(unit)
    if shown is not None:
        return WordedAmount(value, shown)
    return WordedAmount(value, lambda v, _: f"{v:.4g} {unit}".rstrip())


def show_measured(value: float, unit: str, units: Units) -> str:
    """The same as a text alone."""
    amount = measured(value, unit)
    return amount.show(amount.value, units)


_SHOWN: dict[str, Callable[[float, Units], str]] = {
    "mm": show_length,
    "g": show_mass,
    "ml": show_volume,
    "°C": show_temperature,
}


def millilitres(value_ml: float) -> WordedAmount:
    """A volume."""
    return WordedAmount(value_ml, show_volume)


def grams(value_g: float) -> WordedAmount:
    """A weight."""
    return WordedAmount(value_g, show_mass)


def whole_grams(value_g: float) -> WordedAmount:
    """A weight that is known to no better than a gram, or a tenth of an ounce."""
    return WordedAmount(round(value_g), show_mass)


def millimetres(value_mm: float) -> WordedAmount:
    """A length."""
    return WordedAmount(value_mm, show_length)
