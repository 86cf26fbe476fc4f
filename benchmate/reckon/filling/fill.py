"""Shot and resin for a void, poured in layers, with clear resin on top.

A mass balance: the shot is the packed share of the void, resin fills the rest. Shot is counted as
metal volume, never as it lies in the bag.
"""

import msgspec

from benchmate.reckon.asking.frame import Given, Input, Plain, Reckoner, Refused, Result, Worked
from benchmate.reckon.filling.trade import (
    GLUE_HOLDS_ON_WOOD,
    LEAD_CORRODES,
    STEEL_SPARKS,
    is_like_lead,
)


class Layer(msgspec.Struct, frozen=True):
    """What goes into one layer."""

    volume_ml: float
    shot_g: float
    resin_g: float
    resin_ml: float


class Fill(msgspec.Struct, frozen=True):
    """The layers from the bottom up, all alike, and the clear cap on top (zero for none)."""

    layers: tuple[Layer, ...]
    cap: Layer

    @property
    def shot_g(self) -> float:
        """Return the shot of all layers."""
        return sum(layer.shot_g for layer in self.layers)

    @property
    def resin_g(self) -> float:
        """Return all resin, the cap's too."""
        return sum(layer.resin_g for layer in (*self.layers, self.cap))

    @property
    def resin_ml(self) -> float:
        """Return all resin by volume, the cap's too."""
        return sum(layer.resin_ml for layer in (*self.layers, self.cap))

    @property
    def total_g(self) -> float:
        """Return shot and resin together."""
        return self.shot_g + self.resin_g


def packed(
    volume_ml: float, packing_fraction: float, shot_density_g_cm3: float, resin_density_g_cm3: float
) -> Layer:
    """Return the shot and resin that fill a volume; packing 0 is plain resin."""
    resin_ml = volume_ml * (1.0 - packing_fraction)
    return Layer(
        volume_ml,
        volume_ml * packing_fraction * shot_density_g_cm3,
        resin_ml * resin_density_g_cm3,
        resin_ml,
    )


def mixed_density_g_cm3(
    packing_fraction: float, shot_density_g_cm3: float, resin_density_g_cm3: float
) -> float:
    """Return the density of packed shot in resin."""
    return packing_fraction * shot_density_g_cm3 + (1.0 - packing_fraction) * resin_density_g_cm3


def fill(
    void_ml: float,
    packing_fraction: float,
    shot_density_g_cm3: float,
    resin_density_g_cm3: float,
    layers: int = 1,
    cap_ml: float = 0.0,
) -> Fill:
    """Return what fills a void in equal layers, its topmost `cap_ml` being clear resin.

    Raises Refused when the cap takes the whole void.
    """
    if cap_ml >= void_ml:
        raise Refused(
            f"the cap alone takes {cap_ml:.1f} ml and the void holds {void_ml:.1f} ml: "
            "make the cap thinner or the void deeper"
        )
    layer = packed(
        (void_ml - cap_ml) / layers, packing_fraction, shot_density_g_cm3, resin_density_g_cm3
    )
    return Fill((layer,) * layers, packed(cap_ml, 0.0, shot_density_g_cm3, resin_density_g_cm3))


def work(given: Given) -> Worked:
    """Answer `fill`; raises Refused."""
    cap_mm = given.number("cap_mm")
    if cap_mm > 0.0 and not given.has("cap_area_cm2"):
        raise Refused("cap_area_cm2 is missing: a cap's volume is its thickness times the area")
    cap_ml = cap_mm / 10.0 * given.number("cap_area_cm2") if cap_mm > 0.0 else 0.0
    density = given.number("shot_density_g_cm3")
    found = fill(
        given.number("void_ml"),
        given.number("packing_fraction"),
        density,
        given.number("resin_density_g_cm3"),
        given.count("layers"),
        cap_ml,
    )
    return Worked(
        {
            "shot_g": found.shot_g,
            "resin_g": found.resin_g,
            "resin_ml": found.resin_ml,
            "total_g": found.total_g,
            "effective_density_g_cm3": found.total_g / given.number("void_ml"),
            "per_layer": _per_layer(found),
        },
        tuple(_notes(density, cap_mm)),
    )


def _per_layer(found: Fill) -> list[Plain]:
    rows: list[dict[str, Plain]] = [
        {
            "layer": number,
            "shot_g": layer.shot_g,
            "resin_g": layer.resin_g,
            "resin_ml": layer.resin_ml,
            "volume_ml": layer.volume_ml,
        }
        for number, layer in enumerate(found.layers, start=1)
    ]
    if found.cap.volume_ml > 0.0:
        last, top = found.cap, found.layers[-1]
        rows[-1] |= {
            "resin_g": top.resin_g + last.resin_g,
            "resin_ml": top.resin_ml + last.resin_ml,
            "volume_ml": top.volume_ml + last.volume_ml,
            "cap_g": last.resin_g,
            "cap_ml": last.resin_ml,
        }
    return list(rows)


def _notes(shot_density_g_cm3: float, cap_mm: float) -> list[str]:
    notes = ["Resin's own shrinkage on cure (1 to 6 %, the maker's figure) is taken as nothing."]
    if is_like_lead(shot_density_g_cm3):
        notes.append(LEAD_CORRODES)
    elif cap_mm <= 0.0 and 7.0 <= shot_density_g_cm3 <= 8.0:
        notes.append(STEEL_SPARKS)
    notes.append(GLUE_HOLDS_ON_WOOD)
    return notes


PACKING_INPUT = Input(
    "packing_fraction",
    "metal's share of the void (see packing)",
    low=0.0,
    high=0.95,
    source_low=0.40,
    source_high=0.70,
    beyond="one size of shot packs 0.43 to 0.64, two sizes up to about 0.75",
)
SHOT_DENSITY_INPUT = Input(
    "shot_density_g_cm3", "density of the shot's metal (see metal)", low=1.0, high=23.0
)
RESIN_DENSITY_INPUT = Input(
    "resin_density_g_cm3", "density of the mixed resin", default=1.1, low=0.7, high=2.5
)

RECKONER = Reckoner(
    name="fill",
    title="How much shot and resin a void takes, layer by layer",
    inputs=(
        Input("void_ml", "the whole void, cap included", above=0.0, high=1e5),
        PACKING_INPUT,
        SHOT_DENSITY_INPUT,
        RESIN_DENSITY_INPUT,
        Input("layers", "layers of equal volume", takes="count", default=1, low=1, high=100),
        Input(
            "cap_mm",
            "clear resin on top, the uppermost part of the void",
            default=0.0,
            low=0.0,
            high=200.0,
        ),
        Input(
            "cap_area_cm2", "area of the void where the cap lies", needed=False, above=0.0, high=1e4
        ),
    ),
    results=(
        Result("shot_g", "shot in all"),
        Result("resin_g", "mixed resin in all, the cap's too"),
        Result("resin_ml", "the same by volume"),
        Result("total_g", "shot and resin together"),
        Result("effective_density_g_cm3", "total over the whole void"),
        Result(
            "per_layer",
            "shot_g, resin_g, resin_ml, volume_ml of each layer from the bottom; the "
            "last one's resin holds the cap's too, given also as cap_g",
            unit="",
        ),
    ),
    formula="shot = packing x (void - cap) x shot density; resin = the rest x resin density",
    sources=("mass balance; worked values with the densities of periodictable",),
    limits=(
        "Resin fills every gap between the shot; trapped air shows as missing weight.",
        GLUE_HOLDS_ON_WOOD,
        "Losses in the cup are not in it (see resin-mix).",
    ),
    example={
        "void_ml": "100",
        "packing_fraction": "0.6",
        "shot_density_g_cm3": "7.8",
        "resin_density_g_cm3": "1.1",
        "layers": "4",
        "cap_mm": "1.5",
        "cap_area_cm2": "24",
    },
    work=work,
    curve=("packing_fraction", "total_g"),
)
