"""Before a pour: how warm this mix gets in its cup and in the void, and what helps if too warm.

Every number is an estimate on the warm side: one lump without the wood's own capacity for heat,
wood as an insulator, the family's heat where the tin gives none. Limits are what the weakest
thing nearby bears (common practice, no source): a thin plastic cup softens from about 60 °C, a
wood-glue line creeps from about 50 °C, oil and wax finishes mark from about 60 °C.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.reckon.heat import EPOXY_HEAT_J_G, Course, scaled_to_pot_life
from benchmate.reckon.pour_advice import cooler, more_shot, shallower, smaller_mix
from benchmate.reckon.pour_lumps import (
    CupOfMix,
    LayerInVoid,
    cup_course,
    pourable_min,
    void_course,
    void_lump,
)

__all__ = ["CupHeat", "CupOfMix", "LayerInVoid", "PourHeat", "cup_heat", "pour_heat"]


@dataclass(frozen=True, slots=True)
class CupHeat:
    """What to expect of a mix that is left in its cup: the worst that can be done with it.

    Cautions and advice are whole sentences; both may be empty.
    """

    course: Course
    pourable_min: float
    """How long this cup stays pourable by this reckoning; the label's time stands beside it."""
    cautions: tuple[str, ...]
    advice: tuple[str, ...]
    rough: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PourHeat:
    """What to expect of a pour. Cautions and advice are whole sentences; both may be empty."""

    cup: Course
    void: Course
    void_adiabatic_c: float
    pourable_min: float
    """How long this cup stays pourable by this reckoning; the label's time stands beside it."""
    cautions: tuple[str, ...]
    advice: tuple[str, ...]
    rough: tuple[str, ...]


def cup_heat(cup: CupOfMix) -> CupHeat:
    """The peak in the cup with its caution, and what would help. As slow as `pour_heat`."""
    law = scaled_to_pot_life(cup.pot_life_min, cup.label_c, cup.label_mass_g)
    found, cautions, advice = cup_course(cup, law), list[str](), list[str]()
    if found.peak_c > cup.bears_c:
        cautions.append(
            f"Left in its cup this mix would reach about {found.peak_c:.0f} °C after"
            f" {found.peak_time_min:.0f} min (worst case): pour or spread it in time, and never"
            " leave it standing in the cup."
        )
        advice += smaller_mix(cup, law)
    pourable = pourable_min(cup, law)
    return CupHeat(found, pourable, tuple(cautions), tuple(advice), _rough(cup))


def pour_heat(cup: CupOfMix, layer: LayerInVoid) -> PourHeat:
    """Peaks in cup and void with their cautions, and what would help, worked out again each time.

    Takes some tenths of a second and loads scipy: not for a screen's own thread.
    """
    law = scaled_to_pot_life(cup.pot_life_min, cup.label_c, cup.label_mass_g)
    in_cup, in_void = cup_heat(cup), void_course(cup, layer, law)
    cautions, advice = list(in_cup.cautions), list(in_cup.advice)
    if in_void.peak_c > layer.bears_c:
        cautions.append(
            f"In the void this layer would reach about {in_void.peak_c:.0f} °C after"
            f" {in_void.peak_time_min:.0f} min (worst case); {layer.what_bears} bear"
            f" {layer.bears_c:.0f} °C."
        )
        advice += [*more_shot(cup, layer, law), *shallower(cup, layer, law)]
        advice += cooler(cup, layer, law)
    lump = void_lump(cup, layer)
    return PourHeat(
        in_cup.course, in_void, lump.start_c + lump.adiabatic_rise_c, in_cup.pourable_min,
        tuple(cautions), tuple(advice), in_cup.rough,
    )  # fmt: skip


def _rough(cup: CupOfMix) -> tuple[str, ...]:
    """What no label gave, in words."""
    rough = [f"the cure's course: an epoxy scaled to {cup.pot_life_min:.0f} min of pot life, rough"]
    if cup.heat_j_g is None:
        rough.append(f"heat of cure {EPOXY_HEAT_J_G:.0f} J/g: the family's, rough")
    return tuple(rough)
