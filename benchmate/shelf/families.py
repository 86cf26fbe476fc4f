"""Families of materials: the common practice that stands in where a label is silent.

Every value in this file is common practice without a source, unless it says otherwise, and is
marked so wherever it is used. Densities of metals are handbook values (element densities as in
the CRC tables; steel, and lead with a little antimony, within the usual ranges of the trade).
"""

from __future__ import annotations

from typing import Any

from benchmate.reckon.filling.metal import SHOT
from benchmate.shelf.families_of_finish import FINISHES
from benchmate.shelf.material import Material
from benchmate.shelf.usual_clocks import MIN, H, cast_resin, label_window, pot_life, wood_glue

KINDS = (
    "shot",
    "resin",
    "hardener",
    "wood glue",
    "epoxy glue",
    "contact adhesive",
    "cyanoacrylate",
    "hide glue",
    "polyurethane glue",
    "oil",
    "wax",
    "film finish",
    "lathe polish",
    "buffing compound",
    "sheet",
    "tape",
    "abrasive",
)


_EPOXY: dict[str, Any] = {
    "air": "arrhenius",
    "lowest_c": 15.0,
    "density_g_cm3": 1.1,
    "density_a_g_cm3": 1.13,
    "density_b_g_cm3": 1.0,
    "heat_j_g": 400.0,
    "specific_heat_j_gk": 1.8,
    "cautions": ("epoxy", "exotherm"),
}
_SHOT: dict[str, Any] = {"kind": "shot", "size_mm": 2.0}


def _shot(name: str) -> float:
    """The density that the reckoners' table has for it."""
    return round(SHOT[name].density_g_cm3, 3)


_TABLE: tuple[Material, ...] = (
    Material(name="steel shot", density_g_cm3=_shot("steel shot"), **_SHOT),
    Material(name="steel 2 mm", density_g_cm3=_shot("steel shot"), **_SHOT),
    Material(name="steel 1 mm", density_g_cm3=_shot("steel shot"), kind="shot", size_mm=1.0),
    Material(name="lead shot", density_g_cm3=_shot("lead shot"), cautions=("lead",), **_SHOT),
    Material(name="bismuth-tin shot", density_g_cm3=_shot("bismuth-tin shot"), **_SHOT),
    Material(name="tungsten shot", density_g_cm3=_shot("tungsten shot"), **_SHOT),
    Material(name="brass shot", density_g_cm3=_shot("brass shot"), **_SHOT),
    Material(
        name="slow casting epoxy",
        kind="resin",
        ratio=(100.0, 30.0),
        ratio_by="weight",
        label_mass_g=150.0,
        largest_mix_g=300.0,
        windows=(pot_life(45), *cast_resin((5, 12), (24, 72))),
        **_EPOXY,
    ),
    Material(
        name="fast casting epoxy",
        kind="resin",
        ratio=(100.0, 50.0),
        ratio_by="weight",
        label_mass_g=100.0,
        largest_mix_g=120.0,
        windows=(pot_life(15), *cast_resin((1.5, 4), (8, 24))),
        **_EPOXY,
    ),
    Material(name="epoxy hardener", kind="hardener", density_g_cm3=1.0, cautions=("epoxy",)),
    Material(
        name="two-part epoxy glue",
        kind="epoxy glue",
        ratio=(100.0, 100.0),
        ratio_by="volume",
        label_mass_g=50.0,
        largest_mix_g=100.0,
        spread_g_m2=250.0,
        stays=1.0,
        windows=(pot_life(30), *wood_glue(30, 30, 8 * 60, 24)[2:]),
        **_EPOXY,
    ),
    Material(
        name="yellow wood glue",
        kind="wood glue",
        air="waterborne",
        carrier="water",
        lowest_c=10.0,
        density_g_cm3=1.1,
        spread_g_m2=180.0,
        stays=0.45,
        windows=wood_glue(10, 15, 45, 24),
    ),
    Material(
        name="white wood glue",
        kind="wood glue",
        air="waterborne",
        carrier="water",
        lowest_c=10.0,
        density_g_cm3=1.1,
        spread_g_m2=180.0,
        stays=0.45,
        # Disputed: pages found say 5 to 30 min, some longer than yellow; the careful end stays.
        windows=wood_glue(8, 15, 60, 24),
    ),
    Material(
        name="hot hide glue",
        kind="hide glue",
        air="waterborne",
        carrier="water",
        lowest_c=18.0,
        density_g_cm3=1.1,
        spread_g_m2=200.0,
        stays=0.4,
        windows=wood_glue(2, 3, 4 * 60, 24),
    ),
    Material(
        name="liquid hide glue",
        kind="hide glue",
        air="waterborne",
        carrier="water",
        lowest_c=15.0,
        density_g_cm3=1.2,
        spread_g_m2=200.0,
        stays=0.5,
        windows=wood_glue(10, 15, 6 * 60, 24),
    ),
    Material(
        name="polyurethane glue",
        kind="polyurethane glue",
        air="moisture cure",
        lowest_c=10.0,
        density_g_cm3=1.1,
        spread_g_m2=150.0,
        stays=1.0,
        windows=wood_glue(15, 20, 2 * 60, 24),
        cautions=("isocyanates",),
    ),
    Material(
        name="contact adhesive",
        kind="contact adhesive",
        air="evaporation",
        carrier="solvent",
        lowest_c=15.0,
        density_g_cm3=0.85,
        spread_g_m2=150.0,
        stays=0.25,
        cautions=("solvent vapour",),
        windows=(
            label_window(
                "touch-dry",
                "coated",
                opens_s=20 * MIN,
                closes_s=60 * MIN,
                at_c=20.0,
                opens_text="ready to join when it feels dry to a knuckle",
                closes_text="it no longer grabs",
                missed="extra work",
                missed_text="Brush on another thin coat and let it turn touch-dry again.",
            ),
            label_window(
                "bond",
                "joined",
                opens_s=2 * H,
                full_s=24 * H,
                at_c=20.0,
                air="evaporation",
                opens_text="edges may be trimmed",
                full_text="full strength",
            ),
        ),
    ),
    Material(
        name="cyanoacrylate",
        kind="cyanoacrylate",
        air="moisture cure",
        lowest_c=10.0,
        density_g_cm3=1.06,
        spread_g_m2=100.0,
        stays=1.0,
        cautions=("cyanoacrylate",),
        windows=(
            label_window(
                "grip",
                "tacked",
                opens_s=60.0,
                full_s=12 * H,
                at_c=21.0,
                opens_text="it holds by itself",
                full_text="full strength",
            ),
        ),
    ),
    *FINISHES,
    Material(name="buffing compound", kind="buffing compound", cautions=("rotating machines",)),
    Material(name="felt 2 mm", kind="sheet", spread_g_m2=400.0, stays=1.0),
    Material(name="leather 2 mm", kind="sheet", spread_g_m2=1500.0, stays=1.0),
    Material(name="cotton cloth", kind="sheet", spread_g_m2=200.0, stays=1.0),
    Material(name="masking tape", kind="tape"),
    Material(name="abrasive", kind="abrasive"),
)

FAMILIES: dict[str, Material] = {
    t.name: Material(**{**{f: getattr(t, f) for f in t.__struct_fields__}, "family": t.name})
    for t in _TABLE
}
"""Family name to its template. The template's own values are all common practice."""
