"""Grams of each material of a step: as the file says, or as the areas and the materials make
them."""

from __future__ import annotations

from collections.abc import Mapping

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Amount
from benchmate.procedure.bodies.bodies import Worked, mouth_mm2
from benchmate.procedure.bodies.inserts import glued_mm2
from benchmate.procedure.expanding.instances import Draft
from benchmate.procedure.expanding.placeholders import RECKONED, names_in, sole_name
from benchmate.procedure.expanding.roles import Roles
from benchmate.procedure.file.schema import FileAmount
from benchmate.quantities import QuantityError, parse_mass_g, parse_volume_ml

DRY_DOUBT = 0.4
"""Relative doubt of what a coat or a glue leaves behind (common practice, no source)."""
_BY_AREA = {"glue of joint": "joint", "finish of coat": "outside", "weight of sheet": "joint"}
MM2_PER_M2 = 1e6


def work_out_amounts(
    draft: Draft,
    parts: Mapping[tuple[str, str], Worked],
    roles: Roles,
    learned: Mapping[str, float],
    faults: list[Fault],
) -> None:
    """Fill in the draft's amounts, and what stays of them when dry."""
    stays, doubt = 0.0, 0.0
    for number, item in enumerate(draft.flat.spec.amounts):
        if item.material and item.material not in roles:
            continue
        found = _amount(draft, item, parts, roles, learned, faults, number)
        if found is None:
            continue
        draft.amounts.append(found)
        share = roles.value(item.material, "stays") if item.material else None
        if share is not None and sole_name(item.amount) in _BY_AREA:
            grams = found.amount * share
            stays += grams
            doubt += (
                DRY_DOUBT * grams if sole_name(item.amount) != "weight of sheet" else 0.1 * grams
            )
    if draft.flat.spec.adds is None and stays:
        draft.adds = (stays, doubt)


def _amount(
    draft: Draft,
    item: FileAmount,
    parts: Mapping[tuple[str, str], Worked],
    roles: Roles,
    learned: Mapping[str, float],
    faults: list[Fault],
    number: int,
) -> Amount | None:
    material = roles.material(item.material)
    what, name = item.what or item.material or "", material.name if material else ""
    reckoned = sole_name(item.amount)
    if reckoned is None:
        return _typed(draft, item, what, name, faults)
    if reckoned in _BY_AREA:
        _by_area(draft, reckoned, item.material, parts, roles, learned, faults)
    grams = draft.numbers.get(reckoned)
    if isinstance(grams, float):
        area = area_of(draft, _BY_AREA[reckoned], parts) if reckoned in _BY_AREA else 0.0
        return Amount(
            what=what, amount=grams, material=name, role=item.material or "", area_mm2=area
        )
    if reckoned not in RECKONED:
        faults.append(Fault(draft.flat.where, f"no amount is named “{reckoned}”", "write grams"))
    return None


def _typed(
    draft: Draft, item: FileAmount, what: str, name: str, faults: list[Fault]
) -> Amount | None:
    if names_in(item.amount):
        wrong = f"“{item.amount[:60]}” is no amount"
        faults.append(Fault(draft.flat.where, wrong, 'write "12 g", "20 ml" or one name in braces'))
        return None
    try:
        return Amount(what=what, amount=parse_mass_g(item.amount), material=name)
    except QuantityError as error:
        try:
            return Amount(what=what, amount=parse_volume_ml(item.amount), unit="ml", material=name)
        except QuantityError:
            faults.append(Fault.said((*draft.flat.where, "amounts"), error))
            return None


def _by_area(
    draft: Draft,
    reckoned: str,
    role: str,
    parts: Mapping[tuple[str, str], Worked],
    roles: Roles,
    learned: Mapping[str, float],
    faults: list[Fault],
) -> None:
    area = area_of(draft, _BY_AREA[reckoned], parts)
    spread = learned.get(f"spread/{role}", roles.value(role, "spread_g_m2"))
    if not area and _is_broken(draft, parts):
        return
    if spread is None or not area:
        missing = "spread" if area else "area"
        wrong = f"“{reckoned}” needs {'the material’s ' if area else 'an '}{missing}"
        faults.append(
            Fault(draft.flat.where, wrong, 'write the amount in grams, or area = "45 cm²"')
        )
        return
    draft.numbers[reckoned] = area / MM2_PER_M2 * spread


def _is_broken(draft: Draft, parts: Mapping[tuple[str, str], Worked]) -> bool:
    """Whether a part of it couldn't be made: said there, so that no area is no second fault."""
    names = (draft.part,) if draft.part else draft.flat.spec.part
    return any((draft.piece, name) not in parts for name in names)


def area_of(draft: Draft, kind: str, parts: Mapping[tuple[str, str], Worked]) -> float:
    """The area in mm²: as the step says, or of the joint between its parts, or of their outside."""
    spec = draft.flat.spec
    if spec.area is not None:
        return spec.area
    names = (draft.part,) if draft.part else spec.part
    if not names and kind == "outside":
        names = tuple(name for piece, name in parts if piece == draft.piece)
    mine = [w for n in names if (w := parts.get((draft.piece, n))) is not None]
    if kind == "joint":
        return _recess_mm2(draft, mine) or _insert_mm2(mine) or _smaller_mm2(mine)
    # A body's outside is that of its parts together, and theirs is mostly inside.
    inside = {n for w in mine for n in w.built}
    outer = [w for w in mine if w.name not in inside]
    return sum(w.outside_mm2 if w.spec.finished is None else w.spec.finished for w in outer)


def _smaller_mm2(mine: list[Worked]) -> float:
    """Of a body the joints that make it; else the smaller of the faces that meet: of several parts
    each but the one with the largest face is glued on by its own."""
    if len(mine) == 1:
        return mine[0].joints_mm2 if mine[0].built else mine[0].joint_mm2
    return sum(sorted(w.joint_mm2 for w in mine)[:-1])


def _recess_mm2(draft: Draft, mine: list[Worked]) -> float:
    """The mouth of the recess that a step fills: on the face it is cut in."""
    name = draft.flat.spec.recess
    cuts = [c for w in mine for c in w.spec.minus if c.name and c.name == name]
    cuts += [w.spec.recesses[name] for w in mine if name in w.spec.recesses]
    return sum(map(mouth_mm2, cuts))


def _insert_mm2(mine: list[Worked]) -> float:
    """What is glued of a tube in the bore that it goes into."""
    named = {w.name: w for w in mine}
    return sum(
        glued_mm2(holder, insert, named[insert.part])
        for holder in mine
        for insert in holder.inserts
        if insert.part in named
    )
