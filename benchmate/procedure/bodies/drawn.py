"""A worked part as the plan keeps its shape, for lists, drawings and labels."""

from __future__ import annotations

from typing import Any

from benchmate.plan.shapes import Form, Hollow, PartShape, Purpose, Side
from benchmate.procedure.bodies.bodies import Hollow as WorkedHollow
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.shapes import into_of
from benchmate.procedure.file.schema import Part, Shape, Void
from benchmate.quantities import parse_limits
from benchmate.quantities.errors import QuantityError

_SIDES: dict[str, Side] = {"length": "first end", "width": "back", "height": "top"}
_AS_CUT: dict[str, Purpose] = {"bore": "bore", "cylinder": "bore", "taper": "mortise"}


def shape_of(worked: Worked, unit: str) -> PartShape | None:
    """The part's shape; None where the file gives it no sizes."""
    spec = worked.spec
    if spec.size is None and not spec.profile:
        return None
    voids = () if worked.hollow is None else (_void(spec, worked.hollow),)
    return PartShape(
        blank=form_of(spec),
        unit=unit,
        metal=spec.metal,
        grain=spec.grain,
        moisture_pct=spec.moisture if spec.wood else None,
        count=spec.count,
        adds=tuple(form_of(more) for more in spec.plus),
        hollows=(*voids, *(_cut(spec, cut) for cut in spec.minus)),
    )


def form_of(shape: Shape) -> Form:
    """The plain form."""
    return Form(kind=shape.shape, **_sizes(shape))


def _sizes(shape: Shape) -> dict[str, Any]:
    return {
        "size_mm": shape.size or (),
        "profile_mm": tuple((p[0], p[1]) for p in shape.profile),
        "corner_mm": shape.corner,
        "sides": (shape.sides or 6) if shape.shape == "prism" else 0,
    }


def _place(part: Part, hollow: Shape) -> dict[str, Any]:
    across, up = (*(hollow.offset or (0.0, 0.0)), 0.0)[:2]
    side = _SIDES[into_of(part, hollow)]
    return {"side": side, "across_mm": across, "up_mm": up, "down_mm": hollow.down}


def _void(part: Part, worked: WorkedHollow) -> Hollow:
    void = worked.spec
    return Hollow(
        kind=void.shape,
        **_sizes(void),
        **_place(part, void),
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
