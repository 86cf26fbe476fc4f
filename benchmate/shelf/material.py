"""A material: one purchase on the shelf, with its label's values as they were read.

What the label doesn't say is None here; `benchmate.shelf.families` fills it in where it is
needed and marks it. A material is stored as JSON in `material described`, so its fields have
defaults and must stay readable for ever.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from benchmate.plan.plan import Consequence
from benchmate.plan.rates import Family as AirFamily

COMMON_PRACTICE = "common practice, no source"

ACTS = (
    "mixed",
    "spread",
    "closed",
    "clamped",
    "coated",
    "poured",
    "tacked",
    "joined",
    "waxed",
)
"""The acts that labels speak of."""
EDGES = ("opens", "full", "closes")


class LabelWindow(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """One time on a label: what starts it, and its edges in seconds at the label's air."""

    name: str
    act: str
    opens_s: float | None = None
    full_s: float | None = None
    closes_s: float | None = None
    at_c: float | None = None
    opens_c: float | None = None
    full_c: float | None = None
    closes_c: float | None = None
    """The temperature of one edge's time, where it isn't that of the others."""
    opens_least_s: float | None = None
    full_least_s: float | None = None
    closes_most_s: float | None = None
    """The other end where a label gives a range; the edge itself holds the safe one."""
    activation_j_mol: float | None = None
    """From two points of the label, or from its data sheet."""
    opens_text: str = ""
    full_text: str = ""
    closes_text: str = ""
    missed: Consequence = "nothing"
    missed_text: str = ""
    air: AirFamily | None = None
    """Which rule this window follows where it is not the material's."""
    source: str = ""
    """Empty: the label. Else what the family gave: COMMON_PRACTICE."""
    rough: tuple[str, ...] = ()
    """Edges that the label leaves out and the family filled in; empty on the shelf itself."""
    shut: bool = False
    """Nobody says when it opens, though its kind does: what waits for it would wait in vain."""


class Material(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """One purchase on the shelf. Every `None` is a thing that its label doesn't say."""

    name: str
    kind: str = ""
    """"shot", "resin", "wood glue" …; see `benchmate.shelf.families.KINDS`."""
    family: str = ""
    """Whose common practice fills in what the label doesn't say."""
    windows: tuple[LabelWindow, ...] = ()
    air: AirFamily | None = None
    carrier: Literal["solvent", "water"] | None = None
    label_mass_g: float | None = None
    """The mass in the cup for which the label states the pot life."""
    largest_mix_g: float | None = None
    lowest_c: float | None = None
    heat_j_g: float | None = None
    """Heat that a gram of the mix gives off as it cures, and what warms it by a degree."""
    specific_heat_j_gk: float | None = None
    ratio: tuple[float, float] | None = None
    """Resin to hardener."""
    ratio_by: Literal["weight", "volume"] | None = None
    density_g_cm3: float | None = None
    """Of the mix (resin) or of the metal (shot), not of the bag."""
    density_a_g_cm3: float | None = None
    density_b_g_cm3: float | None = None
    size_mm: float | None = None
    """Diameter of shot."""
    grit: str = ""
    spread_g_m2: float | None = None
    """What one face, one coat or one sheet weighs per square metre."""
    stays: float | None = None
    """Share of a coat's weight that stays when it is dry (0 to 1)."""
    data_sheet: str = ""
    amount: float | None = None
    unit: str = "g"
    opened_on: str = ""
    """The day as YYYY-MM-DD."""
    keeps_d: float | None = None
    """Days that it keeps once it is opened, by its label."""
    rags: bool = False
    """Its rags may heat themselves."""
    cautions: tuple[str, ...] = ()
    rough: tuple[str, ...] = ()
    """What the label doesn't say and the family filled in; empty on the shelf itself."""

    @property
    def source(self) -> str:
        """Where its label's values come from, in words."""
        return self.data_sheet or f"label of {self.name}"


_decoder = msgspec.json.Decoder(Material)


def encode_material(material: Material) -> str:
    """The JSON text that `material described` keeps."""
    return msgspec.json.encode(material).decode()


def decode_material(label: str) -> Material:
    """The material that this JSON text holds; raises msgspec's errors (ValueError) where it is
    none."""
    return _decoder.decode(label)
