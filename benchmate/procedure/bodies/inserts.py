"""A tube or insert that is glued into a bore: how much room is left for the glue."""

from __future__ import annotations

from math import pi

from benchmate.nearest import advice
from benchmate.plan.shapes import Insert
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.shapes import sizes_of
from benchmate.procedure.file.part_schema import Shape
from benchmate.quantities import show_length

Wrong = tuple[str, str]
_BORES = ("bore", "cylinder")


def insert_of(holder: Worked, other: Worked) -> tuple[Insert | None, Wrong | None]:
    """The insert as the holder has it, or what is wrong with it and what to write instead."""
    fits = other.spec.fits_in
    assert fits is not None
    bores = {c.name: c for c in holder.spec.minus if c.shape in _BORES}
    bore = bores.get(fits.bore) if fits.bore or len(bores) != 1 else next(iter(bores.values()))
    if bore is None:
        wrong = f"“{other.name}” goes into no bore of it"
        return None, (wrong, advice(fits.bore, [b for b in bores if b]))
    outer, long = _outside(other)
    inner, deep = sizes_of(bore)
    if outer > inner:
        wrong = f"“{other.name}” is {show_length(outer)} thick, and its bore {show_length(inner)}"
        return None, (wrong, "bore it wider, or take a thinner tube")
    return Insert(
        part=other.name,
        bore=bore.name,
        clearance_mm=inner - outer,
        glue_ml=pi / 4.0 * (inner**2 - outer**2) * min(long, deep) / 1000.0,
        scuff=fits.scuff,
        plug=fits.plug,
    ), None


def glued_mm2(holder: Worked, insert: Insert, other: Worked) -> float:
    """The outside of an insert as far as its bore is deep: what glue goes on."""
    bore = next((c for c in holder.spec.minus if _is(c, insert.bore)), None)
    outer, long = _outside(other)
    deep = sizes_of(bore)[1] if bore is not None else long
    return pi * outer * min(long, deep)


def _is(cut: Shape, name: str) -> bool:
    return cut.shape in _BORES and cut.name == name


def _outside(part: Worked) -> tuple[float, float]:
    """An insert's outer diameter and its length."""
    size = sizes_of(part.spec)
    if not size:
        return max(p[1] for p in part.spec.profile), part.spec.profile[-1][0]
    return size[0], size[-1]
