"""What to cut: each part with its sizes, and the stretches of board it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import prod

from benchmate.lists.first import first_of
from benchmate.lists.records import CutRow, Cutting, Strip
from benchmate.lists.sizes import Allowances, finished_size, is_round, rough_size, stock_thickness
from benchmate.plan.plan import PartPlan, Plan
from benchmate.plan.shapes import NO_SHAPES, PartShape
from benchmate.refusal import Refused

_ML = 1000.0


def cutting_of(plan: Plan, allow: Allowances, pieces: int | None = None) -> Cutting:
    """The cutting list of a plan, for so many pieces in place of its own.

    Raises Refused where the plan knows no shapes.
    """
    if not plan.knows_shapes:
        raise Refused(f"{NO_SHAPES[:1].upper()}{NO_SHAPES[1:]}.")
    names = piece_names(plan, pieces)
    rows = tuple(_rows(plan, allow, names))
    weighed = [p.name for p in plan.parts if p.shape is None]
    notes = [
        f"The {name} is bought as it is: the plan gives its weight alone."
        for name in dict.fromkeys(weighed)
    ]
    notes.append("Rough sizes are what one saws to; measure the board before the first cut.")
    return Cutting(
        title=plan.title,
        pieces=len(names),
        cut=rows,
        strips=tuple(_strips(rows, allow)),
        first=tuple(first_of(plan, len(names) / max(1, len(plan.pieces)))),
        notes=tuple(notes),
    )


def piece_names(plan: Plan, pieces: int | None) -> tuple[str, ...]:
    """The names of so many pieces: the plan's own, and numbers beyond them."""
    own = [p.name for p in plan.pieces] or ["A"]
    if pieces is None or pieces == len(own):
        return tuple(own)
    more = [str(n) for n in range(len(own) + 1, pieces + 1)]
    return tuple([*own, *more][:pieces])


def _rows(plan: Plan, allow: Allowances, names: Sequence[str]) -> Iterable[CutRow]:
    """Parts that are alike share a row; pieces beyond the plan's are like its first."""
    own = {p.name for p in plan.pieces}
    first = plan.pieces[0].name if plan.pieces else ""
    groups: dict[tuple[object, ...], list[tuple[str, PartPlan]]] = {}
    for name in names:
        like = name if name in own else first
        for part in (p for p in plan.parts if p.piece == like and p.shape is not None):
            assert part.shape is not None
            called = part.shape.alike or part.name
            key = (called, part.wood, part.shape.blank, part.shape.rough_mm)
            groups.setdefault(key, []).append((name, part))
    for members in groups.values():
        yield _row(members, allow)


def _row(members: Sequence[tuple[str, PartPlan]], allow: Allowances) -> CutRow:
    part = members[0][1]
    shape = part.shape
    assert shape is not None
    rough, blank_g = rough_size(shape, allow), part.mass_g / shape.count
    return CutRow(
        part=shape.alike or part.name,
        wood=part.wood,
        pieces=tuple(dict.fromkeys(name for name, _ in members)),
        count=shape.count * len(members) + shape.spare,
        spare=shape.spare,
        finished_mm=finished_size(shape),
        rough_mm=rough,
        round=is_round(shape.blank) and not shape.metal,
        metal=bool(shape.metal),
        grain=shape.grain,
        rough_g=blank_g if shape.metal else prod(rough) / _ML * part.density_g_cm3,
        blank_g=blank_g,
        marks=tuple(_marks(members, shape)),
        unit=shape.unit,
    )


def _marks(members: Sequence[tuple[str, PartPlan]], shape: PartShape) -> Iterable[str]:
    for name, part in members:
        yield f"{name} {part.name}" if shape.alike else name
    for mark in shape.marks:
        yield mark.what


def _strips(rows: Sequence[CutRow], allow: Allowances) -> Iterable[Strip]:
    """Parts of one wood, thickness and width lie end to end; no nesting is tried."""
    groups: dict[tuple[str, float, float], list[CutRow]] = {}
    for row in rows:
        # Metal is bought as rod, tube or sheet of its own size.
        own = row.rough_mm[2] if row.metal else stock_thickness(row.rough_mm[2])
        key = (row.wood, own, row.rough_mm[1])
        groups.setdefault(key, []).append(row)
    for (wood, thick, width), members in groups.items():
        lengths = [(r.part, r.rough_mm[0]) for r in members for _ in range(r.count)]
        lengths.sort(key=lambda item: -item[1])
        length = sum(mm + allow.kerf_mm for _, mm in lengths) + 2.0 * allow.trim_mm
        yield Strip(
            wood=wood,
            thickness_mm=thick,
            width_mm=width,
            length_mm=length,
            volume_ml=length * width * thick / _ML,
            parts=tuple(f"{part}, {mm:g} mm" for part, mm in lengths),
        )
