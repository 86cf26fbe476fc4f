"""Shot height for a target weight.

A mass balance over the void's outline: the packed part up to height h weighs more per ml than the
plain resin (or nothing) above it.
"""

from dataclasses import dataclass

from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.filling.fill import (
    PACKING_INPUT,
    RESIN_DENSITY_INPUT,
    SHOT_DENSITY_INPUT,
    mixed_density_g_cm3,
)
from benchmate.reckon.filling.outline import OUTLINE_MEANING, Outline, read_outline


@dataclass(frozen=True)
class FillHeight:
    """How high the shot stands over the bottom, and the volume below that line."""

    height_mm: float
    void_ml: float


def fill_height(
    outline: Outline, target_g: float, packed_g_cm3: float, above_g_cm3: float = 0.0
) -> FillHeight:
    """Return where packed shot must end so that the fill weighs `target_g`.

    `above_g_cm3` is the density of what fills the void above it, 0 for nothing. Raises Refused when
    the void is too small, or when what lies above alone weighs more.
    """
    whole_ml = outline.volume_ml
    least_g, most_g = whole_ml * above_g_cm3, whole_ml * packed_g_cm3
    if packed_g_cm3 <= above_g_cm3:
        raise Refused(
            "the packed shot is no denser than plain resin, so its height changes nothing"
        )
    if target_g > most_g * (1.0 + 1e-9):
        raise Refused(
            f"{target_g:.1f} g can't be reached: the void filled to its mouth "
            f"({outline.depth_mm:.1f} mm) takes {most_g:.1f} g; take denser shot or a larger void"
        )
    if target_g < least_g * (1.0 - 1e-9):
        raise Refused(
            f"{target_g:.1f} g is less than the {least_g:.1f} g of plain resin alone; "
            "leave the void partly empty (rest=empty) or raise the target"
        )
    void_ml = min(whole_ml, max(0.0, (target_g - least_g) / (packed_g_cm3 - above_g_cm3)))
    return FillHeight(outline.height_of_mm(void_ml), void_ml)


def work(given: Given) -> Worked:
    """Answer `fill-height`."""
    outline = read_outline(given.data("outline"))
    resin_g_cm3 = given.number("resin_density_g_cm3")
    packed_g_cm3 = mixed_density_g_cm3(
        given.number("packing_fraction"), given.number("shot_density_g_cm3"), resin_g_cm3
    )
    is_resin = given.word("rest") == "resin"
    found = fill_height(
        outline, given.number("target_g"), packed_g_cm3, resin_g_cm3 if is_resin else 0.0
    )
    left_mm = outline.depth_mm - found.height_mm
    above = "plain resin" if is_resin else "nothing"
    notes: list[str] = [
        Worded(
            "Above the shot there are {left} of {above}.", left=millimetres(left_mm), above=above
        )
    ]
    return Worked({"height_mm": found.height_mm, "void_ml": found.void_ml}, tuple(notes))


RECKONER = Reckoner(
    name="fill-height",
    title="Shot height for a target weight",
    inputs=(
        Input("outline", OUTLINE_MEANING, takes="data"),
        PACKING_INPUT,
        SHOT_DENSITY_INPUT,
        RESIN_DENSITY_INPUT,
        Input("target_g", "weight of the whole fill", low=0.0, high=1e6),
        Input(
            "rest",
            "what fills the void above the shot",
            takes="choice",
            default="resin",
            choices=("resin", "empty"),
        ),
    ),
    results=(
        Result("height_mm", "top of the shot over the void's bottom"),
        Result("void_ml", "the void's volume up to there"),
    ),
    formula="volume of the shot zone = (target - void x rest density)/(packed density - rest "
    "density); its height from the outline",
    sources=("mass balance; a worked case of a 20 mm bore with lead",),
    limits=(
        "The area runs in straight lines between the depths given.",
        "Deeper than the void, or lighter than resin alone, is refused.",
    ),
    example={
        "outline": '{"bore_mm": 20, "depth_mm": 90}',
        "packing_fraction": "0.6",
        "shot_density_g_cm3": "7.8",
        "resin_density_g_cm3": "1.1",
        "target_g": "110",
    },
    work=work,
    curve=("target_g", "height_mm"),
)
