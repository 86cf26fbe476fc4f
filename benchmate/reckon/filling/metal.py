"""Densities and specific heats of metals, and of their alloys.

Sources: densities as in periodictable (elements at room temperature); specific heats at 25 °C from
the CRC Handbook table as carried by chemicals. Alloys and shot are common practice: a range, shown
as its middle with a rectangular uncertainty. Tin is white tin; a handbook's 5.77 is grey tin.
"""

from collections.abc import Mapping
from math import hypot, isclose, sqrt

import msgspec

from benchmate.nearest import or_nearest
from benchmate.quantities import QuantityError, quote
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, WithU, Worked
from benchmate.reckon.asking.suffixes import number_in, unit_of
from benchmate.reckon.filling.trade import LEAD_HANDLING, STEEL_SPARKS, is_lead


class Metal(msgspec.Struct, frozen=True):
    """A metal's density and specific heat; u where the density is a range, else None."""

    density_g_cm3: float
    specific_heat_j_gk: float
    u_g_cm3: float | None = None


ELEMENTS: dict[str, Metal] = {
    "lead": Metal(11.35, 0.1274),
    "iron": Metal(7.874, 0.4495),
    "tungsten": Metal(19.3, 0.1322),
    "bismuth": Metal(9.747, 0.1220),
    "tin": Metal(7.31, 0.2174),
    "copper": Metal(8.96, 0.3840),
    "zinc": Metal(7.133, 0.3885),
    "antimony": Metal(6.691, 0.2070),
    "nickel": Metal(8.902, 0.4447),
}


def _range(low: float, high: float, specific_heat_j_gk: float) -> Metal:
    return Metal((low + high) / 2.0, specific_heat_j_gk, (high - low) / sqrt(12.0))


SHOT: dict[str, Metal] = {
    "steel shot": _range(7.74, 7.86, 0.4495),
    "lead shot": _range(10.9, 11.3, 0.1274),
    "bismuth-tin shot": _range(9.3, 9.7, 0.1220),
    "tungsten shot": _range(12.0, 18.0, 0.1322),
    "brass shot": _range(8.4, 8.6, 0.3840),
}
"""The one table of shot: the shelf's families take their densities from here. Ranges as sold
(common practice, no source); lead shot is hardened with 1 to 5 % antimony, steel has a little air
in it, and tungsten is mixed with lighter metals."""
TRADE: dict[str, Metal] = {
    **SHOT,
    "steel": SHOT["steel shot"],
    "chilled lead shot": _range(10.9, 11.2, 0.1274),
    "brass": _range(8.4, 8.7, 0.3840),
    "bronze": _range(8.7, 8.9, 0.3840),
}
_ALIASES = {
    "pb": "lead",
    "fe": "iron",
    "w": "tungsten",
    "bi": "bismuth",
    "sn": "tin",
    "cu": "copper",
    "zn": "zinc",
    "sb": "antimony",
    "ni": "nickel",
    "iron shot": "iron",
    "white tin": "tin",
    "chilled lead": "chilled lead shot",
    "bismuth tin shot": "bismuth-tin shot",
}


def find_metal(name: str) -> tuple[str, Metal]:
    """Return (name, metal) for a metal or shot; raises Refused with the nearest right name."""
    folded = " ".join(name.casefold().split())
    folded = _ALIASES.get(folded, folded)
    metal = ELEMENTS.get(folded) or TRADE.get(folded)
    if metal is None:
        raise Refused(f"there is no metal {quote(name)}{or_nearest(folded, [*ELEMENTS, *TRADE])}")
    return folded, metal


def alloy(shares: Mapping[str, float]) -> Metal:
    """Return an ideal alloy of shares by mass that add up to 1.

    1/density is the mass-weighted mean of 1/density; the specific heat is the weighted mean (the
    rule of Neumann and Kopp). A real alloy may be a little denser (brass is, by 2 %).
    """
    metals = [(find_metal(name)[1], share) for name, share in shares.items()]
    density_g_cm3 = 1.0 / sum(share / metal.density_g_cm3 for metal, share in metals)
    heat_j_gk = sum(share * metal.specific_heat_j_gk for metal, share in metals)
    pulls = [share * (m.u_g_cm3 or 0.0) / m.density_g_cm3**2 for m, share in metals]
    u_g_cm3 = density_g_cm3**2 * hypot(*pulls)
    return Metal(density_g_cm3, heat_j_gk, u_g_cm3 or None)


def read_shares(data: object) -> dict[str, float]:
    """Return shares by mass that add up to 1, from {"lead": 0.96, …} or in per cent.

    Raises Refused for anything else.
    """
    pairs = list(data.items()) if isinstance(data, Mapping) else data
    if not isinstance(pairs, list | tuple) or not 0 < len(pairs) <= 20:
        raise Refused('alloy must be shares by mass, like {"lead": 0.96, "antimony": 0.04}')
    shares: dict[str, float] = {}
    for pair in pairs:
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise Refused('alloy must be shares by mass, like {"lead": 0.96, "antimony": 0.04}')
        name = find_metal(str(pair[0]))[0]
        shares[name] = shares.get(name, 0.0) + _share(str(pair[0]), pair[1])
    total = sum(shares.values())
    whole = next((w for w in (1.0, 100.0) if isclose(total, w, rel_tol=0.005)), None)
    if whole is None:
        raise Refused(
            f"the alloy's shares add up to {total:.4g}; they must add up to 1 or to 100 %"
        )
    return {name: share / total for name, share in shares.items()}


def _share(name: str, raw: object) -> float:
    try:
        share = number_in(unit_of("share", "share"), raw)
    except QuantityError as error:
        raise Refused(f"alloy.{name[:40]}: {error}") from error
    if share < 0.0:
        raise Refused(f"the share of {quote(name)} is below zero; shares are parts of the whole")
    return share


def work(given: Given) -> Worked:
    """Answer `metal`; raises Refused."""
    if given.word("name") and given.has("alloy"):
        raise Refused("name and alloy are both given; give one of them")
    if given.word("name"):
        name, metal = find_metal(given.word("name"))
        parts = {name: 1.0}
    elif given.has("alloy"):
        parts = read_shares(given.data("alloy"))
        metal = alloy(parts)
    else:
        raise Refused(f"neither name nor alloy is given; a name is one of {', '.join(ELEMENTS)}")
    density: float | WithU = metal.density_g_cm3
    if metal.u_g_cm3 is not None:
        density = WithU(metal.density_g_cm3, metal.u_g_cm3)
    return Worked(
        {"density_g_cm3": density, "specific_heat_j_gk": metal.specific_heat_j_gk},
        tuple(_notes(parts, metal)),
    )


def _notes(parts: Mapping[str, float], metal: Metal) -> list[str]:
    notes: list[str] = []
    if metal.u_g_cm3 is not None:
        notes.append(
            "The density is the middle of a range from common practice; the maker's data sheet "
            "or a weighing in water knows better."
        )
    if len(parts) > 1:
        notes.append("An ideal alloy; a real one can be a few per cent off, mostly denser.")
    if any(is_lead(name) for name in parts):
        notes.append(LEAD_HANDLING)
    if any(name in ("iron", "steel", "steel shot") for name in parts):
        notes.append(STEEL_SPARKS)
    return notes


RECKONER = Reckoner(
    name="metal",
    title="How dense a metal or alloy is, and what heat it takes up",
    inputs=(
        Input("name", "a metal or shot by name", takes="word", needed=False),
        Input(
            "alloy",
            'shares by mass instead, as JSON: {"lead": 0.96, "antimony": 0.04}',
            takes="data",
            needed=False,
        ),
    ),
    results=(
        Result("density_g_cm3", "density of the solid metal", has_u=True),
        Result("specific_heat_j_gk", "specific heat at 25 °C"),
    ),
    formula="1/density = sum of share/density; specific heat = sum of share x specific heat",
    sources=(
        "periodictable (densities of the elements)",
        "CRC Handbook table as carried by chemicals (specific heats at 25 °C)",
        "alloys and shot by name: common practice, no source",
    ),
    limits=(
        "The density is the solid metal's; a bag of shot has about 0.6 of it.",
        "Handbooks differ by 0.5 %.",
        "u is given where the trade knows only a range.",
    ),
    example={"alloy": '{"lead": 0.96, "antimony": 0.04}'},
    work=work,
)
