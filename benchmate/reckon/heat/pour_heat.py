"""Before a pour: how warm this mix gets in its cup and in the void, and what helps if too warm.

A rough estimate. A cup near the edge of running away may stay warm to the hand or char, by what
the sheet alone can say: so that its peak is given twice, for the usual epoxy and for a livelier
one. The void is reckoned on the warm side: the livelier resin, one lump without the wood's own
capacity for heat, wood as an insulator. The family's heat stands in where the tin gives none.

Limits are what the weakest thing nearby bears (common practice, no source): a thin plastic cup
softens from about 60 °C, a wood-glue line creeps from about 50 °C, oil and wax finishes mark from
about 60 °C.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.quantities.worded import Worded, whole_celsius
from benchmate.reckon.heat.heat import EPOXY_HEAT_J_G, LIVELY_SHAPE, Course, scaled_to_pot_life
from benchmate.reckon.heat.kinetics import Kinetics
from benchmate.reckon.heat.pour_advice import cooler, more_shot, shallower, smaller_mix
from benchmate.reckon.heat.pour_lumps import (
    CupOfMix,
    LayerInVoid,
    cup_course,
    pourable_min,
    void_course,
    void_lump,
)

__all__ = ["CupHeat", "CupOfMix", "LayerInVoid", "PourHeat", "cup_heat", "pour_heat", "range_of"]


@dataclass(frozen=True, slots=True)
class CupHeat:
    """What to expect of a mix that is left in its cup: the worst that can be done with it.

    Cautions and advice are whole sentences; both may be empty.
    """

    course: Course
    lively_c: float
    """The peak if the resin is one that runs away sooner."""
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
    law, lively = _law(cup), _lively(cup)
    found, cautions, advice = cup_course(cup, law), list[str](), list[str]()
    lively_c = max(found.peak_c, cup_course(cup, lively).peak_c)
    if lively_c > cup.bears_c:
        cautions.append(
            Worded(
                "Left in its cup this mix {would} reach {peak}, {at} (a rough estimate; the maker's"
                " sheet comes first): pour or spread it in time, and never leave it standing in the"
                " cup.",
                would="would" if found.peak_c > cup.bears_c else "may",
                peak=range_of(found.peak_c, lively_c),
                at=f"after about {found.peak_time_min:.0f} min",
            )
        )
        advice += smaller_mix(cup, lively)
    pourable = pourable_min(cup, law)
    return CupHeat(found, lively_c, pourable, tuple(cautions), tuple(advice), _rough(cup))


def range_of(usual_c: float, lively_c: float) -> str:
    """ "60 °C, or 170 °C if the resin is a lively one", to ten degrees; once where they agree."""
    usual, lively = (round(c, -1) for c in (usual_c, lively_c))
    if usual == lively:
        return Worded("about {peak}", peak=whole_celsius(usual))
    return Worded(
        "about {usual}, or {lively} if the resin is a lively one",
        usual=whole_celsius(usual),
        lively=whole_celsius(lively),
    )


def _law(cup: CupOfMix) -> Kinetics:
    return scaled_to_pot_life(cup.pot_life_min, cup.label_c, cup.label_mass_g)


def _lively(cup: CupOfMix) -> Kinetics:
    return scaled_to_pot_life(cup.pot_life_min, cup.label_c, cup.label_mass_g, LIVELY_SHAPE)


def pour_heat(cup: CupOfMix, layer: LayerInVoid) -> PourHeat:
    """Peaks in cup and void with their cautions, and what would help, worked out again each time.

    Takes some tenths of a second and loads scipy: not for a screen's own thread.
    """
    law = _lively(cup)
    in_cup, in_void = cup_heat(cup), void_course(cup, layer, law)
    cautions, advice = list(in_cup.cautions), list(in_cup.advice)
    if in_void.peak_c > layer.bears_c:
        cautions.append(
            Worded(
                "In the void this layer would reach about {peak} after {minutes} min (rough, on"
                " the warm side); {what} bear {bears}.",
                peak=whole_celsius(in_void.peak_c),
                minutes=f"{in_void.peak_time_min:.0f}",
                what=layer.what_bears,
                bears=whole_celsius(layer.bears_c),
            )
        )
        advice += [*more_shot(cup, layer, law), *shallower(cup, layer, law)]
        advice += cooler(cup, layer, law)
    lump = void_lump(cup, layer)
    return PourHeat(
        in_cup.course,
        in_void,
        lump.start_c + lump.adiabatic_rise_c,
        in_cup.pourable_min,
        tuple(cautions),
        tuple(advice),
        in_cup.rough,
    )


def _rough(cup: CupOfMix) -> tuple[str, ...]:
    """What no label gave, in words."""
    rough = [f"the cure's course: an epoxy scaled to {cup.pot_life_min:.0f} min of pot life, rough"]
    if cup.heat_j_g is None:
        rough.append(f"heat of cure {EPOXY_HEAT_J_G:.0f} J/g: the family's, rough")
    return tuple(rough)
