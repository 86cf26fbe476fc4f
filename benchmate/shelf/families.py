"""Families of materials: the common practice that stands in where a label is silent.

Every value in this file is common practice without a source, unless it says otherwise, and is
marked so wherever it is used. Densities of metals are handbook values (element densities as in
the CRC tables; steel, and lead with a little antimony, within the usual ranges of the trade).
"""

from __future__ import annotations

from typing import Any

from benchmate.reckon.filling.metal import SHOT
from benchmate.shelf.material import COMMON_PRACTICE, LabelWindow, Material

MIN, H, D = 60.0, 3600.0, 86400.0

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


def _w(name: str, act: str, **values: Any) -> LabelWindow:
    return LabelWindow(name=name, act=act, source=COMMON_PRACTICE, **values)


def _pot_life(minutes: float, at_c: float = 21.0) -> LabelWindow:
    return _w(
        "pot life",
        "mixed",
        closes_s=minutes * MIN,
        at_c=at_c,
        missed="spoils mix",
        closes_text="the mix gels",
        missed_text="Stand the cup outside to cool, bin it, and mix a fresh one.",
    )


def _cast(tacky: tuple[float, float], cure: tuple[float, float]) -> tuple[LabelWindow, ...]:
    return (
        _w(
            "tacky",
            "poured",
            opens_s=tacky[0] * H,
            closes_s=tacky[1] * H,
            at_c=21.0,
            opens_text="the next layer may go on",
            closes_text="the next layer won't bond without scuffing",
            missed="extra work",
            missed_text="Let it cure, wash off any blush (bloom), scuff, wipe, then pour.",
        ),
        _w(
            "cure",
            "poured",
            opens_s=cure[0] * H,
            full_s=cure[1] * H,
            at_c=21.0,
            opens_text="ready to handle",
            full_text="ready to sand",
        ),
    )


def _glue(
    open_min: float, closed_min: float, clamp_min: float, full_h: float
) -> tuple[LabelWindow, ...]:
    redo = "Scrape and wash the glue off, let it dry, freshen the faces, glue again."
    return (
        _w(
            "open time",
            "spread",
            closes_s=open_min * MIN,
            at_c=21.0,
            missed="spoils joint",
            closes_text="the glue skins over",
            missed_text=redo,
        ),
        _w(
            "closed assembly",
            "closed",
            closes_s=closed_min * MIN,
            at_c=21.0,
            missed="spoils joint",
            closes_text="the glue grabs before it is clamped",
            missed_text=redo,
        ),
        _w(
            "clamp time",
            "clamped",
            opens_s=clamp_min * MIN,
            full_s=full_h * H,
            at_c=21.0,
            opens_text="clamps may come off",
            full_text="full strength",
        ),
    )


def _coat(recoat: tuple[float, float | None], hard_d: float, late: str) -> tuple[LabelWindow, ...]:
    closes = None if recoat[1] is None else recoat[1] * H
    return (
        _w(
            "recoat",
            "coated",
            opens_s=recoat[0] * H,
            closes_s=closes,
            at_c=20.0,
            opens_text="the next coat may go on",
            closes_text="too late to recoat without sanding",
            missed="nothing" if closes is None else "extra work",
            missed_text=late,
        ),
        _w(
            "hard",
            "coated",
            opens_s=hard_d / 4 * D,
            full_s=hard_d * D,
            at_c=20.0,
            opens_text="dry enough to handle and buff",
            full_text="ready to use",
        ),
    )


_OIL_OFF = _w(
    "wipe off",
    "coated",
    closes_s=20 * MIN,
    at_c=20.0,
    missed="extra work",
    closes_text="the excess turns sticky",
    missed_text="Wet it with a little fresh oil, rub until it loosens, and wipe dry.",
)
_SCUFF = "Scuff lightly, take off the dust, then coat."
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
        windows=(_pot_life(45), *_cast((5, 12), (24, 72))),
        **_EPOXY,
    ),
    Material(
        name="fast casting epoxy",
        kind="resin",
        ratio=(100.0, 50.0),
        ratio_by="weight",
        label_mass_g=100.0,
        largest_mix_g=120.0,
        windows=(_pot_life(15), *_cast((1.5, 4), (8, 24))),
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
        windows=(_pot_life(30), *_glue(30, 30, 8 * 60, 24)[2:]),
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
        windows=_glue(10, 15, 45, 24),
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
        windows=_glue(8, 15, 60, 24),
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
        windows=_glue(2, 3, 4 * 60, 24),
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
        windows=_glue(10, 15, 6 * 60, 24),
    ),
    Material(
        name="polyurethane glue",
        kind="polyurethane glue",
        air="moisture cure",
        lowest_c=10.0,
        density_g_cm3=1.1,
        spread_g_m2=150.0,
        stays=1.0,
        windows=_glue(15, 20, 2 * 60, 24),
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
            _w(
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
            _w(
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
            _w(
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
    Material(
        name="hard oil",
        kind="oil",
        air="evaporation",
        carrier="solvent",
        lowest_c=12.0,
        density_g_cm3=0.9,
        spread_g_m2=40.0,
        stays=0.5,
        rags=True,
        cautions=("oily rags", "solvent vapour"),
        windows=(_OIL_OFF, *_coat((12, 72), 7, "Rub down with a fine pad, wipe, then oil.")),
    ),
    Material(
        name="raw linseed oil",
        kind="oil",
        air="evaporation",
        carrier="solvent",
        lowest_c=12.0,
        density_g_cm3=0.93,
        spread_g_m2=40.0,
        stays=1.0,
        rags=True,
        cautions=("oily rags",),
        windows=(_OIL_OFF, *_coat((48, None), 28, "")),
    ),
    Material(
        name="clear film finish, water-borne",
        kind="film finish",
        air="waterborne",
        carrier="water",
        lowest_c=12.0,
        density_g_cm3=1.03,
        spread_g_m2=90.0,
        stays=0.32,
        windows=_coat((2, 24), 7, _SCUFF),
    ),
    Material(
        name="clear film finish, oil-based",
        kind="film finish",
        air="evaporation",
        carrier="solvent",
        lowest_c=12.0,
        density_g_cm3=0.9,
        spread_g_m2=80.0,
        stays=0.5,
        rags=True,
        cautions=("oily rags", "solvent vapour"),
        windows=_coat((12, 48), 14, _SCUFF),
    ),
    Material(
        name="clear film finish, two-part polyurethane",
        kind="film finish",
        air="evaporation",
        carrier="solvent",
        lowest_c=15.0,
        density_g_cm3=0.98,
        spread_g_m2=90.0,
        stays=0.45,
        cautions=("isocyanates", "solvent vapour"),
        windows=(_pot_life(120, 20.0), *_coat((6, 24), 7, _SCUFF)),
    ),
    Material(
        name="shellac",
        kind="film finish",
        air="evaporation",
        carrier="solvent",
        lowest_c=15.0,
        density_g_cm3=0.85,
        spread_g_m2=60.0,
        stays=0.2,
        cautions=("solvent vapour",),
        windows=_coat((1, None), 3, ""),
    ),
    Material(
        name="friction polish",
        kind="lathe polish",
        air="evaporation",
        carrier="solvent",
        lowest_c=12.0,
        density_g_cm3=0.87,
        spread_g_m2=20.0,
        stays=0.3,
        cautions=("solvent vapour", "rotating machines"),
        windows=(
            _w(
                "recoat",
                "coated",
                opens_s=10 * MIN,
                at_c=20.0,
                opens_text="the next coat may go on",
            ),
            _w(
                "hard",
                "coated",
                opens_s=1 * D,
                full_s=7 * D,
                at_c=20.0,
                opens_text="ready to buff",
                full_text="ready to use",
            ),
        ),
    ),
    Material(
        name="paste wax",
        kind="wax",
        air="evaporation",
        carrier="solvent",
        lowest_c=10.0,
        density_g_cm3=0.85,
        spread_g_m2=15.0,
        stays=0.4,
        cautions=("solvent vapour",),
        windows=(
            _w(
                "haze",
                "waxed",
                opens_s=15 * MIN,
                closes_s=2 * H,
                at_c=20.0,
                opens_text="ready to buff",
                closes_text="the wax drags",
                missed="extra work",
                missed_text="Wipe on a little fresh wax to soften it, then buff.",
            ),
        ),
    ),
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
