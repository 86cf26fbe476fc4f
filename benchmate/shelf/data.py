"""A material as plain data for another program: every value with who said it, units in the
names."""

from __future__ import annotations

from typing import Any

from benchmate.shelf.clocks import acts_of
from benchmate.shelf.filling import clashes, filled, rough_edges
from benchmate.shelf.material import COMMON_PRACTICE, EDGES, LabelWindow, Material
from benchmate.shelf.stock import keeps_until, left_of

_VALUES = (
    "ratio",
    "ratio_by",
    "lowest_c",
    "label_mass_g",
    "largest_mix_g",
    "density_g_cm3",
    "density_a_g_cm3",
    "density_b_g_cm3",
    "spread_g_m2",
    "stays",
    "size_mm",
    "heat_j_g",
    "specific_heat_j_gk",
)


def as_data(material: Material, used_g: float, *, on_shelf: bool = True) -> dict[str, Any]:
    """All that is known of a material. `source` is its label or "common practice, no source"."""
    full, until = filled(material), keeps_until(material)
    return {
        "name": material.name,
        "on_shelf": on_shelf,
        "family": material.family,
        "kind": full.kind,
        "acts": list(acts_of(material)),
        "data_sheet": material.data_sheet,
        "grit": material.grit,
        "amount": material.amount,
        "unit": material.unit,
        "used_g": round(used_g, 3),
        "left": left_of(material, used_g),
        "opened_on": material.opened_on,
        "keeps_until": until.isoformat() if until else None,
        "values": {
            key: {
                "value": value,
                "source": COMMON_PRACTICE if key in full.rough else material.source,
            }
            for key in _VALUES
            if (value := getattr(full, key)) is not None
        },
        "windows": [_window(material, w) for w in full.windows],
        "cautions": list(full.cautions),
        "contradictions": list(clashes(material)),
    }


def _window(material: Material, window: LabelWindow) -> dict[str, Any]:
    rough = rough_edges(window)
    return {
        "name": window.name,
        "act": window.act,
        "at_c": window.at_c,
        "edges": {
            edge: {"s": seconds, "source": COMMON_PRACTICE if edge in rough else material.source}
            for edge in EDGES
            if (seconds := getattr(window, f"{edge}_s")) is not None
        },
        "missed": window.missed,
    }
