"""A tin as plain data for another program: every value with who said it, units in the names."""

from __future__ import annotations

from typing import Any

from benchmate.stores.clocks import acts_of
from benchmate.stores.filling import clashes, filled, rough_edges
from benchmate.stores.stock import keeps_until, left_of
from benchmate.stores.tin import COMMON_PRACTICE, EDGES, LabelWindow, Tin

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


def as_data(tin: Tin, used_g: float, *, on_shelf: bool = True) -> dict[str, Any]:
    """All that is known of a tin. `source` is its label or "common practice, no source"."""
    full, until = filled(tin), keeps_until(tin)
    return {
        "name": tin.name,
        "on_shelf": on_shelf,
        "family": tin.family,
        "kind": full.kind,
        "acts": list(acts_of(tin)),
        "data_sheet": tin.data_sheet,
        "grit": tin.grit,
        "amount": tin.amount,
        "unit": tin.unit,
        "used_g": round(used_g, 3),
        "left": left_of(tin, used_g),
        "opened_on": tin.opened_on,
        "keeps_until": until.isoformat() if until else None,
        "values": {
            key: {"value": value, "source": COMMON_PRACTICE if key in full.rough else tin.source}
            for key in _VALUES
            if (value := getattr(full, key)) is not None
        },
        "windows": [_window(tin, w) for w in full.windows],
        "cautions": list(full.cautions),
        "contradictions": list(clashes(tin)),
    }


def _window(tin: Tin, window: LabelWindow) -> dict[str, Any]:
    rough = rough_edges(window)
    return {
        "name": window.name,
        "act": window.act,
        "at_c": window.at_c,
        "edges": {
            edge: {"s": seconds, "source": COMMON_PRACTICE if edge in rough else tin.source}
            for edge in EDGES
            if (seconds := getattr(window, f"{edge}_s")) is not None
        },
        "missed": window.missed,
    }
