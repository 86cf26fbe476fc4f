"""A worked part as the plan keeps its shape, for lists, drawings and labels."""

from __future__ import annotations

from typing import Any

from benchmate.plan.shapes import Form, Hollow, PartShape, Purpose
from benchmate.procedure.bodies.bodies import Hollow as WorkedHollow
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.placing import offset_of, side_of
from benchmate.procedure.file.schema import Form as FileForm
from benchmate.procedure.file.schema import Part, Shape, Void
from benchmate.quantities import parse_limits
from benchmate.quantities.errors import QuantityError

_AS_CUT: dict[str, Purpose] = {"bore": "bore", "cylinder": "bore", "taper": "mortise"}


def shape_of(worked: Worked, unit: str, alike: str = "") -> PartShape | None:
    """The part's shape; None where the file gives it no sizes."""
    spec = worked.spec
    if worked.body is None:
        return None
    voids = tuple(_void(spec, h) for h in worked.hollows)
    return PartShape(
        blank=form_of(spec),
        unit=unit,
        alike=alike,
        metal=spec.metal,
        grain=spec.grain,
        moisture_pct=spec.moisture if spec.wood else None,
        count=spec.count,
        adds=tuple(form_of(more) for more in spec.plus),
        hollows=(*voids, *(_cut(spec, cut) for cut in spec.minus)),
    )


def form_of(shape: FileForm) -> Form:
    """The plain form."""
    return Form(kind=shape.shape, **_sizes(shape))


def _sizes(shape: FileForm) -> dict[str, Any]:
    return {
        "size_mm": shape.size or (),
        "profile_mm": tuple((p[0], p[1]) for p in shape.profile),
        "corner_mm": shape.corner,
        "sides": (shape.sides or 6) if shape.shape == "prism" else 0,
        "stations_mm": tuple((s[0], s[1], s[2]) for s in shape.stations),
        "bend_mm": shape.bend,
        "steps_mm": tuple((s[0], s[1]) for s in shape.steps),
        "tip_deg": float(shape.tip),
    }


def _place(part: Part, hollow: Shape) -> dict[str, Any]:
    across, up = offset_of(part, hollow)
    return {"side": side_of(part, hollow), "across_mm": across, "up_mm": up, "down_mm": hollow.down}


def _void(part: Part, worked: WorkedHollow) -> Hollow:
    void = worked.spec
    return Hollow(
        kind=void.shape,
        **_sizes(void),
        **_place(part, void),
        name=worked.name,
        purpose="void",
        opens_on=void.from_,
        volume_ml=worked.volume_ml,
        mouth_mm2=worked.mouth_mm2,
        cap_mm=void.cap,
        wall_at_least_mm=wall_asked(void),
        cores=tuple(form_of(core) for core in void.minus),
    )


def wall_asked(void: Void) -> float | None:
    """The least wall that the file asks for."""
    try:
        return parse_limits("length", void.wall).least if void.wall else None
    except QuantityError:
        return None


def _cut(part: Part, cut: Shape) -> Hollow:
    return Hollow(
        kind=cut.shape,
        **_sizes(cut),
        **_place(part, cut),
        purpose=_AS_CUT.get(cut.shape, "cut"),
    )
