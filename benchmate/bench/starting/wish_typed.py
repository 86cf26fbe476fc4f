"""What is to be different in a running job, as it is typed: on the screen and in a command."""

from __future__ import annotations

from benchmate.bench.service import Bench
from benchmate.bench.starting.changing import Change, Wish, change_of
from benchmate.fields.problem import ProcedureError
from benchmate.job.deciding.guards import check_step
from benchmate.job.state.state import JobState
from benchmate.quantities import parse_mass_g, parse_percent, parse_toleranced
from benchmate.refusal import Refused

HANDS_S = 600.0
"""Of a step that is put in: how long the hands are at it, where nobody says."""


def change_wished(bench: Bench, job: JobState, wish: Wish) -> Change:
    """The change. Raises Refused, with all that is wrong with a file, and where nothing changes."""
    try:
        change = change_of(bench, job, wish)
    except ProcedureError as error:
        raise Refused(str(error)) from None
    if change.is_none:
        raise Refused("That changes nothing: the plan is so already.")
    return change


def pair(text: str, how: str) -> tuple[str, str]:
    """Both sides of an equals sign; `how` is what to write."""
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise Refused(f"“{text[:40]}” has no = in it; write {how}.")
    return name.strip(), value.strip()


def target(job: JobState, text: str, tolerance: str = "") -> Wish:
    """ "840 g", "840 g ± 6 g", or of one piece "B=840 g"; the tolerance may stand by itself, in per
    cent too."""
    piece, equals, value = text.rpartition("=")
    target_g, own_g = parse_toleranced("mass", value) if value.strip() else (None, None)
    tolerance_g = _tolerance(job, tolerance, target_g) if tolerance else own_g
    return Wish(target_g=target_g, tolerance_g=tolerance_g, piece=piece.strip() if equals else "")


def _tolerance(job: JobState, text: str, target_g: float | None) -> float:
    if "%" not in text:
        return parse_mass_g(text)
    pieces = job.plan.pieces if job.plan else ()
    of_g = target_g or next((p.target_g for p in pieces if p.target_g is not None), None)
    if of_g is None:
        raise Refused("A tolerance in per cent needs a target.")
    return of_g * parse_percent(text) / 100.0


def pieces(text: str) -> Wish:
    """So many pieces in all."""
    if not text.strip().isdecimal() or not 0 < int(text) <= 50:
        raise Refused(f"“{text[:20]}” is no number of pieces; write one such as 3.")
    return Wish(pieces=int(text))


def amount(address: str, what: str, text: str) -> Wish:
    """So much at a step."""
    return Wish(amount=(address, what, parse_mass_g(text)))


def amount_at(job: JobState, text: str) -> Wish:
    """ "B/all/spread=2.5 g", with ":glue" behind the step where it takes several things."""
    where, value = pair(text, "STEP=12 g, or STEP:shot=12 g where it takes several things")
    step, _, what = where.partition(":")
    return amount(check_step(job, step).address, what, value)


def file_of(bench: Bench, job: JobState) -> str:
    """The path of the job's procedure, where it still lies there."""
    from benchmate.procedure.finding import find

    found = find(job.plan.procedure, bench.folders.procedures.parent) if job.plan else None
    return str(found.path) if found is not None else ""
