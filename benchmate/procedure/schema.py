"""The shape of a procedure file and of a building block: which keys, holding what.

Field names are the words of the file. Numbers come out in the units used inside (g, mm, s, °C);
every field's example is what an error message tells people to write.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from benchmate.procedure.values import (
    AreaMm2,
    Count,
    Density,
    Duration,
    Length,
    Mass,
    Names,
    Percent,
    Size,
    Temperature,
    Timed,
    TolerancedMass,
)

Scope = Literal["job", "piece", "part", "layer", "coat", "mix"]
ShapeName = Literal[
    "block", "slot", "cylinder", "bore", "frustum", "taper", "capsule", "prism", "ring", "dome",
    "turned",
]  # fmt: skip
ParameterKind = Literal[
    "text", "count", "length", "size", "weight", "time", "timed", "temperature", "area", "percent",
    "choice", "part", "parts", "tin", "names",
]  # fmt: skip


class _Table(BaseModel):
    """Built when first used: a table within a table is then built once, with what holds it."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)


class Parameter(_Table):
    """A thing that may differ from job to job (or, in a block, from use to use)."""

    ask: str = Field("", examples=["Length of the block"])
    kind: ParameterKind | None = Field(None, examples=["length"])
    default: Any = Field(None, examples=["120 mm"])
    at_least: Any = Field(None, examples=["80 mm"])
    at_most: Any = Field(None, examples=["200 mm"])
    choices: Names = Field((), examples=[["black walnut", "white oak"]])
    per_piece: bool = Field(False, examples=[True])
    scales: bool = Field(True, examples=[False])
    """Whether "20 % bigger" changes it."""


class Shape(_Table):
    """A body or a hollow. What `size` lists depends on the shape; see `expanding.shapes`."""

    shape: ShapeName = Field("block", examples=["slot"])
    size: Size | None = Field(None, examples=["80 x 30 x 45 mm"])
    corner: Length | None = Field(None, examples=["6 mm"])
    sides: Count | None = Field(None, ge=3, le=24, examples=[6])
    profile: tuple[Size, ...] = Field((), max_length=80, examples=[["0 x 40 mm", "12 x 36 mm"]])
    """Of a turned shape: pairs of distance from its first end and diameter there."""
    into: Literal["", "length", "width", "height"] = Field("", examples=["height"])
    """Which of the part's sizes a hollow goes down along."""
    offset: Size | None = Field(None, examples=["0 x 5 mm"])
    """How far its middle stands off the middle of the face."""
    down: Length = Field(0.0, examples=["8 mm"])
    """How far below the face it begins."""
    minus: tuple[Shape, ...] = Field(
        (), max_length=12, examples=[[{"shape": "bore", "size": "12 x 40 mm"}]]
    )
    plus: tuple[Shape, ...] = Field(
        (), max_length=12, examples=[[{"shape": "dome", "size": "40 x 8 mm"}]]
    )


class Void(Shape):
    """A hollow that is filled with shot and resin."""

    from_: str = Field("", alias="from", examples=["inner face"])
    wall: str = Field("", examples=["at least 4 mm"])
    narrowest: Length | None = Field(None, examples=["12 mm"])
    """Smallest free width, where it is not the shape's own (around a core)."""
    cap: Length = Field(1.5, examples=["1.5 mm"])
    """Clear resin on top of the shot (1.5 mm where not said: common practice, no source)."""
    reserve: Percent = Field(0.0, ge=0, le=30, examples=["4 %"])
    """Share of the shot that the plan leaves out, so that a layer which packs loosely can be made
    up for in the next: shot can be held back, but not forced in."""


class Part(Shape):
    """A part of a piece, as it stands before its first step."""

    wood: str = Field("", examples=["black walnut"])
    metal: str = Field("", examples=["brass"])
    moisture: Percent = Field(9.0, examples=["9 %"])
    density: Density | None = Field(None, examples=["0.62 g/cm³"])
    weighs: TolerancedMass | None = Field(None, examples=["120 g ± 2 g"])
    grain: str = Field("", examples=["long way"])
    outline: str = Field("", examples=["block"])
    count: Count = Field(1, ge=1, le=50, examples=[2])
    void: Void | None = Field(None, examples=[{"shape": "slot", "size": "80 x 30 x 45 mm"}])
    finished: AreaMm2 | None = Field(None, examples=["420 cm²"])
    """Area that a finish covers, where it is not the whole outside."""


class FileWindow(_Table):
    """A clock that the file itself gives; a tin's windows come with the tin."""

    name: str = Field(min_length=1, max_length=60, examples=["clamp time"])
    from_: str = Field("", alias="from", examples=["clamped"])
    opens: Timed | None = Field(None, examples=["45 min at 21 °C"])
    full: Timed | None = Field(None, examples=["24 h at 21 °C"])
    closes: Timed | None = Field(None, examples=["10 min at 21 °C"])
    hold: Duration | None = Field(None, examples=["24 h"])
    says: str = Field("", examples=["clamps may come off"])
    """What may be done once it opens."""
    lost: str = Field("", examples=["the glue skins over"])
    """What is lost when it closes."""
    missed: str = Field("nothing", examples=["extra work: scuff first"])
    air: Literal["", "constant", "arrhenius", "waterborne", "evaporation", "moisture cure"] = Field(
        "", examples=["evaporation"]
    )


class FileAmount(_Table):
    """So much of something."""

    tin: str = Field("", examples=["shot"])
    what: str = Field("", examples=["shot"])
    amount: str = Field(examples=["12 g"])


class Weigh(_Table):
    """A weight that is asked for; in short, `weigh = "blank"`."""

    @model_validator(mode="before")
    @classmethod
    def _short(cls, data: Any) -> Any:
        if not isinstance(data, str):
            return data
        return {"as": data if data in ("blank", "part", "gain", "whole") else "whole", "what": data}

    what: str = Field("", examples=["finished piece"])
    as_: Literal["blank", "part", "gain", "whole"] = Field("whole", alias="as", examples=["whole"])
    plan: Mass | None = Field(None, examples=["850 g"])
    tolerance: str = Field("", examples=["8 g"])


class FileNeed(_Table):
    """A tool, clamp, drill size, abrasive, tape or spacer."""

    what: str = Field(min_length=1, examples=["bar clamp"])
    count: Count = Field(1, ge=1, le=1000, examples=[4])
    size: str = Field("", examples=["300 mm"])
    kind: Literal["tool", "clamp", "drill", "abrasive", "tape", "spacer", "guard", "other"] = Field(
        "tool", examples=["clamp"]
    )


class Step(_Table):
    """One step: what is done, when it may be done, and what it starts."""

    id: str = Field("", max_length=60, examples=["sand outside"])
    do: str = Field(min_length=1, max_length=600, examples=["Sand the outer faces."])
    act: str = Field("", max_length=40, examples=["sanded"])
    each: Scope | None = Field(None, examples=["piece"])
    count: Count = Field(1, ge=1, le=200, examples=[3])
    """How many coats or layers."""
    part: Names = Field((), examples=["block"])
    tin: Names = Field((), examples=["oil"])
    brings: Names | None = Field(None, examples=[["recoat"]])
    """Which of the tin's windows the act starts; all where not said."""
    after: Names | None = Field(None, examples=["shot pour"])
    waits: Names = Field((), examples=["clamp time"])
    waits_full: Names = Field((), examples=["cure"])
    within: Names = Field((), examples=["open time"])
    serves: Names = Field((), examples=[["pour", "cap"]])
    """Of a mix: the steps that pour from it."""
    cups: Literal["piece by piece", "layer by layer"] = Field(
        "piece by piece", examples=["layer by layer"]
    )
    loss: Percent = Field(0.0, examples=["5 %"])
    """Of a mix: what stays in the cup."""
    least: Mass | None = Field(None, examples=["20 g"])
    """Of a mix: no cup is smaller, since a scale can't weigh its parts to the ratio."""
    hands: Duration | None = Field(None, examples=["20 min"])
    takes: TolerancedMass | None = Field(None, examples=["6 g ± 3 g"])
    adds: TolerancedMass | None = Field(None, examples=["4 g ± 1 g"])
    amounts: tuple[FileAmount, ...] = Field((), examples=[[{"tin": "oil", "amount": "6 g"}]])
    weigh: Weigh | None = Field(None, examples=["finished"])
    check: dict[str, str] = Field({}, examples=[{"wall": "at least 3 mm"}])
    caution: Names = Field((), examples=[["wood dust"]])
    windows: tuple[FileWindow, ...] = Field((), examples=[[{"name": "fresh", "closes": "15 min"}]])
    hold: Duration | None = Field(None, examples=["24 h"])
    """The maker's own rule for the window that this act opens."""
    rags: bool = Field(False, examples=[True])
    irreversible: bool = Field(False, examples=[True])
    coldest: Temperature | None = Field(None, examples=["10 °C"])
    area: AreaMm2 | None = Field(None, examples=["45 cm²"])
    """Of the joint, coat or sheet, where it is not what the parts' sizes say."""
    glues: bool = Field(False, examples=[True])
    """Parts are joined here: what the proofreader knows of joints applies."""
    bare: str = Field("", max_length=100, examples=["joint face"])
    """Of a finish: which faces are masked for a later joint."""


class Head(_Table):
    """Everything of a procedure file but its steps and parameters."""

    name: str = Field(min_length=1, max_length=80, examples=["Matched bookends"])
    about: str = Field("", examples=["Two bookends of the same weight"])
    piece: str = Field("", max_length=30, examples=["bookend"])
    """What one piece is called."""
    makes: Count = Field(1, ge=1, le=50, examples=[2])
    pieces: Names = Field((), examples=[["left", "right"]])
    match: Mass | None = Field(None, examples=["5 g"])
    target: TolerancedMass | None = Field(None, examples=["850 g ± 8 g"])
    parts: dict[str, Any] = Field({}, examples=[{"block": {"wood": "black walnut"}}])
    """Name to `Part`: validated one by one, so that a mistake in one doesn't hide another's."""
    tins: dict[str, str] = Field({}, examples=[{"glue": "yellow wood glue"}])
    needs: tuple[FileNeed, ...] = Field((), examples=[[{"what": "bar clamp", "count": 4}]])
    cautions: dict[str, str] = Field({}, examples=[{"hot wire": "Keep fingers off."}])
    next_time: dict[str, Names] = Field({}, examples=[{"pour": ["Tap the sides longer."]}])


class BlockHead(_Table):
    """Everything of a building block but its steps and parameters."""

    name: str = Field(min_length=1, max_length=80, examples=["shot pour"])
    about: str = Field("", examples=["Fill a void in layers"])
    needs: tuple[FileNeed, ...] = Field((), examples=[[{"what": "bar clamp", "count": 4}]])


STEP_KEYS_OF_A_USE = ("use", "id", "after", "change")
"""Keys of a step that uses a block; all others are the block's parameters."""
