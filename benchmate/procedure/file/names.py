"""Names of parts, materials, cautions and other steps; an unknown one gets the nearest right
one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from benchmate.fields.problem import Fault
from benchmate.nearest import advice, nearest
from benchmate.plan.address import slug
from benchmate.procedure.bodies.bodies import voids_of
from benchmate.procedure.bodies.shapes import ShapeError
from benchmate.procedure.cautions import CAUTIONS
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.schema import Head

AT_ONCE = ("nothing", "start")
"""What `after` says of a step that follows none."""


def check_names(
    head: Head,
    parts: Iterable[str],
    steps: Sequence[FlatStep],
    groups: Sequence[str],
    faults: list[Fault],
) -> None:
    """Put every name that nothing has into `faults`.

    `parts` and `groups` name all parts and steps of the file, those with mistakes of their own too.
    """
    parts = list(parts)
    cautions = {**CAUTIONS, **head.cautions}
    for flat in steps:
        _known(flat, "part", flat.spec.part, parts, "there is no part", faults)
        voids = [v for n in flat.spec.part for v in _voids(head, n)]
        _known(flat, "void", flat.spec.void, voids, "no part here has a void", faults)
        _known(
            flat,
            "material",
            flat.spec.material,
            head.materials,
            "no material here is called",
            faults,
        )
        _known(flat, "caution", flat.spec.caution, cautions, "there is no caution", faults)
        used = [a.material for a in flat.spec.amounts if a.material]
        _known(flat, "amounts", used, head.materials, "no material here is called", faults)
        _check_serves(flat, steps, faults)
        for name in flat.spec.after or ():
            _check_after(flat, name, steps, groups, faults)
        if flat.spec.until:
            _check_after(flat, flat.spec.until, steps, groups, faults, key="until")
    keys = [f.key for f in steps]
    for name in head.next_time:
        if slug(name) not in keys and slug(name) not in groups:
            wrong = f"there is no step “{name[:60]}”"
            faults.append(Fault(("next_time", name), wrong, advice(slug(name), keys)))


def _voids(head: Head, name: str) -> tuple[str, ...]:
    """What a part's voids may be called; what can't be made of them is said where they stand."""
    if name in head.built:
        return tuple(head.built[name].gaps)
    part = head.parts.get(name)
    if part is None:
        return ()
    try:
        return (*part.voids, *voids_of(part))
    except ShapeError:
        return ()


def _known(
    flat: FlatStep,
    key: str,
    names: Iterable[str],
    known: Iterable[str],
    wrong: str,
    faults: list[Fault],
) -> None:
    known = list(known)
    where = flat.where if flat.block else (*flat.where, key)
    for name in names:
        if name not in known:
            instead = advice(name, known)
            if key in ("material", "amounts") and flat.block and nearest(name, known) is None:
                instead = f'the block “{flat.block}” takes it: write {name} = "…" under [materials]'
            faults.append(Fault(where, f"{wrong} “{name[:60]}”", instead))


def _check_serves(flat: FlatStep, steps: Sequence[FlatStep], faults: list[Fault]) -> None:
    near = [f for f in steps if (f.group == flat.group if flat.block else not f.block)]
    known = list(dict.fromkeys(n for f in near for n in (f.local, f.key) if f is not flat))
    where = flat.where if flat.block else (*flat.where, "serves")
    for name in flat.spec.serves if not flat.block else ():
        if slug(name) not in known:
            wrong = f"there is no step “{name[:60]}” to pour for"
            faults.append(Fault(where, wrong, advice(slug(name), known)))


def _check_after(
    flat: FlatStep,
    name: str,
    steps: Sequence[FlatStep],
    groups: Sequence[str],
    faults: list[Fault],
    key: str = "after",
) -> None:
    where = (*flat.where, key)
    group, _, inner = name.rpartition(":")
    wanted = slug(inner)
    if name in AT_ONCE:
        return
    if wanted == flat.key and not group:
        itself = "come after itself" if key == "after" else "give back what it takes before its end"
        other = "before" if key == "after" else "after"
        faults.append(Fault(where, f"a step can't {itself}", f"name the one {other} it"))
        return
    keys = [f.key for f in steps if not group or f.group == slug(group)]
    keys += [f.local for f in steps if f.group == (slug(group) if group else flat.group)]
    known = keys if group else [*groups, *(f.group for f in steps), *keys]
    if wanted not in known:
        wrong = f"there is no step “{name[:60]}”"
        faults.append(Fault(where, wrong, advice(wanted, list(dict.fromkeys(known)))))
