"""The parts of a piece as bodies: volumes, weights, faces, and the void to be filled."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from benchmate.procedure.expanding.shapes import (
    ShapeError,
    body_json,
    deep_of,
    gap_of,
    hollow_json,
    into_of,
)
from benchmate.procedure.problem import Fault, Where
from benchmate.procedure.schema import Part, Void
from benchmate.reckon.frame import Refused
from benchmate.reckon.metal import find_metal
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.species import find_species
from benchmate.reckon.wood import SPECIES_SPREAD, wood_density

VOID_DOUBT = 0.015
"""Relative doubt of a routed or bored void's volume (common practice, no source)."""
SIZE_DOUBT = 0.01


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
        return max((f.area for f in self.body.flats), default=self.largest_face_mm2)


def work_out(name: str, spec: Part, where: Where, faults: list[Fault]) -> Worked | None:
    """A part from its table; what can't be made goes into `faults`, and the answer is None."""
    try:
        return _worked(name, spec)
    except (Refused, ShapeError) as error:
        wrong, _, instead = str(error).partition("; ")
        key = "void" if "void" in wrong or "minus" in wrong else "size"
        faults.append(Fault((*where, key), wrong, instead))
        return None


def _worked(name: str, spec: Part) -> Worked:
    if spec.size is None and not spec.profile:
        return _weighed_only(name, spec)
    hollows = [spec.void] if spec.void else []
    try:
        body = shape_from_json(body_json(spec, list(hollows)), name)
    except Refused as error:
        raise Refused(
            str(error).replace("with at_mm or turn it with along", "with offset")
        ) from None
    solid = shape_from_json(body_json(spec, []), name) if hollows else body
    density, spread = _density(spec)
    volume = body.volume_ml * spec.count
    mass, u = volume * density, volume * density * hypot(spread, SIZE_DOUBT)
    if spec.weighs is not None:
        mass, u = spec.weighs.value, (spec.weighs.tolerance or 0.0) / 3**0.5
    faces = [f.area for f in solid.flats]
    outside, face = (body.surface or 0.0) * spec.count, max(faces, default=0.0)
    hollow = _hollow(spec) if spec.void else None
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
        metal = find_metal(spec.metal)[1]
        return metal.density_g_cm3, (metal.u_g_cm3 or 0.0) / metal.density_g_cm3
    if not spec.wood:
        raise ShapeError('a part needs its wood, metal or density; write wood = "black walnut"')
    wood = find_species(spec.wood)
    found = wood_density(wood.basic_sg, spec.moisture, wood.shrinkage_pct)
    return found.density_g_cm3, SPECIES_SPREAD


def _hollow(spec: Part) -> Hollow:
    void = spec.void
    assert void is not None
    body = shape_from_json(hollow_json(void), "void")
    mouth = sum(f.area for f in body.flats if f.normal[0] < -0.999 and abs(f.middle[0]) < 1e-6)
    return Hollow(
        void, body.volume_ml, mouth, void.narrowest or gap_of(void), deep_of(void),
        into_of(spec, void),
    )  # fmt: skip
