"""When damp air sheds its water on something cold: the dew point, and how far a surface is off it.

The danger is the piece that comes in from a cold store: its surface counts, not the air.

Sources: the saturation equations in `vapour`, turned round. The margin of 3 K and the limit of
85 % are what coating data sheets quote after ISO 8502-4 and ISO 12944-7, for steel; for wood and
resin they are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.quantities.worded import Worded, celsius, celsius_step
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.wood.vapour import saturation_pa

LEAST_MARGIN_K = 3.0
DAMP_PCT = 85.0
_COLDEST_C = -100.0
_TELLS_APART_K = 0.05
"""A surface nearer to the dew point than the digits that are shown is at it."""


@dataclass(frozen=True, slots=True)
class Dew:
    """The dew point (below freezing: the frost point) and how far a surface lies above it."""

    dew_point_c: float
    margin_c: float

    @property
    def is_safe(self) -> bool:
        """Whether the surface is far enough off: exactly the least margin counts."""
        return self.margin_c >= LEAST_MARGIN_K - 1e-9


def dew_point_c(temperature_c: float, humidity_pct: float) -> float:
    """The temperature at which this air is saturated; Refused for a humidity that can't be.

    Over ice below 0.01 °C, as the frost point that a cold surface shows.
    """
    if not 0.0 < humidity_pct <= 100.0:
        raise Refused(
            f"a humidity of {humidity_pct:g} % has no dew point; it must be above 0 and at most 100"
        )
    wanted = saturation_pa(temperature_c) * humidity_pct / 100.0
    low, high = _COLDEST_C, temperature_c
    if saturation_pa(low) > wanted:
        raise Refused(f"air at {humidity_pct:g} % is too dry for a dew point above {low:g} °C")
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if saturation_pa(middle) < wanted else (low, middle)
    return high


def dew(temperature_c: float, humidity_pct: float, surface_c: float) -> Dew:
    """The dew point of the air, and the surface's margin over it in K (negative: it is wet)."""
    point = dew_point_c(temperature_c, humidity_pct)
    return Dew(point, surface_c - point)


def coat_caution(temperature_c: float, humidity_pct: float, surface_c: float) -> str | None:
    """What to say before a coat, a pour or a glue-up on this surface; None where all is well."""
    found = dew(temperature_c, humidity_pct, surface_c)
    surface, point = celsius(surface_c), celsius(found.dew_point_c)
    if found.margin_c < _TELLS_APART_K:
        where = "at" if found.margin_c > -_TELLS_APART_K else "below"
        return Worded(
            "The surface at {surface} is {where} the dew point of {point}: water is settling on it."
            " Let the piece come to the shop's air first, and wipe it.",
            surface=surface,
            where=where,
            point=point,
        )
    if not found.is_safe:
        return Worded(
            "The surface at {surface} is only {margin} above the dew point of {point}; wait until"
            " it is at least {least}, or follow the maker's sheet.",
            surface=surface,
            margin=celsius_step(found.margin_c),
            point=point,
            least=celsius(found.dew_point_c + LEAST_MARGIN_K),
        )
    if humidity_pct > DAMP_PCT:
        return (
            f"The air is at {humidity_pct:.0f} %: many makers stop at {DAMP_PCT:.0f} %;"
            " see the sheet before you coat."
        )
    return None


def _work(given: Given) -> Worked:
    air_c, humidity_pct = given.number("temperature_c"), given.number("humidity_pct")
    surface_c = given.maybe("surface_c")
    notes = []
    if surface_c is None:
        surface_c = air_c
        notes.append(
            "The surface is taken to be as warm as the air; a piece from a cold store is colder,"
            " so measure it."
        )
    found = dew(air_c, humidity_pct, surface_c)
    caution = coat_caution(air_c, humidity_pct, surface_c)
    if caution:
        notes.append(caution)
    if found.dew_point_c < 0.0:
        notes.append("Below freezing this is the frost point, over ice.")
    values = {"dew_point_c": found.dew_point_c, "margin_c": found.margin_c}
    return Worked(values, tuple(notes))


RECKONER = Reckoner(
    name="dew-point",
    title="Dew point, and whether a surface is warm enough to coat",
    inputs=(
        Input(key="temperature_c", meaning="the air's temperature", low=-40, high=80),
        Input(key="humidity_pct", meaning="the air's relative humidity", above=0, high=100),
        Input(
            key="surface_c",
            meaning="the surface's temperature; not given: the air's",
            needed=False,
            low=-40,
            high=80,
        ),
    ),
    results=(
        Result(key="dew_point_c", meaning="the temperature at which this air sheds water"),
        Result(key="margin_c", meaning="the surface's temperature less the dew point", unit="k"),
    ),
    formula="saturation(dew point) = humidity x saturation(air); margin = surface - dew point",
    sources=(
        "Hyland and Wexler (1983) saturation equations, as in the ASHRAE Handbook of Fundamentals",
        "3 K and 85 %: coating data sheets after ISO 8502-4 and ISO 12944-7, made for steel;"
        " common practice for wood",
    ),
    limits=("A wood surface may be colder than the air beside it: measure it.",),
    example={"temperature_c": "20", "humidity_pct": "70", "surface_c": "16.5"},
    work=_work,
    curve=("humidity_pct", "dew_point_c"),
)
