"""Figures as papers show them: one rounding everywhere, no line break inside a value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchmate.plan.plan import Window
from benchmate.quantities import (
    Units,
    show_duration,
    show_length,
    show_mass,
    show_number,
    show_temperature,
)
from benchmate.quantities.units import G_PER_OZ

HARD = "\u00a0"


@dataclass(frozen=True)
class Figures:
    """Grams and millimetres in the reader's units."""

    units: Units = "metric"

    @property
    def unit(self) -> str:
        """The unit of `bare`, for a table's head."""
        return "g" if self.units == "metric" else "oz"

    def bare(self, g: float | None, *, sign: bool = False) -> str:
        """The number alone, in `unit`; a weight that isn't known is empty."""
        if g is None:
            return ""
        value = g if self.units == "metric" else g / G_PER_OZ
        decimals = 2 if self.units == "inch" or abs(g) < 1.0 else 1
        return show_number(value, decimals, sign=sign)

    def mass(self, g: float) -> str:
        """ "850.2 g", "1 lb 14 oz"."""
        return show_mass(round(g, 1) if abs(g) >= 1.0 else g, self.units).replace(" ", HARD)

    def around(self, g: float, u_g: float | None) -> str:
        """ "297 ± 30 g": both to the digit that the doubt leaves."""
        if not u_g:
            return self.mass(g)
        per, wide = (1.0, 3.0) if self.units == "metric" else (G_PER_OZ, 0.3)
        decimals = 0 if u_g / per >= wide else 1 if u_g / per >= wide / 10.0 else 2
        said = (show_number(value / per, decimals) for value in (g, u_g))
        return f"{f'{HARD}±{HARD}'.join(said)}{HARD}{self.unit}"

    @property
    def degree(self) -> str:
        """The unit of `warm`."""
        return "°C" if self.units == "metric" else "°F"

    def warm(self, c: float) -> str:
        """A temperature's number alone."""
        return show_temperature(c, self.units).rpartition(" ")[0]

    def length(self, mm: float) -> str:
        """ "12.5 mm", "1 1/2 in"."""
        return show_length(mm, self.units).replace(" ", HARD)

    def size(self, lengths_mm: Iterable[float]) -> str:
        """ "120 × 90 × 55 mm"."""
        bare, _, unit = zip(*(self.length(mm).rpartition(HARD) for mm in lengths_mm), strict=True)
        return f"{f'{HARD}× '.join(bare)}{HARD}{unit[0]}"


def label_says(window: Window) -> str:
    """ "after 12 h, within 3 d", by the label or by the maker's own rule."""
    opens = window.hold_s if window.hold_s is not None else window.opens_s
    bounds = (("after", opens), ("within", window.closes_s))
    said = (f"{word} {show_duration(s)}" for word, s in bounds if s is not None)
    return ", ".join(said).replace(" min", f"{HARD}min")
