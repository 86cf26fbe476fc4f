"""Which material serves each role of a procedure when a job is started, and what its label
brings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.shelf.shelf import find_material
from benchmate.localtime import local
from benchmate.plan.plan import MaterialOfPlan, Plan
from benchmate.quantities.show import Units
from benchmate.refusal import UnknownAddress
from benchmate.shelf import COMMON_PRACTICE, FAMILIES, Material, clashes, filled
from benchmate.shelf.stock import left_of, needed, short_of, too_old

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document


@dataclass(frozen=True)
class Role:
    """A name that the procedure gives a material, and the materials that could serve it, likeliest
    first."""

    name: str
    asked: str
    """What the file names: a material or a family."""
    options: tuple[Material, ...]


def roles_of(bench: Bench, asked: Mapping[str, str]) -> tuple[Role, ...]:
    """The roles with what could serve each: the materials of its family, then of its kind, and the
    families of that kind, whose values are common practice."""
    materials = materials_of(bench)
    return tuple(Role(role, name, _options(name, materials)) for role, name in asked.items())


def _options(name: str, materials: Mapping[str, Material]) -> tuple[Material, ...]:
    from benchmate.procedure.expanding.roles import material_for

    default = material_for(name, materials, FAMILIES)
    if default is None:
        return tuple(materials.values())
    kind, family = default.kind, default.family
    alike = [t for t in materials.values() if t.family == family]
    others = [t for t in materials.values() if t.family != family and filled(t).kind == kind]
    known = [Material(name=f.name, family=f.name, kind=f.kind) for f in FAMILIES.values()]
    rest = [f for f in known if f.kind == kind and f.name not in materials]
    rest.sort(key=lambda f: f.family != family)
    first = [t for t in (*alike, *rest) if t.name == default.name]
    every = (*first, *alike, *others, *rest)
    return tuple({t.name: t for t in every}.values())


def checked(bench: Bench, document: Document, chosen: Mapping[str, str]) -> dict[str, str]:
    """The chosen materials by their full names. Raises Refused for a role or a material that there
    isn't."""
    roles = document.standard.head.materials
    for role in chosen:
        if role not in roles:
            known = ", ".join(roles) or "none"
            raise UnknownAddress(
                f"{document.title} calls no material “{role[:40]}”; its materials are: {known}."
            )
    return {role: find_material(bench, name).name for role, name in chosen.items()}


def chosen_in(bench: Bench, plan: Plan) -> tuple[dict[str, str], list[str]]:
    """The materials that were chosen for a job and are still there; a sentence on each that
    isn't."""
    picked = {t.role: t.material for t in plan.materials if t.chosen}
    known = {**materials_of(bench), **FAMILIES}
    gone = [
        f"{role}: the material “{material}” of that job is no longer on the shelf."
        for role, material in picked.items()
        if material not in known
    ]
    return {role: material for role, material in picked.items() if material in known}, gone


USUAL = "~ common practice (for 18 to 22 °C, 64 to 72 °F), not from your label"
"""What the mark of a value means, once a page."""


def material_words(material: MaterialOfPlan) -> str:
    """ "glue: my PVA. Label of my PVA: open time 5 min. ~ spread 180 g/m²."."""
    by_source: dict[str, list[str]] = {}
    for value in material.values:
        gap = " " if value.text[:1].isdigit() else ", "
        by_source.setdefault(value.source, []).append(f"{value.what}{gap}{value.text}")
    last = by_source.pop(COMMON_PRACTICE, [])
    parts = [f"{_capital(source)}: {'; '.join(texts)}." for source, texts in by_source.items()]
    parts += [f"~ {'; '.join(last)}."] if last else []
    return " ".join((f"{material.role}: {material.material}{_whence(material)}.", *parts))


def _whence(material: MaterialOfPlan) -> str:
    said = ", as you chose" if material.chosen else ""
    return said if material.on_shelf else f"{said} (none on the shelf)"


def counted(material: MaterialOfPlan) -> str:
    """ "my PVA: 3 values from its label, 2 values by common practice"."""
    rough = sum(v.source == COMMON_PRACTICE for v in material.values)
    counts = ((len(material.values) - rough, "from its label"), (rough, "by common practice"))
    parts = [f"{n} {'value' if n == 1 else 'values'} {whence}" for n, whence in counts if n]
    return f"{material.material}{_whence(material)}" + (f": {', '.join(parts)}" if parts else "")


def shelf_cautions(bench: Bench, plan: Plan) -> list[str]:
    """What speaks against the plan's materials: one that runs out, stood open too long, or whose
    label and common practice contradict each other."""
    materials, used, units = materials_of(bench), bench.shop.shelf.used, bench.settings.units
    need, today = needed(plan.steps), today_of(bench)
    said: list[str] = []
    for name in dict.fromkeys(t.material for t in plan.materials):
        material = materials.get(name)
        if material is not None:
            said += _against(material, used.get(name, 0.0), need.get(name, 0.0), today, units)
    return said


def against_of(bench: Bench, material: Material) -> list[str]:
    """What speaks against using a material at all: it is empty by the record, or stood open too
    long."""
    used = bench.shop.shelf.used.get(material.name, 0.0)
    left = left_of(material, used)
    empty = (
        f"{material.name} is empty by the record: is it another one?"
        if left is not None and (left <= 0.0)
        else ""
    )
    return [text for text in (empty, too_old(material, today_of(bench))) if text]


def _against(
    material: Material, used_g: float, need_g: float, today: date, units: Units
) -> list[str]:
    found = (
        short_of(material, used_g, need_g, units),
        too_old(material, today),
        *clashes(material),
    )
    return [text for text in found if text]


def materials_said(bench: Bench, job: str) -> list[str]:
    """Which material serves each role of a job just started, with its values, and what speaks
    against them."""
    state = bench.job(job)
    if state is None or state.plan is None:
        return []
    cautions = [f"Caution: {text}" for text in shelf_cautions(bench, state.plan)]
    words = [material_words(material) for material in state.plan.materials if material.values]
    is_rough = any(v.source == COMMON_PRACTICE for m in state.plan.materials for v in m.values)
    return [*words, *([USUAL] if is_rough else []), *cautions]


def today_of(bench: Bench) -> date:
    """The day it is where the shop is."""
    return local(bench.now().wall_s).date().to_stdlib()


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
