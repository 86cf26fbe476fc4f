"""All parts of all pieces, worked out: alone, then together in the bodies that they make."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from benchmate.fields.problem import Fault, Where
from benchmate.nearest import advice
from benchmate.plan.plan import Need, PartPlan
from benchmate.plan.shapes import Built, Tenon
from benchmate.procedure.bodies.bodies import Worked, by_faces, work_out
from benchmate.procedure.bodies.body_walls import BodyWalls, walls_in
from benchmate.procedure.bodies.built import Assembled, assemble
from benchmate.procedure.bodies.drawn import built_of, shape_of
from benchmate.procedure.bodies.finishing import off_ml, rough_mm, tenon_of
from benchmate.procedure.bodies.gaps import Between
from benchmate.procedure.bodies.inserts import insert_of
from benchmate.procedure.bodies.shapes import ShapeError
from benchmate.procedure.bodies.walls import Found, wall_of
from benchmate.procedure.file.document import Sheet
from benchmate.procedure.file.part_schema import Part
from benchmate.quantities import Units, show_length, show_size
from benchmate.reckon.asking.frame import Refused

Key = tuple[str, str]
"""A piece and a part, or a body, of it."""


@dataclass(frozen=True)
class Parts:
    """The parts of all pieces, and the bodies that they make. A body is a part too, of no weight of
    its own."""

    of: Mapping[Key, Worked]
    bodies: Mapping[Key, Assembled]
    known: dict[tuple[int, str], Found | BodyWalls | None] = field(default_factory=dict)
    """Walls that were reckoned once: of pieces that are alike, and whoever asks again."""

    def wall(self, piece: str, part: str, void: str) -> Found | None:
        """The thinnest wall round a void: in the body that its part ends in, where there is one."""
        worked = self.of.get((piece, part))
        hollow = worked.hollow(void) if worked is not None else None
        if worked is None or hollow is None:
            return None
        if worked.built:
            body = self.bodies[(piece, part)]
            name = void or body.filled[0].name
            return self.walls_in(piece, body).least.get((part, name))
        for (owner, _), body in self.bodies.items():
            if owner == piece and part in body.members:
                return self.walls_in(piece, body).least.get((part, void))
        key = (id(worked), void)
        if key not in self.known:
            self.known[key] = wall_of(worked, hollow)
        found = self.known[key]
        return found if isinstance(found, Found) else None

    def walls_in(self, piece: str, body: Assembled) -> BodyWalls:
        """All walls of a body."""
        key = (id(body), "")
        found = self.known.get(key)
        if not isinstance(found, BodyWalls):
            self.known[key] = found = walls_in(body, self.members(piece, body))
        return found

    def members(self, piece: str, body: Assembled) -> dict[str, Worked]:
        """The parts of a body, by their names."""
        return {name: self.of[(piece, name)] for name in body.members}


def work_out_parts(sheets: Mapping[str, Sheet], faults: list[Fault]) -> Parts:
    """All parts and bodies; what is alike is worked out once."""
    parts: dict[Key, Worked] = {}
    bodies: dict[Key, Assembled] = {}
    done: list[tuple[Sheet, dict[str, Worked], dict[str, Assembled]]] = []
    for piece, sheet in sheets.items():
        alike = next((d for d in done if _same(d[0], sheet)), None)
        if alike is None:
            alike = (sheet, *_of_sheet(sheet, faults))
            done.append(alike)
        parts.update({(piece, name): worked for name, worked in alike[1].items()})
        bodies.update({(piece, name): body for name, body in alike[2].items()})
    return Parts(parts, bodies)


def _same(one: Sheet, other: Sheet) -> bool:
    return (one.head.parts, one.head.built) == (other.head.parts, other.head.built)


def _of_sheet(sheet: Sheet, faults: list[Fault]) -> tuple[dict[str, Worked], dict[str, Assembled]]:
    parts: dict[str, Worked] = {}
    before = len(faults)
    seen: list[tuple[Part, Worked | None]] = []
    for name, spec in sheet.head.parts.items():
        equal = next((w for s, w in seen if s is spec), None)
        where = _at(sheet, name)
        worked = replace(equal, name=name) if equal else work_out(name, spec, where, faults)
        seen.append((spec, worked))
        if worked is not None:
            parts[name] = worked
    made = {
        name: assemble(name, spec, parts, ("built", name), faults)
        for name, spec in sheet.head.built.items()
        if len(faults) == before
    }
    bodies = {name: body for name, body in made.items() if body is not None}
    gaps = [gap for body in bodies.values() for gap in body.gaps]
    # What a body that can't be made would have had is no mistake of its own.
    known = gaps if len(bodies) == len(sheet.head.built) else None
    for name in list(parts):
        parts[name] = _finished(parts[name], parts, known, _at(sheet, name), faults)
    for name, body in bodies.items():
        with _faults_at(("built", name), faults):
            parts[name] = body.as_part(parts)
    return parts, bodies


@contextmanager
def _faults_at(where: Where, faults: list[Fault]) -> Iterator[None]:
    """What can't be made of sizes goes into `faults`."""
    try:
        yield
    except (ShapeError, Refused) as error:
        said = re.sub(r"^\w+\.minus\[\d+\]", "a recess", str(error))
        key = error.key if isinstance(error, ShapeError) else ("recesses",)
        faults.append(Fault.said((*where, *key), by_faces(said)))


def _at(sheet: Sheet, name: str) -> Where:
    return ("parts", sheet.alike.get(name, name))


def _finished(
    worked: Worked,
    parts: Mapping[str, Worked],
    gaps: list[Between] | None,
    where: Where,
    faults: list[Fault],
) -> Worked:
    """A part with its tenon, what is glued into it, and what comes off it."""
    spec = worked.spec
    if worked.body is None:
        return worked
    inserts = tuple(
        insert_of(worked, other)
        for other in parts.values()
        if other.spec.fits_in is not None and other.spec.fits_in.part == worked.name
    )
    slopes = sum(gap.slope_ml for gap in gaps or () if gap.spec.slopes == worked.name)
    tenon, off = None, 0.0
    with _faults_at(where, faults):
        tenon = _tenon(spec, parts, gaps)
        rough_mm(spec)
        off = off_ml(spec, tenon, slopes) * worked.density_g_cm3 * spec.count
    faults.extend(Fault(where, *wrong) for _, wrong in inserts if wrong is not None)
    good = tuple(insert for insert, _ in inserts if insert is not None)
    return replace(worked, tenon=tenon, off_g=off, inserts=good)


def _tenon(spec: Part, parts: Mapping[str, Worked], gaps: list[Between] | None) -> Tenon | None:
    if spec.tenon is None or (spec.tenon.fits and gaps is None):
        return None
    fits, gaps = spec.tenon.fits, gaps or []
    gap = next((g for g in gaps if g.name == fits), None)
    cuts = {c.name: c for w in parts.values() for c in w.spec.minus if c.name}
    if fits and gap is None and fits not in cuts:
        known = [*(g.name for g in gaps), *cuts]
        said = f"there is no mortise “{fits[:40]}”; {advice(fits, known)}"
        raise ShapeError(said, "tenon", "fits")
    cut = cuts[fits].size or () if fits in cuts else ()
    return tenon_of(spec, spec.tenon, gap, cut)


# What the plan keeps of them ---------------------------------------------------------------------


def part_plans(parts: Parts, sheets: Mapping[str, Sheet]) -> tuple[PartPlan, ...]:
    """The parts as a plan keeps them; bodies are kept apart."""
    return tuple(
        _part(parts, piece, name, worked, sheets[piece])
        for (piece, name), worked in parts.of.items()
        if not worked.built
    )


def _part(parts: Parts, piece: str, name: str, worked: Worked, sheet: Sheet) -> PartPlan:
    spec = worked.spec
    outline = spec.outline or ("block" if spec.shape in ("block", "slot", "prism") else "round")
    walls = {h.name: parts.wall(piece, name, h.name) for h in worked.hollows}
    return PartPlan(
        piece=piece,
        name=name,
        wood=spec.wood or spec.metal,
        volume_ml=worked.volume_ml,
        density_g_cm3=worked.density_g_cm3,
        mass_g=worked.mass_g,
        mass_u_g=worked.u_g,
        outline=outline,
        shape=shape_of(worked, walls, sheet.units.get(name, "mm"), sheet.alike.get(name, "")),
    )


def built_plans(parts: Parts) -> tuple[Built, ...]:
    """The bodies as a plan keeps them."""
    return tuple(
        built_of(piece, body, parts.walls_in(piece, body))
        for (piece, _), body in parts.bodies.items()
    )


def spacers(parts: Parts, sheets: Mapping[str, Sheet]) -> list[Need]:
    """What keeps the gaps of bodies open, to be made before the glue-up: by the gap it is for.

    Its own sizes, with their clearances, are on the cutting list.
    """
    found: dict[str, Need] = {}
    for (piece, _), body in parts.bodies.items():
        units: Units = "inch" if sheets[piece].units.get(body.members[0]) == "in" else "metric"
        for gap in body.gaps:
            if gap.spec.kept_by:
                size = show_size((gap.narrow_mm, gap.layer.thick_mm, gap.deep_mm), units)
                if gap.wide_mm > gap.narrow_mm:
                    size = f"{size}, {show_length(gap.wide_mm, units)} at its wide end"
                what = f"{gap.spec.kept_by} for the {gap.name}, waxed"
                found[what] = Need(what=what, size=f"for a gap of {size}", kind="spacer")
    return list(found.values())
