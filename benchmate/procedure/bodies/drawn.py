"""A worked part as the plan keeps its shape, for lists, drawings and labels."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchmate.plan.shapes import Built, Form, Hollow, Mark, PartShape, Purpose, Row
from benchmate.procedure.bodies.bodies import Hollow as WorkedHollow
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.body_walls import BodyWalls
from benchmate.procedure.bodies.built import Assembled
from benchmate.procedure.bodies.finishing import rough_mm
from benchmate.procedure.bodies.gaps import Between
from benchmate.procedure.bodies.placing import offset_of, side_named, side_of
from benchmate.procedure.bodies.walls import Found, wall_asked
from benchmate.procedure.file.part_schema import Cut, Part, Shape
from benchmate.procedure.file.part_schema import Form as FileForm

_AS_CUT: dict[str, Purpose] = {"bore": "bore", "cylinder": "bore", "taper": "mortise"}


def shape_of(
    worked: Worked, walls: Mapping[str, Found | None], unit: str, alike: str = ""
) -> PartShape | None:
    """The part's shape; None where the file gives it no sizes. `walls` are by the voids' names."""
    spec = worked.spec
    if worked.body is None:
        return None
    voids = tuple(_void(spec, h, walls.get(h.name)) for h in worked.hollows)
    later = (_cut(spec, cut.model_copy(update={"name": n})) for n, cut in spec.recesses.items())
    return PartShape(
        blank=form_of(spec),
        unit=unit,
        alike=alike,
        metal=spec.metal,
        grain=spec.grain,
        moisture_pct=spec.moisture if spec.wood else None,
        count=spec.count,
        adds=tuple(form_of(more) for more in spec.plus),
        hollows=(*voids, *(_cut(spec, cut) for cut in spec.minus), *later),
        finished_mm=spec.finished_size or (),
        finished_profile_mm=tuple((p[0], p[1]) for p in spec.finished_profile),
        rough_mm=rough_mm(spec),
        spare=spec.spare,
        chamfer_mm=spec.chamfer,
        off_g=worked.off_g,
        tenon=worked.tenon,
        inserts=worked.inserts,
        marks=tuple(Mark(kind=m.mark, what=m.what, on=m.on, before=m.before) for m in spec.marks),
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


def _void(part: Part, worked: WorkedHollow, wall: Found | None) -> Hollow:
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
        wall_at_least_mm=wall_asked(void.wall),
        wall_mm=wall.mm if wall else None,
        wall_where=wall.where if wall else "",
        cores=tuple(form_of(core) for core in void.minus),
    )


def _cut(part: Part, cut: Cut) -> Hollow:
    return Hollow(
        kind=cut.shape,
        **_sizes(cut),
        **_place(part, cut),
        name=cut.name,
        purpose="recess" if cut.filled else _AS_CUT.get(cut.shape, "cut"),
        filled_with=cut.filled,
    )


def built_of(piece: str, body: Assembled, walls: BodyWalls) -> Built:
    """A body as the plan keeps it."""
    return Built(
        piece=piece,
        name=body.name,
        rows=tuple(
            Row(parts=layer.parts, starts_mm=layer.starts_mm, thick_mm=layer.thick_mm)
            for layer in body.layers
        ),
        size_mm=body.size_mm,
        hollows=tuple(_gap(body, gap) for gap in body.gaps),
        saw_mm=tuple(walls.saw_mm.items()),
    )


def _gap(body: Assembled, gap: Between) -> Hollow:
    """A gap, placed in its body: it goes in from the face that its wide end opens on."""
    thick, deep = gap.layer.thick_mm, gap.deep_mm
    tapered = gap.wide_mm > gap.narrow_mm
    size: tuple[float, ...]
    size = (gap.narrow_mm, thick, deep)
    size = (gap.wide_mm, *size) if tapered else size
    form = Form(kind="taper" if tapered else "block", size_mm=size)
    return Hollow(
        kind=form.kind,
        size_mm=form.size_mm,
        name=gap.name,
        purpose="void" if gap.spec.void else "mortise",
        side=side_named(gap.spec.wide_on) or "back",
        across_mm=gap.starts_mm + gap.narrow_mm / 2.0 - body.size_mm[0] / 2.0,
        up_mm=gap.layer.from_mm + thick / 2.0,
        volume_ml=gap.volume_ml,
        cap_mm=gap.spec.cap if gap.spec.void else 0.0,
        wall_at_least_mm=wall_asked(gap.spec.wall),
        cores=(form,) if gap.spec.kept_by else (),
        cores_out=gap.spec.until,
    )
