"""Names that parts and bodies say of steps, materials and other parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from benchmate.fields.problem import Fault, Where
from benchmate.nearest import advice
from benchmate.plan.address import slug
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.part_schema import Cut, Part
from benchmate.procedure.file.schema import Head


def check_part_names(
    head: Head,
    alike: Mapping[str, str],
    steps: Sequence[FlatStep],
    groups: Iterable[str],
    faults: list[Fault],
) -> None:
    """Put every name that nothing has into `faults`; equal parts stand in the file once."""
    known = list(dict.fromkeys([*groups, *(f.group for f in steps), *(f.key for f in steps)]))
    for name, part in head.parts.items():
        for fault in _of_part(head, part, ("parts", alike.get(name, name)), known):
            if fault not in faults:
                faults.append(fault)
    for name, body in head.built.items():
        where: Where = ("built", name)
        for gap, spec in body.gaps.items():
            faults.extend(_step(spec.until, (*where, "gaps", gap, "until"), known))
        for cut, recess in body.recesses.items():
            faults.extend(_filled(head, recess, (*where, "recesses", cut)))
    for flat in steps:
        faults.extend(_recess(head, flat))


def _of_part(head: Head, part: Part, where: Where, known: list[str]) -> Iterator[Fault]:
    for number, mark in enumerate(part.marks):
        yield from _step(mark.before, (*where, "marks", number, "before"), known)
    for number, cut in enumerate(part.minus):
        yield from _filled(head, cut, (*where, "minus", number))
    for name, recess in part.recesses.items():
        yield from _filled(head, recess, (*where, "recesses", name))
    if part.fits_in is not None and part.fits_in.part not in head.parts:
        wrong = f"there is no part “{part.fits_in.part[:60]}”"
        yield Fault((*where, "fits_in", "part"), wrong, advice(part.fits_in.part, head.parts))


def _step(name: str, where: Where, known: list[str]) -> Iterator[Fault]:
    group, _, inner = name.rpartition(":")
    if name and slug(group or inner) not in known:
        yield Fault(where, f"there is no step “{name[:60]}”", advice(slug(name), known))


def _filled(head: Head, cut: Cut, where: Where) -> Iterator[Fault]:
    for name in cut.filled:
        if name not in head.materials:
            wrong = f"no material here is called “{name[:60]}”"
            yield Fault((*where, "filled"), wrong, advice(name, head.materials))


def _recess(head: Head, flat: FlatStep) -> Iterator[Fault]:
    """A recess that none of the step's parts has."""
    wanted = flat.spec.recess
    own = [n for part in flat.spec.part for n in _recesses(head, part)]
    if wanted and wanted not in own:
        where = flat.where if flat.block else (*flat.where, "recess")
        wrong = f"no part here has a recess “{wanted[:60]}”"
        yield Fault(where, wrong, advice(wanted, own))


def _recesses(head: Head, name: str) -> list[str]:
    if name in head.built:
        return list(head.built[name].recesses)
    part = head.parts.get(name)
    return [] if part is None else [*part.recesses, *(c.name for c in part.minus if c.name)]
