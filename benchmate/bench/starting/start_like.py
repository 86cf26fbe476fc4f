"""Another like this: a job's parameters read back from its frozen plan, and made bigger."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials_for_job import chosen_in
from benchmate.bench.starting.bigger import grown
from benchmate.bench.starting.starting import find_document
from benchmate.plan.plan import Plan
from benchmate.refusal import Refused, UnknownAddress

if TYPE_CHECKING:
    from benchmate.procedure.file.schema import Parameter

Values = dict[str, Any]


@dataclass(frozen=True)
class Again:
    """What to start: a procedure, its parameters' values, and what couldn't be as wished."""

    procedure: str
    values: Values
    said: tuple[str, ...] = ()
    materials: Mapping[str, str] = field(default_factory=dict)
    """Materials that were chosen in place of the procedure's, by role."""


def another_like(bench: Bench, job: str, percent: float = 0.0) -> Again:
    """The procedure and parameters of a job, running or ended, `percent` bigger every way.

    The procedure is the file as it is now; what has changed in it is said. Raises Refused or
    ProcedureError.
    """
    state = bench.job(job)
    if state is None:
        raise UnknownAddress(
            f"There is no job “{job[:40]}”, running or ended. `benchmate job` lists those that "
            "run, `benchmate logbook list` those of before too."
        )
    if state.plan is None:
        raise Refused(
            f"{state.title} was worked without a procedure; `benchmate procedure new NAME --job "
            f"{job}` makes one of it."
        )
    document, _ = find_document(bench, state.plan.procedure)
    pieces = [p.name for p in state.plan.pieces]
    values, gone = values_of(state.plan, {**document.parameters, **document.woods})
    said = [f"The procedure no longer has a parameter “{name}”." for name in gone]
    materials, lost = chosen_in(bench, state.plan)
    said += lost
    if document.text != state.text:
        said.append("The procedure has changed since that job; it is taken as it is now.")
    if percent:
        values, grew = grown(bench, document, values, pieces, percent, materials)
        said += grew
    return Again(state.plan.procedure, values, tuple(said), materials)


def values_of(plan: Plan, parameters: Mapping[str, Parameter]) -> tuple[Values, list[str]]:
    """A plan's parameters as they would be typed, and the names that are no longer known."""
    values: Values = {}
    gone: list[str] = []
    for shown, text in plan.parameters.items():
        name, piece = _parted(shown, parameters)
        if name not in parameters:
            gone.append(shown)
            continue
        value = text.split(", ") if parameters[name].kind in ("parts", "names") else text
        if piece:
            values.setdefault(name, {})[piece] = value
        else:
            values[name] = value
    return values, gone


def _parted(shown: str, parameters: Mapping[str, Parameter]) -> tuple[str, str]:
    """ "depth (A)" as name and piece; a parameter that differs between pieces is shown so."""
    name, bracket, rest = shown.rpartition(" (")
    if shown in parameters or not bracket:
        return shown, ""
    return name, rest.removesuffix(")")
