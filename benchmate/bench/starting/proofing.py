"""A procedure proofread while its parameters are being typed: the plan they give, or what is wrong.

Kept apart from starting a job, because it is asked at every key that is pressed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.plan.plan import Plan
from benchmate.shelf import FAMILIES, Material

if TYPE_CHECKING:
    from benchmate.fields.problem import Fault, Problem
    from benchmate.procedure.expanding.expand import Expansion, Sources
    from benchmate.procedure.file.document import Document


@dataclass(frozen=True)
class Proof:
    """What came of it. With `errors` there is nothing to start; `findings` are the trade's doubts.

    `by_field` holds what is wrong with single parameters, by name; it is in `errors` too.
    """

    plan: Plan | None = None
    errors: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    by_field: Mapping[str, str] = field(default_factory=dict)
    masses_g: Mapping[str, float] = field(default_factory=dict)
    """Piece to what it will weigh when all has gone to plan."""
    walls_mm: Mapping[str, float] = field(default_factory=dict)
    """Part to the thinnest wall around its void."""


def sources_of(
    bench: Bench,
    document: Document,
    job_id: str,
    values: Mapping[str, Any],
    chosen: Mapping[str, str],
    learned: Mapping[str, float] | None = None,
) -> Sources:
    """What a plan is made of here: the shelf, and what earlier jobs taught and wished for."""
    lessons = bench.shop.lessons
    return {
        "job_id": job_id,
        "materials": materials_of(bench),
        "families": FAMILIES,
        "parameters": values,
        "learned": lessons.values_for(document.name) if learned is None else learned,
        "next_time": lessons.wishes_for(document.name),
        "chosen": chosen,
    }


def made_of(document: Document, sources: Sources, *, judge: bool = True) -> Expansion:
    """A plan and what it came from. Raises ProcedureError where it can't be read, or made."""
    from benchmate.fields.located import located
    from benchmate.fields.problem import ProcedureError
    from benchmate.procedure.expanding.expand import expanded
    from benchmate.procedure.proofread import judged

    faults: list[Fault] = []
    found = expanded(document, faults, **sources)
    if judge and found is not None and not faults:
        faults = [fault for fault in judged(found) if not fault.sure]
    if faults or found is None:
        raise ProcedureError(located(faults, document.text, document.file))
    return found


def proof_of(
    bench: Bench,
    document: Document,
    values: Mapping[str, Any],
    chosen: Mapping[str, str] | None = None,
) -> Proof:
    """The plan that a procedure gives with these parameter values and materials, or what is
    wrong."""
    from benchmate.fields.problem import ProcedureError
    from benchmate.procedure.expanding.expand import expanded

    faults: list[Fault] = []
    sources = sources_of(bench, document, "proof", values, chosen or {})
    try:
        found = expanded(document, faults, **sources)
    except ProcedureError as error:
        return Proof(errors=tuple(str(p) for p in error.problems))
    if faults or found is None:
        return Proof(errors=_sentences(faults, document), by_field=_by_field(faults))
    return _judged(found, document)


def _judged(found: Expansion, document: Document) -> Proof:
    from benchmate.procedure.proofread import judged
    from benchmate.procedure.trade import proof as trade
    from benchmate.procedure.trade.weights import planned_g

    expert = trade.Proof(found)
    walls: dict[str, float] = {}
    for (piece, name), part in found.parts.items():
        for hollow in part.hollows:
            wall = found.made.wall(piece, name, hollow.name)
            if wall is not None:
                walls[name] = min(walls.get(name, wall.mm), wall.mm)
    masses = {p.name: planned_g(expert, p.name) for p in found.plan.pieces}
    faults = judged(found)
    wrong = [f for f in faults if not f.sure]
    # Here it is asked: no word in the file is needed to go on.
    doubts = [msgspec.structs.replace(f, sure="") for f in faults if f.sure]
    wrong_said, doubts_said = _sentences(wrong, document), _sentences(doubts, document)
    return Proof(found.plan, wrong_said, doubts_said, {}, masses, walls)


def _sentences(faults: list[Fault], document: Document) -> tuple[str, ...]:
    from benchmate.fields.located import located

    return tuple(str(p) for p in located(faults, document.text, Path(document.file).name))


def _by_field(faults: list[Fault]) -> dict[str, str]:
    found: dict[str, str] = {}
    for fault in faults:
        if len(fault.where) == 2 and fault.where[0] == "parameters":
            said = fault.wrong + (f"; {fault.instead}" if fault.instead else "")
            found.setdefault(str(fault.where[1]), said)
    return found


def faults_of_file(path: Path, home: Path, materials: Mapping[str, Material]) -> tuple[str, ...]:
    """All that is wrong with a procedure file, as its proofreader says it; needs no bench."""
    from benchmate.fields.problem import ProcedureError
    from benchmate.procedure.finding import library, read_text
    from benchmate.procedure.proofread import proofread_text

    problems: list[Problem]
    try:
        text = read_text(path)
        blocks = library(home, path.parent)
        problems = proofread_text(text, path.name, blocks, materials=materials, families=FAMILIES)
    except ProcedureError as error:
        problems = list(error.problems)
    except OSError as error:
        why = (error.strerror or "can't be read").lower()
        return (f"{path.name}: the file can't be read: {why}.",)
    return tuple(str(p) for p in problems)
