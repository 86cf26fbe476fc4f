"""What the procedure's material names stand for: a material on the shelf, or a family's common
practice."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from benchmate.fields.problem import Fault
from benchmate.nearest import advice
from benchmate.plan.plan import MaterialOfPlan, MaterialValue
from benchmate.shelf.clocks import WORDS, edges_text
from benchmate.shelf.filling import clashes, filled, from_family, rough_edges
from benchmate.shelf.material import COMMON_PRACTICE, EDGES, LabelWindow, Material

ALIKE = {"capped": "poured", "driven": "closed", "wedged": "clamped", "laid": "joined"}
"""Acts that labels don't name, and what they say of them."""
OPENS = "opens: the data sheet says so"


class Roles:
    """The materials by the names the procedure gives them; remembers which values were taken of
    them, and from where. `chosen` are the roles whose material the maker named at the start."""

    def __init__(
        self,
        named: Mapping[str, str],
        materials: Mapping[str, Material],
        families: Mapping[str, Material],
        faults: list[Fault],
        chosen: Collection[str] = (),
    ) -> None:
        self._materials: dict[str, Material] = {}
        self.lacks: set[str] = set()
        """Names whose material nobody has: what hangs on them needn't be complained of again."""
        self._rough: dict[str, None] = {}
        self._used: dict[str, dict[tuple[str, str], MaterialValue]] = {}
        self._chosen, self._shelf = frozenset(chosen), materials
        for role, name in named.items():
            found = material_for(name, materials, families)
            if found is not None:
                self._materials[role] = found
                continue
            self.lacks.add(role)
            wrong = f"no material and no family of materials is named “{name[:60]}”"
            faults.append(Fault(("materials", role), wrong, advice(name, [*materials, *families])))

    def __contains__(self, role: str) -> bool:
        return role in self._materials

    @property
    def names(self) -> list[str]:
        """The names the procedure uses."""
        return list(self._materials)

    @property
    def rough(self) -> tuple[str, ...]:
        """What common practice gave, of all that was asked for, in words."""
        return tuple(self._rough)

    @property
    def of_plan(self) -> tuple[MaterialOfPlan, ...]:
        """Each role's material, with what was asked of it and who said so."""
        return tuple(
            MaterialOfPlan(
                role=role,
                material=material.name,
                family=material.family,
                chosen=role in self._chosen,
                on_shelf=material.name in self._shelf,
                values=tuple(self._used.get(role, {}).values()),
            )
            for role, material in self._materials.items()
        )

    def material(self, role: str) -> Material | None:
        """The material that plays a role."""
        return self._materials.get(role)

    def drop(self, role: str) -> None:
        """Its material is of the wrong kind: it is as if nobody had one."""
        self._materials.pop(role, None)
        self.lacks.add(role)

    def value(self, role: str, key: str) -> Any:
        """One value of a material, None where neither label nor family has it."""
        material = self._materials.get(role)
        if material is None:
            return None
        found = getattr(material, key)
        if found is not None:
            what, is_rough = WORDS.get(key, key), key in material.rough
            source = COMMON_PRACTICE if is_rough else material.source
            if key != "ratio_by":
                by = f" by {material.ratio_by}" if key == "ratio" and material.ratio_by else ""
                self._take(role, what, _shown(key, found) + by, source)
            if is_rough:
                self._mark(material, f"{what} {_shown(key, found)}")
        return found

    def windows(self, role: str, act: str) -> tuple[LabelWindow, ...]:
        """The label windows that this act starts."""
        material = self._materials.get(role)
        wanted = ALIKE.get(act, act)
        return tuple(w for w in material.windows if w.act == wanted) if material is not None else ()

    def use(self, role: str, window: LabelWindow) -> None:
        """Note that a window is used, its edges that a label gave and those that none did."""
        material, rough = self._materials[role], rough_edges(window)
        given = tuple(e for e in EDGES if e not in rough)
        for edges, source in ((given, material.source), (rough, COMMON_PRACTICE)):
            if text := edges_text(window, edges, bare=edges is rough):
                self._take(role, window.name, text, source)
        if rough:
            which = "" if COMMON_PRACTICE in window.source else f", {' and '.join(rough)}"
            self._mark(material, f"{window.name} after it is {window.act}{which}")

    def never_opens(self, role: str, window: LabelWindow) -> Fault | None:
        """A window whose label and common practice contradict each other, so that nobody says when
        it opens."""
        if not window.shut:
            return None
        material = self._shelf.get(self._materials[role].name, self._materials[role])
        wrong = " ".join(clashes(material, window.act, window.name)) or f"{window.name} never opens"
        return Fault(("materials", role), wrong.rstrip("."), f"type on the label when it {OPENS}")

    def _take(self, role: str, what: str, text: str, source: str) -> None:
        found = MaterialValue(what=what, text=text, source=source)
        self._used.setdefault(role, {})[(what, source)] = found

    def _mark(self, material: Material, what: str) -> None:
        self._rough[f"{material.name}: {what}: {COMMON_PRACTICE}"] = None


def _shown(key: str, found: object) -> str:
    if key == "stays" and isinstance(found, float):
        return f"{100.0 * found:g} %"
    if isinstance(found, tuple):
        return ":".join(f"{v:g}" for v in found)
    unit = {"_g_cm3": "g/cm³", "_g_m2": "g/m²", "_mm": "mm", "_c": "°C", "_g": "g"}
    shown = f"{found:g}" if isinstance(found, float) else str(found)
    return next((f"{shown} {u}" for end, u in unit.items() if key.endswith(end)), shown)


def material_for(
    name: str, materials: Mapping[str, Material], families: Mapping[str, Material]
) -> Material | None:
    """The material of that name; else the material of that family that was opened last; else the
    family."""
    folded = name.strip().casefold()
    for known, material in materials.items():
        if known.casefold() == folded:
            return filled(material)
    mine = [t for t in materials.values() if t.family.casefold() == folded]
    if mine:
        return filled(max(mine, key=lambda t: (t.opened_on, t.name)))
    family = next((f for f in families if f.casefold() == folded), None)
    return None if family is None else filled(from_family(family))
