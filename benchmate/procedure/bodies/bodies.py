"""The parts of a piece as bodies: volumes, weights, faces, and the void to be filled."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from benchmate.fields.problem import Fault, Where
from benchmate.nearest import nearest
from benchmate.plan.shapes import Insert, Side, Tenon
from benchmate.procedure.bodies.cutting import body_json, hollow_json
from benchmate.procedure.bodies.placing import AXIS, PLUS, placed, side_of
from benchmate.procedure.bodies.shapes import ShapeError, deep_of, gap_of
from benchmate.procedure.file.part_schema import Part, Shape, Void
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.filling.metal import find_metal
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.placing import Vec
from benchmate.reckon.wood.species import SPECIES, find_species
from benchmate.reckon.wood.wood import SPECIES_SPREAD, density_through_12

VOID_DOUBT = 0.015
"""Relative doubt of a routed or bored void's volume (common practice, no source)."""
SIZE_DOUBT = 0.01


@dataclass(frozen=True)
class Hollow:
    """A void as a body of its own."""

    name: str
    """Empty for a part's only void."""
    spec: Void
    volume_ml: float
    mouth_mm2: float
    gap_mm: float
    deep_mm: float
    side: Side

    @property
    def u_ml(self) -> float:
        """Standard uncertainty of its volume."""
        return VOID_DOUBT * self.volume_ml

    def centre_in(self, part: Part) -> Vec:
        """The middle of what it holds, along the part's length, width and height."""
        return shape_from_json(placed(part, self.spec), "void").centre


@dataclass(frozen=True)
class Worked:
    """A part worked out."""

    name: str
    spec: Part
    volume_ml: float
    outside_mm2: float
    largest_face_mm2: float
    density_g_cm3: float
    mass_g: float
    u_g: float
    hollows: tuple[Hollow, ...] = ()
    body: Body | None = None
    built: tuple[str, ...] = ()
    """Of a body that several parts make together: those parts. Its own mass is nothing."""
    joints_mm2: float = 0.0
    """Of a body: all the joints that make it, one face of each."""
    off_g: float = 0.0
    """What comes off it from the blank to its finished sizes."""
    tenon: Tenon | None = None
    inserts: tuple[Insert, ...] = ()

    @property
    def joint_mm2(self) -> float:
        """The largest flat face less the voids' mouths in it: glue holds on wood alone."""
        if not self.hollows or self.body is None:
            return self.largest_face_mm2
        return _facing(self.body, self.hollows[0].side) or self.largest_face_mm2

    def hollow(self, name: str) -> Hollow | None:
        """The void of that name."""
        return next((h for h in self.hollows if h.name == name), None)


def voids_of(part: Part) -> dict[str, Void]:
    """A part's voids by their names; an only one is called nothing."""
    voids = [*([("", part.void)] if part.void else []), *part.voids.items()]
    named = [pair for name, void in voids for pair in _each(name, void)]
    twice = next((n for i, (n, _) in enumerate(named) if n in dict(named[:i])), None)
    if twice is not None:
        raise ShapeError(f"two voids are called “{twice}”; name one of them anew", "voids")
    return {"": named[0][1]} if len(named) == 1 else dict(named)


def voids_named(part: Part, names: Sequence[str]) -> list[str]:
    """The voids that a step means: all, those of these names, or all that are called after one."""
    known = voids_of(part)
    if not names:
        return list(known)
    equal = {one: n for n, void in part.voids.items() for one in void.called}
    only = next(iter(part.voids), "")
    return [v for v in known if v in names or equal.get(v) in names or (not v and only in names)]


def _each(name: str, void: Void) -> list[tuple[str, Void]]:
    """Equal voids, each with its own place."""
    if not void.called:
        return [(name or "void", void)]
    if len(void.at) not in (0, 1, len(void.called)):
        raise ShapeError(
            f"{len(void.called)} voids are called and {len(void.at)} places are given; "
            "write one place for each",
            *(("voids", name) if name else ("void",)),
            "at",
        )
    places = void.at if len(void.at) == len(void.called) else void.at * len(void.called)
    places = places or ("middle",) * len(void.called)
    return [
        (one, void.model_copy(update={"called": (), "at": (place,)}))
        for one, place in zip(void.called, places, strict=True)
    ]


def _facing(body: Body, side: Side) -> float:
    """The flat face that a hollow goes in from, less its mouth; 0 where there is none."""
    axis, sign = AXIS[side], 1.0 if side in PLUS else -1.0
    return max((f.area for f in body.flats if sign * f.normal[axis] > 0.999), default=0.0)


_SIZE = re.compile(r"_mm must be (at least|at most|above) ([\d.e+-]+); ([\d.e+-]+) is not$")


def work_out(name: str, spec: Part, where: Where, faults: list[Fault]) -> Worked | None:
    """A part from its table; what can't be made goes into `faults`, and the answer is None."""
    try:
        return _worked(name, spec)
    except ShapeError as error:
        faults.append(Fault.said((*where, *error.key), error))
    except Refused as error:
        said = _in_our_words(str(error), name, spec)
        is_void = "the void" in said.partition("; ")[0]
        key = ("voids" if spec.voids else "void") if is_void else "size"
        faults.append(Fault.said((*where, key), said))
    return None


_STICKS_OUT = re.compile(r"sticks out of the body by ([\d.e+]+) mm along ([-+]?[xyz])")
_NAMED = ["other end", "first end", "back", "front", "top", "underside"]
_FACES = dict(zip(("+x", "-x", "+y", "-y", "+z", "-z"), _NAMED, strict=True))
"""A part lies with its length along x, its width along y and its height along z."""


def by_faces(said: str) -> str:
    """A solid's refusal of a hollow that sticks out, with the face where it does."""
    out = _STICKS_OUT.search(said)
    if out is None:
        return said
    who = said[: out.start()].rpartition(" (")[0].strip()
    return f"{who} comes out by {out[1]} mm at the {_FACES[out[2]]}; make it smaller, or move it"


def _in_our_words(said: str, name: str, spec: Part) -> str:
    """A solid's refusal, with the names that the file has."""
    for place, void in enumerate(voids_of(spec), start=len(spec.minus) + 1):
        said = said.replace(f"{name}.minus[{place}]", f"the void “{void}”" if void else "the void")
    size = _SIZE.search(said)
    if size is not None:
        is_void = said.startswith(("void", "the void"))
        whose = "the void" if is_void else f"the part “{name}”"
        wrong = f"{size[3]} mm is no size of {whose}: it must be {size[1]} {size[2]} mm"
        return wrong + '; write size = "120 x 90 x 60 mm"'
    said = by_faces(said)
    said = said.replace("with at_mm or turn it with along", "with at")
    return said.replace(f"{name}.minus", "the cut minus").replace("void.minus", "the void's minus")


def _worked(name: str, spec: Part) -> Worked:
    if not (spec.size or spec.profile or spec.stations):
        return _weighed_only(name, spec)
    voids = voids_of(spec)
    body = shape_from_json(body_json(spec, voids.values()), name)
    density, spread = _density(spec)
    volume = body.volume_ml * spec.count
    mass, u = volume * density, volume * density * hypot(spread, SIZE_DOUBT)
    if spec.weighs is not None:
        mass, u = spec.weighs.value, (spec.weighs.tolerance or 0.0) / 3**0.5
    outside = (body.surface or 0.0) * spec.count
    hollows = tuple(_hollow(spec, called, void) for called, void in voids.items())
    face = max((f.area for f in body.flats), default=0.0)
    for side in {h.side for h in hollows}:
        mouths = sum(h.mouth_mm2 for h in hollows if h.side == side)
        face = max(face, _facing(body, side) + mouths)
    return Worked(name, spec, volume, outside, face, density, mass, u, hollows, body)


def _weighed_only(name: str, spec: Part) -> Worked:
    if spec.weighs is None:
        raise ShapeError(
            f'the part “{name}” has no size; write size = "120 x 90 x 60 mm" or weighs'
        )
    doubt = (spec.weighs.tolerance or 0.0) / 3**0.5
    area = spec.finished or 0.0
    return Worked(name, spec, 0.0, area, area, 0.0, spec.weighs.value, doubt)


def _density(spec: Part) -> tuple[float, float]:
    """Density and its relative spread."""
    if spec.density is not None:
        return spec.density, 0.02
    if spec.metal:
        try:
            metal = find_metal(spec.metal)[1]
        except Refused as error:
            raise ShapeError(str(error), "metal") from None
        return metal.density_g_cm3, (metal.u_g_cm3 or 0.0) / metal.density_g_cm3
    if not spec.wood:
        raise ShapeError('a part needs its wood, metal or density; write wood = "black walnut"')
    try:
        wood = find_species(spec.wood)
    except Refused as error:
        near = nearest(spec.wood, SPECIES)
        wrong = str(error).partition("; ")[0]
        instead = f'the nearest is "{near}"' if near else 'give its density = "0.62 g/cm³"'
        raise ShapeError(f"{wrong}; {instead}", "wood") from None
    found = density_through_12(wood.sg_12, spec.moisture, wood.shrinkage_pct)
    return found.density_g_cm3, SPECIES_SPREAD


def mouth_mm2(hollow: Shape) -> float:
    """The area of a hollow's mouth."""
    body = shape_from_json(hollow_json(hollow), "void")
    return sum(f.area for f in body.flats if f.normal[0] < -0.999 and abs(f.middle[0]) < 1e-6)


def _hollow(part: Part, name: str, void: Void) -> Hollow:
    body = shape_from_json(hollow_json(void), "void")
    return Hollow(
        name,
        void,
        body.volume_ml,
        mouth_mm2(void),
        void.narrowest or min(map(gap_of, (void, *void.plus))),
        max(deep_of(void), *(more.down + deep_of(more) for more in (void, *void.plus))),
        side_of(part, void),
    )
