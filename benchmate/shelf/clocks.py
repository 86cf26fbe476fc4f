"""The windows that an act with a material starts: straight from its label."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.plan.plan import Window
from benchmate.plan.rates import ORDINARY_BAND_C, ORDINARY_C, Rule
from benchmate.quantities import show_duration, show_temperature
from benchmate.quantities.show import Units
from benchmate.reckon.heat.careful import energies_of
from benchmate.shelf.filling import filled, rough_edges, source_of
from benchmate.shelf.material import EDGES, LabelWindow, Material

WORDS = {
    "density_g_cm3": "density",
    "spread_g_m2": "spread",
    "ratio": "mix ratio",
    "label_mass_g": "batch size the pot life is for",
    "largest_mix_g": "largest mix",
    "lowest_c": "lowest temperature",
    "size_mm": "size",
    "stays": "solids left when dry",
    "density_a_g_cm3": "density of the resin",
    "density_b_g_cm3": "density of the hardener",
    "air": "how it follows the air",
    "carrier": "what leaves as it dries",
    "ratio_by": "mix ratio by",
    "heat_j_g": "heat of cure",
    "specific_heat_j_gk": "specific heat",
}


OWN_OF_EDGES = (
    "opens_c",
    "full_c",
    "closes_c",
    "opens_least_s",
    "full_least_s",
    "closes_most_s",
)
"""What a label may say of one edge alone."""


def rule_of(material: Material, window: LabelWindow, mass_g: float | None = None) -> Rule:
    """How a label's window follows the air; `mass_g` is what this cup holds."""
    in_cup = window.act == "mixed"
    low, likely, high = energies_of(window.activation_j_mol)
    return Rule(
        activation_j_mol=likely,
        activation_low_j_mol=low,
        activation_high_j_mol=high,
        family=window.air or material.air or "constant",
        ref_c=window.at_c,
        lowest_c=None if _has_gelled(material, window) else material.lowest_c,
        carrier=material.carrier or "solvent",
        label_mass_g=material.label_mass_g if in_cup else None,
        mass_g=mass_g if in_cup else None,
    )


def _has_gelled(material: Material, window: LabelWindow) -> bool:
    """Hide glue gels as it cools: once it is clamped, a cool shop only dries it slower.

    (That cold wood chills it before it is closed is another matter: common practice, no source.)
    """
    return material.family == "hot hide glue" and window.act == "clamped"


def window_of(
    material: Material, window: LabelWindow, mass_g: float | None = None, **over: str
) -> Window:
    """One label window as a plan's window; its address is still empty."""
    return Window(
        name=window.name,
        address=over.get("address", ""),
        label=over.get("label", f"{material.name}, {window.name}"),
        opens_s=window.opens_s,
        full_s=window.full_s,
        closes_s=window.closes_s,
        opens_text=window.opens_text,
        full_text=window.full_text,
        closes_text=window.closes_text,
        at_c=window.at_c,
        **{name: getattr(window, name) for name in OWN_OF_EDGES},
        rough=rough_edges(window),
        rule=rule_of(material, window, mass_g),
        missed=window.missed,
        missed_text=window.missed_text,
        source=source_of(material, window),
        material=material.name,
    )


def windows_of(material: Material, act: str, mass_g: float | None = None) -> tuple[Window, ...]:
    """The windows that this act with this material starts; empty where its label has none for it.

    Their addresses are empty: whoever records the act knows it.
    """
    full = filled(material)
    return tuple(window_of(full, w, mass_g) for w in full.windows if w.act == act)


def edges_text(
    window: LabelWindow,
    wanted: Sequence[str] = EDGES,
    units: Units = "metric",
    *,
    bare: bool = False,
) -> str:
    """What the times mean to the maker: "clamps may come off after 45 min, full strength after
    24 h at 21 °C"; "10 min" alone where a time only runs out. Empty where it has none of those
    wanted. `bare`: without the air they are for."""
    rough = rough_edges(window)
    edges = [(name, s) for name in wanted if (s := getattr(window, f"{name}_s")) is not None]
    texts = [_meaning(window, name, label_time(s)) for name, s in edges]
    ats = [_at(window, name, units, is_rough=name in rough) for name, _ in edges]
    if bare:
        return ", ".join(texts)
    if len(set(ats)) > 1:
        return ", ".join(text + at for text, at in zip(texts, ats, strict=True))
    return ", ".join(texts) + "".join(ats[:1])


def _at(window: LabelWindow, edge: str, units: Units, *, is_rough: bool) -> str:
    if is_rough:
        low, high = (
            show_temperature(ORDINARY_C + off, units) for off in (-ORDINARY_BAND_C, ORDINARY_BAND_C)
        )
        return f" at {low.partition(' ')[0]} to {high}"
    own: float | None = getattr(window, f"{edge}_c")
    celsius = window.at_c if own is None else own
    return "" if celsius is None else f" at {show_temperature(celsius, units)}"


def label_time(seconds: float) -> str:
    """A time as labels write it: "45 min", "24 h", "42 h"; days from three on."""
    hours = seconds / 3600.0
    whole = abs(hours - round(hours)) < 1e-6
    return f"{round(hours)} h" if whole and 1 <= hours < 72 else show_duration(seconds)


def _meaning(window: LabelWindow, edge: str, time: str) -> str:
    if edge == "closes":
        return time if window.opens_s is None else f"until {time}"
    means = {"opens": window.opens_text, "full": window.full_text}[edge]
    return f"{means or {'opens': 'ready', 'full': 'full strength'}[edge]} after {time}"


def acts_of(material: Material) -> tuple[str, ...]:
    """The acts that start a window of this material, in the order of its label."""
    return tuple(dict.fromkeys(w.act for w in filled(material).windows))
