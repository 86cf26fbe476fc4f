"""What the procedure's tin names stand for: a tin on the shelf, or a family's common practice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchmate.procedure.nearest import advice
from benchmate.procedure.problem import Fault
from benchmate.stores.clocks import WORDS
from benchmate.stores.filling import filled, from_family, rough_edges
from benchmate.stores.tin import COMMON_PRACTICE, LabelWindow, Tin

ALIKE = {"capped": "poured", "driven": "closed", "wedged": "clamped", "laid": "joined"}
"""Acts that labels don't name, and what they say of them."""


class Roles:
    """The tins by the names the procedure gives them; remembers which values were rough."""

    def __init__(
        self, named: Mapping[str, str], tins: Mapping[str, Tin], families: Mapping[str, Tin],
        faults: list[Fault],
    ) -> None:  # fmt: skip
        self._tins: dict[str, Tin] = {}
        self.lacks: set[str] = set()
        """Names whose tin nobody has: what hangs on them needn't be complained of again."""
        self._rough: dict[str, None] = {}
        for role, name in named.items():
            found = _find(name, tins, families)
            if found is not None:
                self._tins[role] = found
                continue
            self.lacks.add(role)
            wrong = f"no tin and no family of tins is named “{name[:60]}”"
            faults.append(Fault(("tins", role), wrong, advice(name, [*tins, *families])))

    def __contains__(self, role: str) -> bool:
        return role in self._tins

    @property
    def names(self) -> list[str]:
        """The names the procedure uses."""
        return list(self._tins)

    @property
    def rough(self) -> tuple[str, ...]:
        """What common practice gave, of all that was asked for, in words."""
        return tuple(self._rough)

    def tin(self, role: str) -> Tin | None:
        """The tin that plays a role."""
        return self._tins.get(role)

    def value(self, role: str, key: str) -> Any:
        """One value of a tin, None where neither label nor family has it."""
        tin = self._tins.get(role)
        if tin is None:
            return None
        found = getattr(tin, key)
        if found is not None and key in tin.rough:
            self._mark(tin, f"{WORDS.get(key, key)} {_shown(key, found)}")
        return found

    def windows(self, role: str, act: str) -> tuple[LabelWindow, ...]:
        """The label windows that this act starts."""
        tin = self._tins.get(role)
        wanted = ALIKE.get(act, act)
        return tuple(w for w in tin.windows if w.act == wanted) if tin is not None else ()

    def use(self, role: str, window: LabelWindow) -> None:
        """Note that a window is used, for the list of what is rough."""
        tin, rough = self._tins[role], rough_edges(window)
        if rough:
            which = "" if COMMON_PRACTICE in window.source else f", {' and '.join(rough)}"
            self._mark(tin, f"{window.name} after it is {window.act}{which}")

    def _mark(self, tin: Tin, what: str) -> None:
        self._rough[f"{tin.name}: {what}: {COMMON_PRACTICE}"] = None


def _shown(key: str, found: object) -> str:
    if isinstance(found, tuple):
        return " : ".join(f"{v:g}" for v in found)
    unit = {"_g_cm3": "g/cm³", "_g_m2": "g/m²", "_mm": "mm", "_c": "°C", "_g": "g"}
    shown = f"{found:g}" if isinstance(found, float) else str(found)
    return next((f"{shown} {u}" for end, u in unit.items() if key.endswith(end)), shown)


def _find(name: str, tins: Mapping[str, Tin], families: Mapping[str, Tin]) -> Tin | None:
    """The tin of that name; else the tin of that family that was opened last; else the family."""
    folded = name.strip().casefold()
    for known, tin in tins.items():
        if known.casefold() == folded:
            return filled(tin)
    mine = [t for t in tins.values() if t.family.casefold() == folded]
    if mine:
        return filled(max(mine, key=lambda t: (t.opened_on, t.name)))
    family = next((f for f in families if f.casefold() == folded), None)
    return None if family is None else filled(from_family(family))
