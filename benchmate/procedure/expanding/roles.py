"""What the procedure's tin names stand for: a tin on the shelf, or a family's common practice."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from benchmate.fields.problem import Fault
from benchmate.nearest import advice
from benchmate.plan.plan import TinOfPlan, TinValue
from benchmate.stores.clocks import WORDS, edges_text
from benchmate.stores.filling import clashes, filled, from_family, rough_edges
from benchmate.stores.tin import COMMON_PRACTICE, EDGES, LabelWindow, Tin

ALIKE = {"capped": "poured", "driven": "closed", "wedged": "clamped", "laid": "joined"}
"""Acts that labels don't name, and what they say of them."""
OPENS = "opens: the data sheet says so"


class Roles:
    """The tins by the names the procedure gives them; remembers which values were taken of them,
    and from where. `chosen` are the roles whose tin the maker named at the start."""

    def __init__(
        self,
        named: Mapping[str, str],
        tins: Mapping[str, Tin],
        families: Mapping[str, Tin],
        faults: list[Fault],
        chosen: Collection[str] = (),
    ) -> None:
        self._tins: dict[str, Tin] = {}
        self.lacks: set[str] = set()
        """Names whose tin nobody has: what hangs on them needn't be complained of again."""
        self._rough: dict[str, None] = {}
        self._used: dict[str, dict[tuple[str, str], TinValue]] = {}
        self._chosen, self._shelf = frozenset(chosen), tins
        for role, name in named.items():
            found = tin_for(name, tins, families)
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

    @property
    def of_plan(self) -> tuple[TinOfPlan, ...]:
        """Each role's tin, with what was asked of it and who said so."""
        return tuple(
            TinOfPlan(
                role=role,
                tin=tin.name,
                family=tin.family,
                chosen=role in self._chosen,
                on_shelf=tin.name in self._shelf,
                values=tuple(self._used.get(role, {}).values()),
            )
            for role, tin in self._tins.items()
        )

    def tin(self, role: str) -> Tin | None:
        """The tin that plays a role."""
        return self._tins.get(role)

    def drop(self, role: str) -> None:
        """Its tin is of the wrong kind: it is as if nobody had one."""
        self._tins.pop(role, None)
        self.lacks.add(role)

    def value(self, role: str, key: str) -> Any:
        """One value of a tin, None where neither label nor family has it."""
        tin = self._tins.get(role)
        if tin is None:
            return None
        found = getattr(tin, key)
        if found is not None:
            what, is_rough = WORDS.get(key, key), key in tin.rough
            source = COMMON_PRACTICE if is_rough else tin.source
            if key != "ratio_by":
                by = f" by {tin.ratio_by}" if key == "ratio" and tin.ratio_by else ""
                self._take(role, what, _shown(key, found) + by, source)
            if is_rough:
                self._mark(tin, f"{what} {_shown(key, found)}")
        return found

    def windows(self, role: str, act: str) -> tuple[LabelWindow, ...]:
        """The label windows that this act starts."""
        tin = self._tins.get(role)
        wanted = ALIKE.get(act, act)
        return tuple(w for w in tin.windows if w.act == wanted) if tin is not None else ()

    def use(self, role: str, window: LabelWindow) -> None:
        """Note that a window is used, its edges that a label gave and those that none did."""
        tin, rough = self._tins[role], rough_edges(window)
        given = tuple(e for e in EDGES if e not in rough)
        for edges, source in ((given, tin.source), (rough, COMMON_PRACTICE)):
            if text := edges_text(window, edges):
                self._take(role, window.name, text, source)
        if rough:
            which = "" if COMMON_PRACTICE in window.source else f", {' and '.join(rough)}"
            self._mark(tin, f"{window.name} after it is {window.act}{which}")

    def never_opens(self, role: str, window: LabelWindow) -> Fault | None:
        """A window whose label and common practice contradict each other, so that nobody says when
        it opens."""
        if not window.shut:
            return None
        tin = self._shelf.get(self._tins[role].name, self._tins[role])
        wrong = " ".join(clashes(tin, window.act, window.name)) or f"{window.name} never opens"
        return Fault(("tins", role), wrong.rstrip("."), f"type on the label when it {OPENS}")

    def _take(self, role: str, what: str, text: str, source: str) -> None:
        found = TinValue(what=what, text=text, source=source)
        self._used.setdefault(role, {})[(what, source)] = found

    def _mark(self, tin: Tin, what: str) -> None:
        self._rough[f"{tin.name}: {what}: {COMMON_PRACTICE}"] = None


def _shown(key: str, found: object) -> str:
    if key == "stays" and isinstance(found, float):
        return f"{100.0 * found:g} %"
    if isinstance(found, tuple):
        return ":".join(f"{v:g}" for v in found)
    unit = {"_g_cm3": "g/cm³", "_g_m2": "g/m²", "_mm": "mm", "_c": "°C", "_g": "g"}
    shown = f"{found:g}" if isinstance(found, float) else str(found)
    return next((f"{shown} {u}" for end, u in unit.items() if key.endswith(end)), shown)


def tin_for(name: str, tins: Mapping[str, Tin], families: Mapping[str, Tin]) -> Tin | None:
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
