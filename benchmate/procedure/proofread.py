"""Proofreading: all that is wrong with a procedure file, at once, by one who knows the trade."""

from __future__ import annotations

from collections.abc import Mapping

from benchmate.fields.located import located
from benchmate.fields.problem import Fault, Problem, ProcedureError
from benchmate.plan.plan import Sought
from benchmate.procedure.expanding.expand import Expansion, expanded
from benchmate.procedure.file.blocks import Library
from benchmate.procedure.file.document import Document, load
from benchmate.procedure.trade import (
    bodies,
    clocks,
    coats,
    joints,
    mouths,
    names,
    order,
    pours,
    spacers,
    weights,
)
from benchmate.procedure.trade.proof import Proof
from benchmate.shelf.material import Material

RULES = (
    order.cycles,
    order.pieces,
    names.placeholders,
    names.bare,
    names.sure,
    clocks.edges,
    clocks.never,
    clocks.short_hold,
    clocks.hands,
    clocks.cups,
    coats.recoat,
    coats.finish_before_glue,
    coats.soft,
    coats.much_oil,
    joints.of_one_part,
    joints.filled_face,
    joints.lead,
    joints.oily,
    joints.unmixed,
    joints.short_clamps,
    joints.bottoming,
    pours.layers,
    pours.never_filled,
    pours.walls,
    bodies.sawn,
    pours.cut_before_cure,
    pours.green,
    mouths.closed,
    mouths.twice,
    spacers.spacers,
    spacers.kept_open,
    mouths.holes,
    weights.reaches_target,
    weights.takes,
    weights.to_size,
)
SEVERAL = (order.pieces, names.placeholders, bodies.sawn)
"""Rules that may say more than one thing of a place."""


def proofread(
    document: Document,
    *,
    materials: Mapping[str, Material],
    families: Mapping[str, Material],
    sought: list[Sought] | None = None,
) -> list[Problem]:
    """What is wrong with a loaded procedure, in the order of its file."""
    faults: list[Fault] = []
    found = expanded(document, faults, job_id="proof", materials=materials, families=families)
    if found is not None and sought is not None:
        sought.extend(found.plan.sought)
    if found is not None and not faults:
        faults = judged(found)
    return located(faults, document.text, document.file)


def judged(found: Expansion) -> list[Fault]:
    """What one who knows the trade finds wrong or doubtful with an expanded procedure, less the
    doubts that its maker knows better."""
    proof = Proof(found)
    # A rule says one thing of a place: what holds for each layer, coat or piece stands there once.
    said: dict[object, Fault] = {}
    for rule in RULES:
        for fault in rule(proof):
            said.setdefault((rule, fault.where, fault.wrong if rule in SEVERAL else ""), fault)
    return [fault for fault in said.values() if not proof.is_known(fault)]


def proofread_text(
    text: str,
    file: str,
    library: Library,
    *,
    materials: Mapping[str, Material],
    families: Mapping[str, Material],
    sought: list[Sought] | None = None,
) -> list[Problem]:
    """What is wrong with a procedure's text; `file` is the name that the lines start with.

    What its plan finds by itself goes into `sought`.
    """
    try:
        document = load(text, file, library)
    except ProcedureError as error:
        return list(error.problems)
    return proofread(document, materials=materials, families=families, sought=sought)
