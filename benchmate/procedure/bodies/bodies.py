"""The parts of a piece as bodies: volumes, weights, faces, and the void to be filled."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import hypot

from benchmate.fields.nearest import nearest
from benchmate.fields.problem import Fault, Where
from benchmate.procedure.bodies.shapes import (
    ShapeError,
    body_json,
    deep_of,
    gap_of,
    hollow_json,
    into_of,
)
from benchmate.procedure.file.schema import Part, Void
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.filling.metal import find_metal
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.placing import dot
from benchmate.reckon.wood.species import SPECIES, find_species
from benchmate.reckon.wood.wood import SPECIES_SPREAD, wood_density

VOID_DOUBT = 0.015
"""Relative doubt of a routed or bored void's volume (common practice, no source)."""
SIZE_DOUBT = 0.01


_OUTWARD = {"length": (-1.0, 0.0, 0.0), "width": (0.0, 1.0, 0.0), "height": (0.0, 0.0, 1.0)}
"""Which way the face looks that a hollow goes in from."""


@dataclass(frozen=True)
class Hollow:
    """A void as a body of its own."""

    spec: Void
    volume_ml: float
    mouth_mm2: float
    gap_mm: float
    deep_mm: float
    into: str

    @property
    def u_ml(self) -> float:
        """Standard uncertainty of its volume."""
        return VOID_DOUBT * self.volume_ml


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
    hollow: Hollow | None
    body: Body | None = None

    @property
    def joint_mm2(self) -> float:
        """The largest flat face less the void's mouth in it: glue holds on wood alone."""
        if self.hollow is None or self.body is None:
            return self.largest_face_mm2
        return _facing(self.body, self.hollow.into) or self.largest_face_mm2


def _facing(body: Body, into: str) -> float:
    """The flat face that a hollow goes in from, less its mouth; 0 where there is none."""
    out = _OUTWARD[into]
    return max((f.area for f in body.flats if dot(f.normal, out) > 0.999), default=0.0)


_SIZE = re.compile(r"_mm must be (at least|at most|above) ([\d.e+-]+); ([\d.e+-]+) is not$")


def work_out(name: str, spec: Part, where: Where, faults: list[Fault]) -> Worked | None:
    """A part from its table; what can't be made goes into `faults`, and the answer is None."""
    try:
        return _worked(name, spec)
    except ShapeError as error:
        wrong, _, instead = str(error).partition("; ")
        faults.append(Fault((*where, *error.key), wrong, instead))
    except Refused as error:
        wrong, _, instead = _in_our_words(str(error), name, spec).partition("; ")
        key = "void" if "the void" in wrong else "size"
        faults.append(Fault((*where, key), wrong, instead))
    return None


def _in_our_words(said: str, name: str, spec: Part) -> str:
    """A solid's refusal, with the names that the file has."""
    size = _SIZE.search(said)
    if size is not None:
        is_void = said.startswith(("void", f"{name}.minus[{len(spec.minus) + 1}]"))
        whose = "the void" if is_void else f"the part “{name}”"
        wrong = f"{size[3]} mm is no size of {whose}: it must be {size[1]} {size[2]} mm"
        return wrong + '; write size = "120 x 90 x 60 mm"'
    said = said.replace(f"{name}.minus[{len(spec.minus) + 1}]", "the void")
    said = said.replace("with at_mm or turn it with along", "with offset")
    return said.replace(f"{name}.minus", "the cut minus").replace("void.minus", "the void's minus")


def _worked(name: str, spec: Part) -> Worked:
    if spec.size is None and not spec.profile:
        return _weighed_only(name, spec)
    hollows = [spec.void] if spec.void else []
    body = shape_from_json(body_json(spec, list(hollows)), name)
    density, spread = _density(spec)
    volume = body.volume_ml * spec.count
    mass, u = volume * density, volume * density * hypot(spread, SIZE_DOUBT)
    if spec.weighs is not None:
        mass, u = spec.weighs.value, (spec.weighs.tolerance or 0.0) / 3**0.5
    outside = (body.surface or 0.0) * spec.count
    hollow = _hollow(spec) if spec.void else None
    face = max((f.area for f in body.flats), default=0.0)
    if hollow is not None:
        face = max(face, _facing(body, hollow.into) + hollow.mouth_mm2)
    return Worked(name, spec, volume, outside, face, density, mass, u, hollow, body)


def _weighed_only(name: str, spec: Part) -> Worked:
    if spec.weighs is None:
        raise ShapeError(
            f'the part “{name}” has no size; write size = "120 x 90 x 60 mm" or weighs'
        )
    doubt = (spec.weighs.tolerance or 0.0) / 3**0.5
    area = spec.finished or 0.0
    return Worked(name, spec, 0.0, area, area, 0.0, spec.weighs.value, doubt, None)


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
    found = wood_density(wood.basic_sg, spec.moisture, wood.shrinkage_pct)
    return found.density_g_cm3, SPECIES_SPREAD


def _hollow(spec: Part) -> Hollow:
    void = spec.void
    assert void is not None
    body = shape_from_json(hollow_json(void), "void")
    mouth = sum(f.area for f in body.flats if f.normal[0] < -0.999 and abs(f.middle[0]) < 1e-6)
    return Hollow(
        void,
        body.volume_ml,
        mouth,
        void.narrowest or gap_of(void),
        deep_of(void),
        into_of(spec, void),
    )
