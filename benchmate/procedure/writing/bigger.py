"""Another like this, so much bigger: parameters scaled by what they measure.

"20 % bigger" is 20 % longer every way: lengths go with the percentage, areas with its square, and
weights with its cube. Counts, times, temperatures, choices and texts stay.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from benchmate.procedure.file.parameters import defaults_of, refusal
from benchmate.procedure.file.schema import Parameter
from benchmate.quantities import (
    parse_area_mm2,
    parse_length_mm,
    parse_mass_g,
    parse_size_mm,
    show_area,
    show_length,
    show_mass,
    show_size,
)


@dataclass(frozen=True)
class Bigger:
    """The new values (only those that changed), and what couldn't be scaled, in sentences."""

    values: dict[str, str]
    beyond: tuple[str, ...] = ()


def bigger(
    parameters: Mapping[str, Parameter], percent: float, values: Mapping[str, Any] | None = None
) -> Bigger:
    """Parameter values `percent` bigger (smaller where negative) than `values`, else the defaults.

    A value that would pass its limits stays at the limit's side of them: it is left out and named
    in `beyond`. Raises ValueError for -100 % and less.
    """
    factor = 1.0 + percent / 100.0
    if factor <= 0.0:
        raise ValueError(f"{percent:g} % leaves nothing of it; give more than -100 %")
    every = {**defaults_of(parameters), **(values or {})}
    scaled: dict[str, str] = {}
    beyond: list[str] = []
    for name, parameter in parameters.items():
        value = every[name]
        if not parameter.scales or not isinstance(value, str) or not value:
            continue
        new = _scaled(str(parameter.kind), value, factor)
        problem = refusal(parameter, new) if new is not None else None
        if problem is not None:
            beyond.append(f"{name} would be {new}: {problem[1]}.")
        elif new is not None:
            scaled[name] = new
    return Bigger(scaled, tuple(beyond))


def _scaled(kind: str, value: str, factor: float) -> str | None:
    match kind:
        case "length":
            return show_length(_half(parse_length_mm(value) * factor))
        case "size":
            sizes = parse_size_mm(value, count=None)
            return show_size(tuple(_half(mm * factor) for mm in sizes))
        case "area":
            return show_area(parse_area_mm2(value) * factor**2)
        case "weight":
            return show_mass(round(parse_mass_g(value) * factor**3, 1))
    return None


def _half(mm: float) -> float:
    """To half a millimetre, which is what a rule shows; finer below 5 mm."""
    return round(mm, 1) if mm < 5.0 else round(mm * 2.0) / 2.0
