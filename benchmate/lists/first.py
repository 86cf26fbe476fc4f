"""What must be made before it is needed: spacers, wedges, templates, with their sizes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchmate.lists.records import MakeRow
from benchmate.plan.plan import PartPlan, Plan
from benchmate.plan.shapes import Form, Hollow, Tenon
from benchmate.quantities import show_length
from benchmate.reckon.joinery.spacer import spacer

TAPE_MM, TAPE_LAYERS, CLEARANCE_MM = 0.06, 2, 0.1
"""Two layers of packing tape and a hair of room on each side: common practice, no source."""
STANDS_OUT_MM = 20.0
"""How much longer than its mortise a spacer is, to be held and tapped."""


@dataclass(frozen=True)
class _Made:
    what: str
    count: int
    numbers_mm: dict[str, float]
    where: str
    note: str = ""


def first_of(plan: Plan, times: float) -> Iterator[MakeRow]:
    """All of them, of the first piece times so many pieces; templates are made once."""
    first = plan.pieces[0].name if plan.pieces else ""
    seen: set[tuple[object, ...]] = set()
    for made in _of_piece(plan, first):
        key = (made.what, made.where, tuple(made.numbers_mm.items()))
        if key in seen:
            continue
        seen.add(key)
        once = made.what.startswith(("template", "spacer"))
        yield MakeRow(
            what=made.what,
            count=made.count if once else round(made.count * times),
            sizes=", ".join(f"{name} {show_length(mm)}" for name, mm in made.numbers_mm.items()),
            numbers_mm=made.numbers_mm,
            where=made.where,
            note=made.note,
        )


def _of_piece(plan: Plan, piece: str) -> Iterator[_Made]:
    for part in (p for p in plan.parts if p.piece == piece and p.shape is not None):
        assert part.shape is not None
        called = part.shape.alike or part.name
        for hollow in part.shape.hollows:
            yield from _spacers(hollow, called)
            yield from _pocket(hollow, called)
        yield from _wedges(part.shape.tenon, called)
        yield from _profile(part, called)
    for built in (b for b in plan.built if b.piece == piece):
        for hollow in built.hollows:
            yield from _spacers(hollow, built.name)


def _spacers(hollow: Hollow, where: str) -> Iterator[_Made]:
    for core in hollow.cores:
        yield _spacer(core, f"{hollow.name or hollow.purpose} of the {where}")


def _spacer(core: Form, where: str) -> _Made:
    """A core's own size is the mortise's: tape and clearance are taken off."""
    if core.kind != "taper":
        return _Made("spacer", 1, _plain(core), where, "two layers of release tape round it")
    wide, narrow, thick, deep = core.size_mm
    room = TAPE_MM * TAPE_LAYERS + CLEARANCE_MM
    made = spacer((thick, wide), (thick, narrow), deep, room, halves=True)
    numbers = {
        "wide end": made.start[1],
        "narrow end": made.end[1],
        "thick": made.start[0],
        "long": deep + STANDS_OUT_MM,
    }
    ratio = made.key_taper_1_in
    key = f"key taper 1 in {ratio:.3g}; " if ratio else ""
    return _Made(
        "spacer in two halves and a key",
        1,
        numbers,
        where,
        f"{key}two layers of release tape, {CLEARANCE_MM:g} mm free a side; tap the narrow end",
    )


def _plain(form: Form) -> dict[str, float]:
    names = {
        "block": ("long", "wide", "thick"),
        "cylinder": ("diameter", "long"),
        "slot": ("long", "wide", "deep"),
    }.get(form.kind, ())
    return dict(zip(names, form.size_mm, strict=False))


def _wedges(tenon: Tenon | None, where: str) -> Iterator[_Made]:
    if tenon is None or not tenon.kerfs or len(tenon.wedge_mm) != 4:
        return
    thick, thin, wide, long = tenon.wedge_mm
    numbers = {"thick end": thick, "thin end": thin, "wide": wide, "long": long}
    yield _Made("wedge", tenon.kerfs, numbers, f"tenon of the {where}", "grain along its length")


def _pocket(hollow: Hollow, where: str) -> Iterator[_Made]:
    if hollow.purpose != "void" or hollow.kind not in ("slot", "block"):
        return
    long, wide = hollow.size_mm[:2]
    name = f"{hollow.name or 'void'} of the {where}"
    numbers = {"long": long, "wide": wide}
    if hollow.kind == "slot":
        numbers["corner radius"] = hollow.corner_mm or min(long, wide) / 2.0
    yield _Made(
        "template for the router", 1, numbers, name, "the opening itself, without a guide's offset"
    )


def _profile(part: PartPlan, where: str) -> Iterator[_Made]:
    shape = part.shape
    assert shape is not None
    profile = shape.finished_profile_mm or shape.blank.profile_mm
    if len(profile) > 2:
        numbers: dict[str, float] = {}
        for x, d in profile:  # a shoulder has two diameters at one place
            at = f"⌀ at {x:g} mm"
            numbers[f"⌀ from {x:g} mm on" if at in numbers else at] = d
        yield _Made("template for turning", 1, numbers, where, "half the profile, cut from card")
