"""A job's parameters made bigger, so that what comes of it can be made: or the reason why not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from typing import TYPE_CHECKING, Any

from benchmate.bench.service import Bench
from benchmate.bench.starting.proofing import Proof, proof_of
from benchmate.quantities import show_mass
from benchmate.refusal import Refused

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document

Values = dict[str, Any]
ROUGHLY_G = 5.0
"""A target is set to so much, where a piece weighs more than `SMALL_G`; else to 1 g."""
SMALL_G = 250.0


def grown(
    bench: Bench,
    document: Document,
    values: Mapping[str, Any],
    pieces: Sequence[str],
    percent: float,
    materials: Mapping[str, str],
) -> tuple[Values, list[str]]:
    """The values `percent` bigger every way, and what is to be said of them.

    Sizes scale, counts don't; a target weight is set to what the bigger plan comes to, since wood,
    cap and coats don't all grow alike. Raises Refused where nothing in the file can be scaled that
    far, or where the proofreader finds in it what it didn't find before (a wall too thin).
    """
    before, after = deepcopy(dict(values)), deepcopy(dict(values))
    targets = _targets(document)
    beyond = _scale(document, after, pieces, percent, targets)
    how = f"{abs(percent):g} % {'bigger' if percent > 0 else 'smaller'}"
    if after == before:
        why = " ".join(beyond) or "its file has no parameter that is a size."
        raise Refused(f"“{document.title}” can't be made {how}: {why}")
    said = [f"As it was: {text}" for text in beyond]
    said += _land(document, after, targets, proof_of(bench, document, after, materials))
    proof, old = (proof_of(bench, document, v, materials) for v in (after, before))
    fresh = [t for t in (*proof.errors, *proof.findings) if t not in (*old.errors, *old.findings)]
    if fresh:
        raise Refused(f"“{document.title}” can't be made {how}: {fresh[0]}")
    return after, said


def _targets(document: Document) -> list[str]:
    """The parameters that the finished weight is made of: most often one, "target"."""
    from benchmate.procedure.expanding.placeholders import names_in

    text = document.raw.get("target")
    named = names_in(text) if isinstance(text, str) else []
    of = document.parameters
    return [n for n in named if n in of and of[n].kind == "weight" and of[n].scales]


def _land(document: Document, values: Values, targets: Sequence[str], proof: Proof) -> list[str]:
    """Set the target to what the plan comes to, within its limits; what was done, in words."""
    from benchmate.procedure.file.parameters import refusal

    said = []
    for name in targets:
        old = values.get(name, document.parameters[name].default)
        new: Any = {p: _round(g) for p, g in proof.masses_g.items()}
        if not isinstance(old, dict):
            new = next(iter(new.values()), old)
        limits = [r for v in _each(new) if (r := refusal(document.parameters[name], v))]
        if limits:
            wish = f"{name} would be {_shown(new)}, what the plan comes to: {limits[0][1]}"
            raise Refused(f"“{document.title}” can't be made so: {wish}.")
        values[name] = new
        said.append(
            f"{document.parameters[name].ask or name}: {_shown(new)}, what the plan comes "
            f"to (it was {_shown(old)})."
        )
    return said


def _each(value: Any) -> list[Any]:
    return list(value.values()) if isinstance(value, dict) else [value]


def _shown(value: Any) -> str:
    return ", ".join(f"{p} {v}" for p, v in value.items()) if isinstance(value, dict) else value


def _round(mass_g: float) -> str:
    step = ROUGHLY_G if mass_g > SMALL_G else 1.0
    return show_mass(round(mass_g / step) * step)


def _scale(
    document: Document,
    values: Values,
    pieces: Sequence[str],
    percent: float,
    but: Sequence[str],
) -> list[str]:
    """Make the values bigger in place; what would pass its limits is left, and said."""
    from benchmate.procedure.writing.bigger import bigger

    each = {n: v for n, v in values.items() if isinstance(v, dict) and n not in but}
    shared = {n: v for n, v in values.items() if n not in each}
    of_all = {n: p for n, p in document.parameters.items() if n not in each and n not in but}
    try:
        found = bigger(of_all, percent, shared)
    except ValueError as error:
        raise Refused(f"{error}.") from error
    values.update(found.values)
    beyond = list(found.beyond)
    for name, by_piece in each.items():
        for piece in [p for p in pieces if p in by_piece]:
            one = bigger({name: document.parameters[name]}, percent, {name: by_piece[piece]})
            by_piece[piece] = one.values.get(name, by_piece[piece])
            beyond += one.beyond
    return beyond
