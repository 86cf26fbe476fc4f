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
from benchmate.stores.tin import Tin

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
    document: Document, *, tins: Mapping[str, Tin], families: Mapping[str, Tin]
) -> list[Problem]:
    """What is wrong with a loaded procedure, in the order of its file."""
    faults: list[Fault] = []
    found = expanded(
        document,
        faults,
        job_id="proof",
        tins=tins,
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
    text: str, file: str, library: Library, *, tins: Mapping[str, Tin], families: Mapping[str, Tin]
) -> list[Problem]:
    """What is wrong with a procedure's text; `file` is the name that the lines start with."""
    try:
        document = load(text, file, library)
    except ProcedureError as error:
        return list(error.problems)
    return proofread(document, tins=tins, families=families)
