"""Proofreading: all that is wrong with a procedure file, at once, by one who knows the trade."""

from __future__ import annotations

from collections.abc import Mapping

from benchmate.fields.located import located
from benchmate.fields.problem import Fault, Problem, ProcedureError
from benchmate.procedure.expanding.expand import expanded
from benchmate.procedure.file.blocks import Library
from benchmate.procedure.file.document import Document, load
from benchmate.procedure.trade import clocks, coats, joints, order, pours, weights
from benchmate.procedure.trade.proof import Proof
from benchmate.shelf.material import Material

RULES = (
    order.cycles,
    order.pieces,
    clocks.edges,
    clocks.hands,
    clocks.cups,
    coats.recoat,
    coats.finish_before_glue,
    joints.of_one_part,
    joints.filled_face,
    joints.lead,
    joints.oily,
    pours.layers,
    pours.never_filled,
    pours.walls,
    pours.cut_before_cure,
    weights.reaches_target,
    weights.takes,
)


def proofread(
    document: Document, *, materials: Mapping[str, Material], families: Mapping[str, Material]
) -> list[Problem]:
    """What is wrong with a loaded procedure, in the order of its file."""
    faults: list[Fault] = []
    found = expanded(
        document,
        faults,
        job_id="proof",
        materials=materials,
        families=families,
        parameters={},
        learned={},
        next_time={},
    )
    if found is not None and not faults:
        proof = Proof(found)
        for rule in RULES:
            faults.extend(rule(proof))
    return located(faults, document.text, document.file)


def proofread_text(
    text: str,
    file: str,
    library: Library,
    *,
    materials: Mapping[str, Material],
    families: Mapping[str, Material],
) -> list[Problem]:
    """What is wrong with a procedure's text; `file` is the name that the lines start with."""
    try:
        document = load(text, file, library)
    except ProcedureError as error:
        return list(error.problems)
    return proofread(document, materials=materials, families=families)
