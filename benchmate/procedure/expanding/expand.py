"""The expansion: a document, a shelf and parameter values become one frozen plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NotRequired, TypedDict, Unpack

from benchmate.fields.problem import Fault
from benchmate.learning.values import measure_of, show_value
from benchmate.plan.plan import Fill, Need, PiecePlan, Plan, Step, scatter_of
from benchmate.procedure.bodies.amounts import work_out_amounts
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.cups import Cup, work_out_cups
from benchmate.procedure.bodies.fills import work_out_fills
from benchmate.procedure.bodies.weights import take_over, work_out_weights
from benchmate.procedure.cautions import CAUTIONS
from benchmate.procedure.expanding.clocks import check_anchors, check_brought
from benchmate.procedure.expanding.instances import Draft, Layout, lay_out
from benchmate.procedure.expanding.kinds import check_kinds
from benchmate.procedure.expanding.making import (
    numbers_of,
    prune_windows,
    start_all_windows,
    step_of,
)
from benchmate.procedure.expanding.order import in_plan_order
from benchmate.procedure.expanding.parts import (
    Parts,
    built_plans,
    part_plans,
    spacers,
    work_out_parts,
)
from benchmate.procedure.expanding.remembered import next_time_of, notes_of
from benchmate.procedure.expanding.roles import Roles
from benchmate.procedure.expanding.values import values_by_piece
from benchmate.procedure.expanding.wiring import wire
from benchmate.procedure.file.document import MOST_INSTANCES, Document, Sheet, hash_of
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.sought.settling import settled, told
from benchmate.shelf.material import Material


class Sources(TypedDict):
    """What a plan is made of beside its document."""

    job_id: str
    materials: Mapping[str, Material]
    """The shelf, by name."""
    families: Mapping[str, Material]
    parameters: NotRequired[Mapping[str, Any]]
    """A value for each that isn't to be as by default, or, for one that may differ, a table of
    piece to value."""
    learned: NotRequired[Mapping[str, float]]
    """"packing/PART" (a fraction), "resin/PART" (% of what the shot leaves), "loss/MIX STEP" (%),
    "spread/MATERIAL" (g/m²), "hands/STEP" (s)."""
    next_time: NotRequired[Mapping[str, tuple[str, ...]]]
    chosen: NotRequired[Mapping[str, str]]
    """Materials in place of the file's, by what the file calls them."""


@dataclass(frozen=True)
class Expansion:
    """A plan with what it was worked out from, for whoever proofreads it."""

    plan: Plan
    sheets: Mapping[str, Sheet]
    roles: Roles
    parts: Mapping[tuple[str, str], Worked]
    made: Parts
    flats: Mapping[str, FlatStep]
    """Address of each step to its step in the file."""


def expanded(
    document: Document, faults: list[Fault], **sources: Unpack[Sources]
) -> Expansion | None:
    """The plan of a job. What is wrong goes into `faults`; None where nothing can be made of it.

    What is left to be found among the parameters is found first, by plans made on trial.
    """

    def made_of(values: Mapping[str, Any], wrong: list[Fault]) -> Expansion | None:
        return _made(document, wrong, values, sources)

    found = settled(document, sources.get("parameters", {}), made_of, faults)
    made = None if faults else made_of(found.values, faults)
    return None if made is None else told(made, found.sought)


def _made(
    document: Document,
    faults: list[Fault],
    parameters: Mapping[str, Any],
    sources: Sources,
) -> Expansion | None:
    """The plan of parameters that leave nothing open."""
    job_id, learned = sources["job_id"], sources.get("learned", {})
    chosen = sources.get("chosen", {})
    values = values_by_piece(document, parameters, faults)
    if faults:
        return None
    sheets = _sheets(document, values)
    head = next(iter(sheets.values())).head
    if _is_too_much(sheets, faults):
        return None
    named = {role: chosen.get(role, name) for role, name in head.materials.items()}
    roles = Roles(named, sources["materials"], sources["families"], faults, chosen)
    made = work_out_parts(sheets, faults)
    parts = made.of
    layout = lay_out(job_id, sheets)
    _check_layout(layout, roles, faults)
    fills = work_out_fills(layout, parts, roles, learned, faults)
    for drafts in layout.of.values():
        for draft in drafts:
            numbers_of(draft, roles)
            work_out_amounts(draft, parts, roles, learned, faults)
            take_over(draft, parts, learned)
    cups = work_out_cups(layout, roles, learned, faults)
    ordered = _in_order(layout, cups, roles, sheets, faults)
    work_out_weights(ordered, parts, fills)
    steps = tuple(_steps(ordered, sheets, roles, parts, fills, learned, faults))
    plan = Plan(
        procedure=document.name,
        title=head.name,
        job=job_id,
        pieces=tuple(_piece(p, s, learned) for p, s in sheets.items()),
        steps=steps,
        match_g=head.match,
        # What a fault leaves half made can't be drawn, and no job is started from it.
        parts=() if faults else part_plans(made, sheets),
        built=() if faults else built_plans(made),
        fills=tuple(fills),
        mixes=tuple(c.record for c in cups if c.record),
        needs=(*_needs(sheets), *spacers(made, sheets)),
        cautions=_cautions(steps, head.cautions),
        parameters=_shown(document, values),
        versions=_versions(document, sheets),
        learned=_learned_in_words(learned),
        hands_pace=learned.get("hands", 1.0),
        rough=roles.rough,
        materials=roles.of_plan,
        next_time=next_time_of(layout.flats, head, sources.get("next_time", {})),
        notes=notes_of(layout.flats),
    )
    return Expansion(plan, sheets, roles, parts, made, {d.address: d.flat for d in ordered})


def _in_order(
    layout: Layout,
    cups: list[Cup],
    roles: Roles,
    sheets: Mapping[str, Sheet],
    faults: list[Fault],
) -> list[Draft]:
    """Every act with its clocks, in the plan's order."""
    for cup in cups:
        numbers_of(cup.draft, roles)
    nouns = {p: s.head.piece for p, s in sheets.items()}
    start_all_windows(layout, roles, nouns, faults)
    wire(layout, cups, roles, faults)
    prune_windows(layout)
    return in_plan_order(layout, cups)


def _is_too_much(sheets: Mapping[str, Sheet], faults: list[Fault]) -> bool:
    count = sum(f.spec.count for s in sheets.values() for f in s.steps)
    if count > MOST_INSTANCES:
        wrong = f"is {count} acts in all, more than {MOST_INSTANCES}"
        faults.append(Fault(("makes",), wrong, "make fewer pieces, layers or coats in one job"))
    return count > MOST_INSTANCES


def _check_layout(layout: Layout, roles: Roles, faults: list[Fault]) -> None:
    check_kinds(layout.flats, roles, faults)
    for flat in layout.flats:
        check_brought(flat, roles, faults)
        check_anchors(flat, faults)


def _sheets(document: Document, values: Mapping[str, Mapping[str, Any]]) -> dict[str, Sheet]:
    """Each piece's sheet; pieces with the same values share one."""
    made: list[tuple[Mapping[str, Any], Sheet]] = []
    sheets = {}
    for piece, own in values.items():
        sheet = next((s for v, s in made if v == own), None)
        if sheet is None:
            sheet = document.sheet(own)
            made.append((own, sheet))
        sheets[piece] = sheet
    return sheets


def _steps(
    ordered: list[Draft],
    sheets: Mapping[str, Sheet],
    roles: Roles,
    parts: Mapping[tuple[str, str], Worked],
    fills: list[Fill],
    learned: Mapping[str, float],
    faults: list[Fault],
) -> list[Step]:
    import msgspec

    steps = []
    for draft in ordered:
        target = sheets[draft.piece].head.target if draft.piece else None
        tolerance = target.tolerance if target else None
        step = step_of(draft, roles, parts, fills, tolerance, faults)
        hands_s = learned.get(f"hands/{draft.flat.key}", step.hands_s) * learned.get("hands", 1.0)
        steps.append(msgspec.structs.replace(step, hands_s=hands_s))
    return steps


def _learned_in_words(learned: Mapping[str, float]) -> dict[str, str]:
    """Each learned value once; what it scatters by goes without saying."""
    beside = {scatter_of(key) for key in learned}
    return {k: f"{k} {show_value(v, measure_of(k))}" for k, v in learned.items() if k not in beside}


def _piece(name: str, sheet: Sheet, learned: Mapping[str, float]) -> PiecePlan:
    target, noun = sheet.head.target, sheet.head.piece
    return PiecePlan(
        name=name,
        label=f"{noun} {name}" if noun else "",
        target_g=target.value if target else None,
        tolerance_g=target.tolerance if target else None,
        rest_g=learned.get("rest", 0.0),
        rest_u_g=learned.get(scatter_of("rest"), 0.0),
    )


def _needs(sheets: Mapping[str, Sheet]) -> tuple[Need, ...]:
    """All needs once, the greatest count of each."""
    found: dict[tuple[str, str, str], int] = {}
    for sheet in sheets.values():
        for need in sheet.needs:
            key = (need.what, need.size, need.kind)
            found[key] = max(found.get(key, 0), need.count)
    return tuple(Need(what=w, size=s, kind=k, count=n) for (w, s, k), n in found.items())


def _cautions(steps: tuple[Step, ...], own: Mapping[str, str]) -> dict[str, str]:
    known = {**CAUTIONS, **own}
    used = dict.fromkeys(c for s in steps for c in s.cautions)
    return {name: known[name] for name in used if name in known}


def _shown(document: Document, values: Mapping[str, Mapping[str, Any]]) -> dict[str, str]:
    shown: dict[str, str] = {}
    chosen = (name for name in document.woods if any(name in v for v in values.values()))
    for name in (*document.parameters, *chosen):
        each = {p: _text(v.get(name)) for p, v in values.items()}
        if len(set(each.values())) == 1:
            shown[name] = next(iter(each.values()))
        else:
            shown.update({f"{name} ({p})": text for p, text in each.items()})
    return shown


def _text(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)


def _versions(document: Document, sheets: Mapping[str, Sheet]) -> dict[str, str]:
    from benchmate import __version__

    found = {"procedure": hash_of(document.text), "benchmate": __version__}
    for sheet in sheets.values():
        found.update({f"block {name}": text for name, text in sheet.blocks.items()})
    return found
