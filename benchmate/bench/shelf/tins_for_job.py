"""Which tin serves each role of a procedure when a job is started, and what its label brings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from benchmate.bench.service import Bench
from benchmate.bench.shelf.shelf import find_tin
from benchmate.bench.shelf.tins import tins_of
from benchmate.localtime import local
from benchmate.plan.plan import Plan, TinOfPlan
from benchmate.quantities.show import Units
from benchmate.refusal import UnknownAddress
from benchmate.stores import COMMON_PRACTICE, FAMILIES, Tin, clashes, filled
from benchmate.stores.stock import left_of, needed, short_of, too_old

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document


@dataclass(frozen=True)
class Role:
    """A name that the procedure gives a tin, and the tins that could serve it, likeliest first."""

    name: str
    asked: str
    """What the file names: a tin or a family."""
    options: tuple[Tin, ...]


def roles_of(bench: Bench, asked: Mapping[str, str]) -> tuple[Role, ...]:
    """The roles with what could serve each: the tins of its family, then of its kind, and the
    families of that kind, whose values are common practice."""
    tins = tins_of(bench)
    return tuple(Role(role, name, _options(name, tins)) for role, name in asked.items())


def _options(name: str, tins: Mapping[str, Tin]) -> tuple[Tin, ...]:
    from benchmate.procedure.expanding.roles import tin_for

    default = tin_for(name, tins, FAMILIES)
    if default is None:
        return tuple(tins.values())
    kind, family = default.kind, default.family
    alike = [t for t in tins.values() if t.family == family]
    others = [t for t in tins.values() if t.family != family and filled(t).kind == kind]
    known = [Tin(name=f.name, family=f.name, kind=f.kind) for f in FAMILIES.values()]
    rest = [f for f in known if f.kind == kind and f.name not in tins]
    rest.sort(key=lambda f: f.family != family)
    first = [t for t in (*alike, *rest) if t.name == default.name]
    every = (*first, *alike, *others, *rest)
    return tuple({t.name: t for t in every}.values())


def checked(bench: Bench, document: Document, chosen: Mapping[str, str]) -> dict[str, str]:
    """The chosen tins by their full names. Raises Refused for a role or a tin that there isn't."""
    roles = document.standard.head.tins
    for role in chosen:
        if role not in roles:
            known = ", ".join(roles) or "none"
            raise UnknownAddress(
                f"{document.title} calls no tin “{role[:40]}”; its tins are: {known}."
            )
    return {role: find_tin(bench, name).name for role, name in chosen.items()}


def chosen_in(bench: Bench, plan: Plan) -> tuple[dict[str, str], list[str]]:
    """The tins that were chosen for a job and are still there; a sentence on each that isn't."""
    picked = {t.role: t.tin for t in plan.tins if t.chosen}
    known = {**tins_of(bench), **FAMILIES}
    gone = [
        f"{role}: the tin “{tin}” of that job is no longer on the shelf."
        for role, tin in picked.items()
        if tin not in known
    ]
    return {role: tin for role, tin in picked.items() if tin in known}, gone


def tin_words(tin: TinOfPlan) -> str:
    """ "glue: my PVA. Label of my PVA: open time closes after 5 min. Common practice, no source:
    spread 180 g/m²."."""
    by_source: dict[str, list[str]] = {}
    for value in tin.values:
        by_source.setdefault(value.source, []).append(f"{value.what} {value.text}")
    last = by_source.pop(COMMON_PRACTICE, [])
    parts = [f"{_capital(source)}: {'; '.join(texts)}." for source, texts in by_source.items()]
    parts += [f"{_capital(COMMON_PRACTICE)}: {'; '.join(last)}."] if last else []
    return " ".join((f"{tin.role}: {tin.tin}{_whence(tin)}.", *parts))


def _whence(tin: TinOfPlan) -> str:
    said = ", as you chose" if tin.chosen else ""
    return said if tin.on_shelf else f"{said} (no such tin on the shelf)"


def counted(tin: TinOfPlan) -> str:
    """ "my PVA: 3 values from its label, 2 common practice, no source"."""
    rough = sum(v.source == COMMON_PRACTICE for v in tin.values)
    given = len(tin.values) - rough
    parts = [f"{given} value{'' if given == 1 else 's'} from its label"] if given else []
    parts += [f"{rough} {COMMON_PRACTICE}"] if rough else []
    return f"{tin.tin}{_whence(tin)}" + (f": {', '.join(parts)}" if parts else "")


def shelf_cautions(bench: Bench, plan: Plan) -> list[str]:
    """What speaks against the plan's tins: one that runs out, stood open too long, or whose label
    and common practice contradict each other."""
    tins, used, units = tins_of(bench), bench.shop.shelf.used, bench.settings.units
    need, today = needed(plan.steps), today_of(bench)
    said: list[str] = []
    for name in dict.fromkeys(t.tin for t in plan.tins):
        tin = tins.get(name)
        if tin is not None:
            said += _against(tin, used.get(name, 0.0), need.get(name, 0.0), today, units)
    return said


def against_of(bench: Bench, tin: Tin) -> list[str]:
    """What speaks against using a tin at all: it is empty by the record, or stood open too long."""
    used = bench.shop.shelf.used.get(tin.name, 0.0)
    left = left_of(tin, used)
    empty = (
        f"{tin.name} is empty by the record: is it another one?"
        if left is not None and (left <= 0.0)
        else ""
    )
    return [text for text in (empty, too_old(tin, today_of(bench))) if text]


def _against(tin: Tin, used_g: float, need_g: float, today: date, units: Units) -> list[str]:
    found = (short_of(tin, used_g, need_g, units), too_old(tin, today), *clashes(tin))
    return [text for text in found if text]


def tins_said(bench: Bench, job: str) -> list[str]:
    """Which tin serves each role of a job just started, with its values, and what speaks against
    them."""
    state = bench.job(job)
    if state is None or state.plan is None:
        return []
    cautions = [f"Caution: {text}" for text in shelf_cautions(bench, state.plan)]
    return [*(tin_words(tin) for tin in state.plan.tins if tin.values), *cautions]


def today_of(bench: Bench) -> date:
    """The day it is where the shop is."""
    return local(bench.now().wall_s).date().to_stdlib()


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
