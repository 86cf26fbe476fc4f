"""What to have to hand: tools, clamps with their number, drills of a series, cauls."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from benchmate.lists.records import HandRow
from benchmate.lists.sizes import blank_size, is_round
from benchmate.plan.plan import Amount, Need, PartPlan, Plan, Step
from benchmate.quantities import show_length, show_number
from benchmate.reckon.joinery.clamps import Clamping, clamping
from benchmate.reckon.joinery.drills import series_mm
from benchmate.shelf import FAMILIES

HEAD_MM, CAUL_MM = 30.0, 20.0
"""Breadth of a bar clamp's pad, thickness of a caul: common practice, no source."""
CLAMP_N = 2000.0
"""What a light bar clamp gives by hand: common practice, no source."""
HARD_MPA, SOFT_MPA, SOFT_BELOW_G_CM3 = 1.2, 0.8, 0.5
"""Pressure for wood glue on hard and soft wood, as makers give it at second hand."""
_EPOXY_KINDS = ("epoxy glue",)
_STEPS_BACK = 4
"""How far before a clamp the glue was spread, at most."""


@dataclass(frozen=True)
class _Joint:
    """A glue-up of the first piece: its area and the parts that lie on each other."""

    area_mm2: float
    parts: tuple[PartPlan, ...]
    pressed: bool
    thick_mm: float = 0.0
    """Of the body that it makes, through all its layers; 0: the parts' sizes one on another."""


def hand_of(plan: Plan, times: float) -> Iterator[HandRow]:
    """Everything to lay out; clamps and cauls for one glue-up at a time."""
    del times  # One glue-up is made after the other, with the same tools.
    joints = list(_joints(plan))
    for need in plan.needs:
        if need.kind in ("abrasive", "tape"):
            continue
        yield _clamps(need, joints) if need.kind == "clamp" else _plain(need)
    yield from _drills(plan)
    yield from _cauls(joints)


def _plain(need: Need) -> HandRow:
    return HandRow(what=need.what, count=need.count, size=need.size, kind=need.kind, note="")


def _joints(plan: Plan) -> Iterator[_Joint]:
    first, kinds = plan.pieces[0].name if plan.pieces else "", _kinds(plan)
    for step in (s for s in plan.steps if s.piece == first):
        for amount in step.amounts:
            if amount.area_mm2 > 0.0 and _is_glue(amount, kinds):
                yield _joint(plan, amount, kinds)


def _kinds(plan: Plan) -> dict[str, str]:
    families = {t.material: FAMILIES.get(t.family) for t in plan.materials}
    return {name: family.kind for name, family in families.items() if family is not None}


def _is_glue(amount: Amount, kinds: dict[str, str]) -> bool:
    return "glue" in kinds.get(amount.material, "")


def _joint(plan: Plan, amount: Amount, kinds: dict[str, str]) -> _Joint:
    first = plan.pieces[0].name if plan.pieces else ""
    parts = tuple(p for p in plan.parts if p.piece == first and p.shape is not None)
    flat = tuple(p for p in parts if p.shape is not None and not is_round(p.shape.blank))
    built = max((b.size_mm[2] for b in plan.built if b.piece == first and b.size_mm), default=0.0)
    pressed = kinds[amount.material] not in _EPOXY_KINDS
    return _Joint(amount.area_mm2, flat or parts, pressed, built)


def clamps_at(plan: Plan, step: Step) -> str:
    """What area and pressure ask for at the glue-up that a step belongs to; empty for none."""
    by_address = {s.address: s for s in plan.steps}
    ahead, kinds = [step], _kinds(plan)
    for _ in range(_STEPS_BACK):
        for one in ahead:
            found = next((a for a in one.amounts if a.area_mm2 > 0.0 and _is_glue(a, kinds)), None)
            if found is not None:
                joint = _joint(plan, found, kinds)
                return _clamps_note(joint)[1] if joint.pressed and joint.parts else ""
        ahead = [by_address[a] for one in ahead for a in one.after if a in by_address]
    return ""


def _clamps(need: Need, joints: list[_Joint]) -> HandRow:
    """The file's clamps, with what area and pressure ask for."""
    notes = [_clamps_note(joint) for joint in joints if joint.pressed and joint.parts]
    asked = max((count for count, _ in notes), default=0)
    note = next((text for count, text in notes if count == asked), "")
    size = re.search(r"\d+(?:\.\d+)?", need.size)
    opening = max((_opening_mm(j) for j in joints), default=0.0)
    if size is not None and opening > float(size.group()):
        note += f"; they must open {show_length(opening)}, cauls included"
    return HandRow(
        what=need.what,
        count=max(need.count, asked),
        size=need.size,
        kind=need.kind,
        note=note.lstrip("; "),
    )


def _clamps_note(joint: _Joint) -> tuple[int, str]:
    found = _clamping(joint)
    density = min(p.density_g_cm3 for p in joint.parts)
    mpa = SOFT_MPA if density < SOFT_BELOW_G_CM3 else HARD_MPA
    text = (
        f"{show_number(joint.area_mm2 / 100.0, 1)} cm² at {mpa:g} MPa is "
        f"{found.force_n / 1000.0:.1f} kN: {found.clamps_by_force} of {CLAMP_N / 1000.0:g} kN, "
        f"{found.clamps_by_cover} to cover"
    )
    return found.clamps, text


def _clamping(joint: _Joint) -> Clamping:
    """The joint as a strip as long as its longest part, of the glued area."""
    length = max(blank_size(p.shape)[0] for p in joint.parts if p.shape is not None)
    thin = min(blank_size(p.shape)[2] for p in joint.parts if p.shape is not None)
    density = min(p.density_g_cm3 for p in joint.parts)
    mpa = SOFT_MPA if density < SOFT_BELOW_G_CM3 else HARD_MPA
    width = joint.area_mm2 / length
    return clamping((length, width), mpa, HEAD_MM, thin + CAUL_MM, CLAMP_N)


def _opening_mm(joint: _Joint) -> float:
    """All parts on each other, and a caul on either side."""
    each = sum(blank_size(p.shape)[2] for p in joint.parts if p.shape is not None)
    return (joint.thick_mm or each) + 2.0 * CAUL_MM


def _drills(plan: Plan) -> Iterator[HandRow]:
    """For each bore of the first piece the drills that lead up to it."""
    first = plan.pieces[0].name if plan.pieces else ""
    wanted: dict[float, str] = {}
    for part in (p for p in plan.parts if p.piece == first and p.shape is not None):
        assert part.shape is not None
        for hollow in part.shape.hollows:
            if hollow.kind == "bore":
                holes = [d for d, _ in hollow.steps_mm] or [hollow.size_mm[0]]
                wanted |= dict.fromkeys(
                    holes, f"{hollow.name or hollow.purpose} of the {part.name}"
                )
        tenon = part.shape.tenon
        if tenon is not None and tenon.relief_hole_mm:
            wanted[tenon.relief_hole_mm] = f"relief holes of the {part.name}'s tenon"
    for final, where in sorted(wanted.items()):
        series = ", ".join(show_number(mm, 1) for mm in series_mm(final))
        yield HandRow(
            what="drills" if len(series_mm(final)) > 1 else "drill",
            count=len(series_mm(final)),
            size=f"{series} mm",
            kind="drill",
            note=where,
        )


def _cauls(joints: list[_Joint]) -> Iterator[HandRow]:
    sizes: dict[str, None] = {}
    for joint in joints:
        flat = [p for p in joint.parts if p.shape is not None and p.outline == "block"]
        if joint.pressed and flat:
            shape = max(flat, key=lambda p: blank_size(p.shape)[0] if p.shape else 0.0).shape
            assert shape is not None
            length, width, _ = blank_size(shape)
            sizes[f"{length:g} x {width:g} x {CAUL_MM:g} mm"] = None
    for size in sizes:
        yield HandRow(what="caul", count=2, size=size, kind="clamp", note="waxed or taped")
