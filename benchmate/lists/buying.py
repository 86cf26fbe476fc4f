"""What to buy: everything the plan takes for all pieces, against what the shelf holds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import ceil, pi
from typing import NamedTuple

from benchmate.lists.hand import hand_of
from benchmate.lists.records import Buying, BuyRow
from benchmate.plan.plan import Amount, MaterialOfPlan, Need, Plan
from benchmate.plan.shapes import Hollow
from benchmate.shelf import FAMILIES
from benchmate.shelf.filling import filled
from benchmate.shelf.material import COMMON_PRACTICE, Material
from benchmate.shelf.stock import left_g, taken, too_old

M2_A_SHEET = 0.15
"""Raw hardwood that a sheet of 230 x 280 mm sands with one grit: common practice, no source."""
TAPE_WIDE_MM = 50.0
_FINISHES = ("oil", "wax", "film finish", "lathe polish")
_HAIR = 1e-9


class UseRates(NamedTuple):
    """What jobs really used: m² that a sheet lasts with one grit, and tape over the reckoned."""

    m2_a_sheet: float | None = None
    tape_over: float | None = None


NOTHING_LEARNED = UseRates()


@dataclass(frozen=True)
class Held:
    """What the shop has: materials by name with what was used of each, and today."""

    shelf: Mapping[str, Material] = field(default_factory=dict)
    used_g: Mapping[str, float] = field(default_factory=dict)
    gone: Mapping[str, Material] = field(default_factory=dict)
    """Used up: their labels still say what a pack holds."""
    today: date | None = None
    rates: UseRates = NOTHING_LEARNED
    """What the record has taught of abrasive and tape."""


def buying_of(plan: Plan, held: Held, pieces: int | None = None) -> Buying:
    """The buying list of a plan, for so many pieces in place of its own."""
    own = max(1, len(plan.pieces))
    count = own if pieces is None else pieces
    times = count / own
    rows = [*_materials(plan, held, times), *_by_use(plan, held, times)]
    notes = []
    if times != 1.0:
        notes.append(f"Reckoned for {count} in place of the plan's {own}.")
    if any(row.held is None for row in rows):
        notes.append("Where the shelf's label has no amount, look how much is left.")
    return Buying(
        title=plan.title,
        pieces=count,
        buy=tuple(rows),
        hand=tuple(hand_of(plan, times)),
        notes=tuple(notes),
    )


def _materials(plan: Plan, held: Held, times: float) -> Iterator[BuyRow]:
    by_material: dict[str, list[MaterialOfPlan]] = {}
    for serving in plan.materials:
        by_material.setdefault(serving.material, []).append(serving)
    takes = _taken(plan)
    for name, roles in by_material.items():
        if name in takes:
            yield _row(name, roles, takes[name], held, times)


def _taken(plan: Plan) -> dict[str, list[tuple[Amount, float]]]:
    """Material to the amounts that steps take of it, in g; what comes from a cup was taken when it
    was mixed."""
    by_address = {s.address: s for s in plan.steps}
    found: dict[str, list[tuple[Amount, float]]] = {}
    for step in plan.steps:
        from_shelf = taken(step, by_address)
        for amount in step.amounts:
            if amount.unit == "g" and amount.material in from_shelf:
                found.setdefault(amount.material, []).append((amount, amount.amount))
    return found


def _row(
    name: str,
    serving: list[MaterialOfPlan],
    amounts: list[tuple[Amount, float]],
    held: Held,
    times: float,
) -> BuyRow:
    own = held.shelf.get(name)
    kind = _kind(name, serving[0], own)
    parts: dict[str, float] = {}
    for amount, grams in amounts:
        if "part " in amount.what:
            label = amount.what.rpartition(", ")[2]
            parts[label] = parts.get(label, 0.0) + grams * times
    is_sheet = kind == "sheet"
    need = sum(a.area_mm2 / 100.0 if is_sheet else g for a, g in amounts) * times
    has = None if is_sheet and own is not None else _held_g(own, held)
    short = None if has is None else max(0.0, need - max(0.0, has))
    pack = None if is_sheet else _pack_g(own or _same_family(serving[0], held))
    today = held.today
    return BuyRow(
        what=name,
        role=", ".join(dict.fromkeys(one.role for one in serving)),
        kind=kind,
        need=need,
        unit="cm²" if is_sheet else "g",
        parts=parts,
        held=has,
        short=short,
        pack=pack,
        packs=ceil(short / pack - _HAIR) if pack and short is not None else None,
        keeps=too_old(own, today) if own is not None and today is not None else "",
        by="plan",
    )


def _kind(name: str, serving: MaterialOfPlan, own: Material | None) -> str:
    if own is not None:
        return filled(own).kind
    family = FAMILIES.get(serving.family) or FAMILIES.get(name)
    return family.kind if family is not None else ""


def _held_g(own: Material | None, held: Held) -> float | None:
    """Nothing where the shelf has no such material; None where its label has no amount."""
    return 0.0 if own is None else left_g(own, held.used_g.get(own.name, 0.0))


def _same_family(serving: MaterialOfPlan, held: Held) -> Material | None:
    every = [*held.shelf.values(), *held.gone.values()]
    return next((t for t in reversed(every) if t.family == serving.family), None)


def _pack_g(own: Material | None) -> float | None:
    return None if own is None or own.amount is None else left_g(own, 0.0)


def _by_use(plan: Plan, held: Held, times: float) -> Iterator[BuyRow]:
    """Abrasive and tape: by a use rate, and by what the file lays out where that is more."""
    for need in plan.needs:
        if need.kind == "abrasive":
            sheets, by = _sheets(plan, need, held, times)
            yield _counted(need, sheets, by)
    tape = next((n for n in plan.needs if n.kind == "tape"), None)
    if tape is not None:
        learned = held.rates.tape_over
        metres = max(1.0, _tape_m(plan) * times) * (learned or 1.0)
        yield _counted(tape, ceil(metres - _HAIR), _use_rate(learned))


def _counted(need: Need, count: float, by: str) -> BuyRow:
    return BuyRow(
        what=f"{need.what}, {need.size}" if need.size else need.what,
        role="",
        kind=need.kind,
        need=count,
        unit="m" if need.used_in == "m" else "sheets",
        parts={},
        held=None,
        short=None,
        pack=None,
        packs=None,
        keeps="",
        by=by,
    )


def _sheets(plan: Plan, need: Need, held: Held, times: float) -> tuple[float, str]:
    """Sheets of all grits together. What earlier jobs took counts for more than the file's own."""
    learned = held.rates.m2_a_sheet
    by_rate = _grits(need) * ceil(finished_m2(plan) * times / (learned or M2_A_SHEET) - _HAIR)
    listed = ceil(need.count * times - _HAIR)
    if by_rate > listed or (learned and by_rate):
        return by_rate, _use_rate(learned)
    return listed, "plan"


def _grits(need: Need) -> int:
    return max(1, len(re.findall(r"\d+", need.size)))


def use_rates(jobs: Iterable[tuple[Plan, Mapping[str, float]]]) -> UseRates:
    """What jobs teach of abrasive and tape, from the plan of each and what was used by name.

    All of them together: so many m² sanded over so many sheets, so many metres over those that
    were reckoned. None where no job said.
    """
    sanded_m2 = sheets = taped_m = reckoned_m = 0.0
    for plan, used in jobs:
        by_kind = {kind: [n for n in plan.needs if n.kind == kind] for kind in ("abrasive", "tape")}
        taken = {
            kind: sum(used.get(what, 0.0) for what in {n.what for n in needs})
            for kind, needs in by_kind.items()
        }
        if taken["abrasive"]:
            sheets += taken["abrasive"]
            sanded_m2 += finished_m2(plan) * sum(_grits(n) for n in by_kind["abrasive"])
        if taken["tape"]:
            taped_m += taken["tape"]
            reckoned_m += max(1.0, _tape_m(plan))
    return UseRates(
        sanded_m2 / sheets if sheets and sanded_m2 else None,
        taped_m / reckoned_m if reckoned_m and taped_m else None,
    )


def _use_rate(learned: float | None) -> str:
    return "use rate, from your record" if learned else f"use rate, {COMMON_PRACTICE}"


def finished_m2(plan: Plan) -> float:
    """What is sanded: the largest area that any finish covers, of each piece."""
    by_piece: dict[str, float] = {}
    for step in plan.steps:
        for amount in step.amounts:
            if _is_finish(amount, plan):
                by_piece[step.piece] = max(by_piece.get(step.piece, 0.0), amount.area_mm2)
    return sum(by_piece.values()) / 1e6


def _is_finish(amount: Amount, plan: Plan) -> bool:
    serving = next((t for t in plan.materials if t.material == amount.material), None)
    return serving is not None and _kind(amount.material, serving, None) in _FINISHES


def _tape_m(plan: Plan) -> float:
    """Round the mouths of all voids, and round the spacers in two layers."""
    total = 0.0
    for part in plan.parts:
        for hollow in part.shape.hollows if part.shape else ():
            total += _round_mouth(hollow) if hollow.purpose == "void" else 0.0
            for core in hollow.cores:
                if core.kind == "taper":
                    wide, narrow, thick, deep = core.size_mm
                    girth = 2.0 * (max(wide, narrow) + thick)
                    total += 2.0 * girth * max(1.0, deep / TAPE_WIDE_MM)
    return total / 1000.0


def _round_mouth(hollow: Hollow) -> float:
    size = hollow.size_mm
    match hollow.kind:
        case "slot":
            return 2.0 * (size[0] - size[1]) + pi * size[1]
        case "block":
            return 2.0 * (size[0] + size[1])
    return pi * size[0] if size else 0.0
