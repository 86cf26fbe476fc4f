"""Bookends for the tests of landing: a blank of 420 g, four layers, sanding and leather."""

from dataclasses import replace
from typing import Literal

from benchmate.landing.course import (
    CourseChange,
    FillCourse,
    LayerCourse,
    Packing,
    PieceCourse,
    Stage,
    Weight,
)

STEEL, RESIN, LAYER_ML = 7.8, 1.1, 27.0
PACKING = Packing.split(0.6, 0.0105)
FILL = FillCourse(PACKING, STEEL, RESIN)
SHOT_G = LAYER_ML * 0.6 * STEEL
RESIN_G = LAYER_ML * 0.4 * RESIN
GAIN_G = SHOT_G + RESIN_G

SANDING = CourseChange("sanding", -6.0, 1.7, adjustable=True)
LEATHER = CourseChange("leather", 8.0, 0.3)


def layer(
    number: int,
    *,
    packing: float = 0.6,
    by: Literal["line", "weight"] = "line",
    fill: FillCourse = FILL,
    whole: Weight | None = None,
    gain: Weight | None = None,
) -> LayerCourse:
    """A layer whose amounts fill its 27 ml."""
    return LayerCourse(
        name=f"layer {number}",
        fill=fill,
        void_ml=LAYER_ML,
        shot_g=LAYER_ML * packing * STEEL,
        resin_g=LAYER_ML * (1.0 - packing) * RESIN,
        by=by,
        at_brim=number == 4,
        whole=whole,
        gain=gain,
    )


def bookend(
    piece: str = "B",
    *layers: LayerCourse,
    blank_g: float = 420.0,
    target_g: float | None = 975.0,
    tolerance_g: float | None = 9.75,
    later: tuple[Stage, ...] = (SANDING, LEATHER),
) -> PieceCourse:
    """A bookend with the given layers, or four that are still to come."""
    return PieceCourse(
        piece=piece,
        blank=Weight(blank_g, 0.5),
        stages=(*(layers or tuple(layer(n) for n in range(1, 5))), *later),
        target_g=target_g,
        tolerance_g=tolerance_g,
        moisture_u_pct=0.6,
        scale_u_g=0.5,
    )


def poured(
    course: PieceCourse, *gains: float, u_g: float = 0.5, start_g: float | None = None
) -> PieceCourse:
    """The course with its first layers poured and the piece weighed after each."""
    standing = course.blank.g if start_g is None else start_g
    new: dict[int, LayerCourse] = {}
    for place, gained in enumerate(gains):
        standing += gained
        stage = course.stages[place]
        assert isinstance(stage, LayerCourse)
        new[place] = replace(stage, whole=Weight(standing, u_g))
    return course.with_layers(new)
