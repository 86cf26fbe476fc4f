"""The shape of a procedure file and of a building block: which keys, holding what.

Field names are the words of the file. Numbers come out in the units used inside (g, mm, s, °C);
every field's example is what an error message tells people to write.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal, get_args

from pydantic import BeforeValidator

from benchmate.fields.model import MOST, Table, key, needed
from benchmate.fields.problem import Fault
from benchmate.fields.types import (
    DENSITY,
    MASS,
    PERCENT,
    Area,
    Count,
    Duration,
    Flag,
    Length,
    LengthWithTolerance,
    Mass,
    MassWithTolerance,
    Names,
    Percent,
    Size,
    SomeWeight,
    Temperature,
    Text,
    Timed,
    text,
    whole,
    within,
)
from benchmate.fields.wording import shown
from benchmate.nearest import nearest
from benchmate.procedure.file import clashes

Scope = Literal["job", "piece", "part", "layer", "coat", "mix"]
Each = Literal["job", "piece", "part", "void", "layer", "coat", "mix"]
ShapeName = Literal[
    "block",
    "slot",
    "cylinder",
    "bore",
    "frustum",
    "taper",
    "capsule",
    "prism",
    "ring",
    "dome",
    "turned",
    "shaped",
]
ParameterKind = Literal[
    "text",
    "count",
    "length",
    "size",
    "weight",
    "time",
    "timed",
    "temperature",
    "area",
    "percent",
    "choice",
    "part",
    "parts",
    "material",
    "names",
]
Into = Literal["", "length", "width", "height"]
Cups = Literal["piece by piece", "layer by layer", "one each"]
WeighedAs = Literal["blank", "part", "gain", "whole"]
Air = Literal["", "constant", "arrhenius", "waterborne", "evaporation", "moisture cure"]
NeedKind = Literal["tool", "clamp", "drill", "abrasive", "tape", "spacer", "guard", "other"]

DENSITIES = (0.03, 22.6)
"""g/cm³, from a light balsa (common practice, no source) to osmium, the densest element (22.59
g/cm³ in the CRC Handbook's table)."""
SOME_MASS = replace(MASS, above=0.0)


class Parameter(Table):
    """A thing that may differ from job to job (or, in a block, from use to use)."""

    ask: Text = key("Length of the block", "")
    kind: ParameterKind | None = key("length")
    default: Any = key("120 mm")
    at_least: Any = key("80 mm")
    at_most: Any = key("200 mm")
    choices: Names = key(["black walnut", "white oak"], ())
    per_piece: Flag = key(True, False)
    find: Literal["", "target", "balance"] = key("target", "")
    """Left to be found, so that the plan lands on this goal; what is typed wins."""
    scales: Flag = key(False, True)
    """Whether "20 % bigger" changes it."""


class Form(Table):
    """A plain body or hollow. What `size` lists depends on the shape; see `bodies.shapes`."""

    shape: ShapeName = key("slot", "block")
    size: Size | None = key("80 x 30 x 45 mm")
    corner: Length | None = key("6 mm")
    sides: Annotated[int, whole(3, 24)] | None = key(6)
    profile: tuple[Size, ...] = key(["0 x 40 mm", "12 x 36 mm"], (), max_length=80)
    """Of a turned shape: pairs of distance from its first end and diameter there."""
    steps: tuple[Size, ...] = key(["20 x 10 mm", "12 x 40 mm"], (), max_length=12)
    """Of a stepped bore: pairs of diameter and depth, all depths from its mouth."""
    tip: Annotated[int, whole(60, 180)] = key(118, 180)
    """Of a bore: the angle of the drill's tip in degrees; flat where not said."""
    stations: tuple[Size, ...] = key(["0 x 26 x 18 mm", "90 x 32 x 24 mm"], (), max_length=40)
    """Of a shaped form (a handle): distance from its first end, width and height there."""
    bend: Length = key("12 mm", 0.0)
    """Of a shaped form: how far the middle of its length stands off the line of its ends."""

    def clashes(self) -> Iterator[Fault]:
        """Keys that its shape doesn't use."""
        yield from clashes.of_form(self)


class Shape(Form):
    """A hollow or an addition, in its place."""

    from_: Text = key("inner face", "", alias="from")
    """The face that a hollow goes in from."""
    at: Names = key("8 mm from the front end", ())
    """Where on that face, in words."""
    into: Into = key("height", "")
    """Which of the part's sizes a hollow goes down along."""
    offset: Size | None = key("0 x 5 mm")
    """How far its middle stands off the middle of the face."""
    down: Length = key("8 mm", 0.0)
    """How far below the face it begins."""
    minus: tuple[Shape, ...] = key([{"shape": "bore", "size": "12 x 40 mm"}], (), max_length=12)
    plus: tuple[Shape, ...] = key([{"shape": "dome", "size": "40 x 8 mm"}], (), max_length=12)

    def clashes(self) -> Iterator[Fault]:
        """As a form's, and its place given twice."""
        yield from super().clashes()
        yield from clashes.of_place(self)


class Void(Shape):
    """A hollow that is filled with shot and resin."""

    called: Names = key(["front pocket", "back pocket"], ())
    """Equal ones of it, each by its own name, each with its own `at`."""
    wall: Text = key("at least 4 mm", "")
    narrowest: Length | None = key("12 mm")
    """Smallest free width, where it is not the shape's own (around a core)."""
    cap: Length = key("1.5 mm", 1.5)
    """Clear resin on top of the shot (1.5 mm where not said: common practice, no source)."""
    reserve: Annotated[float, within(PERCENT, 0.0, 30.0)] = key("4 %", 0.0)
    """Share of the shot that the plan leaves out, so that a layer which packs loosely can be made
    up for in the next: shot can be held back, but not forced in."""

    def clashes(self) -> Iterator[Fault]:
        """As a shape's, and its own."""
        yield from super().clashes()
        yield from clashes.of_void(self)


class Part(Form):
    """A part of a piece, as it stands before its first step."""

    minus: tuple[Shape, ...] = key([{"shape": "bore", "size": "12 x 40 mm"}], (), max_length=12)
    plus: tuple[Shape, ...] = key([{"shape": "dome", "size": "40 x 8 mm"}], (), max_length=12)
    called: Names = key(["left cheek", "right cheek"], ())
    """Equal ones of it, weighed, filled and marked one by one."""

    wood: Text = key("black walnut", "")
    metal: Text = key("brass", "")
    moisture: Percent = key("9 %", 9.0)
    density: Annotated[float, within(DENSITY, *DENSITIES)] | None = key("0.62 g/cm³")
    weighs: SomeWeight | None = key("120 g ± 2 g")
    grain: Text = key("long way", "")
    outline: Text = key("block", "")
    count: Annotated[int, whole(1, 50)] = key(2, 1)
    void: Void | None = key({"shape": "slot", "size": "80 x 30 x 45 mm"})
    voids: dict[str, Void] = key({"pocket": {"shape": "slot", "size": "28 x 26 x 20 mm"}}, {})
    """Several, each by its own name."""
    finished: Area | None = key("420 cm²")
    """Area that a finish covers, where it is not the whole outside."""
    starts: Length | None = key("0 mm")
    """Of a part along the piece: how far from the piece's beginning its first end lies."""
    middle: Length | None = key("215 mm")
    """Of a part across the piece: how far from the piece's beginning its middle lies."""

    sure: Names = key("green wood", ())
    """Doubts of the proofreader that the maker knows better."""

    def clashes(self) -> Iterator[Fault]:
        """As a shape's, and its own."""
        yield from super().clashes()
        yield from clashes.of_part(self)


class FileWindow(Table):
    """A clock that the file itself gives; a material's windows come with the material."""

    name: Annotated[str, text(least=1, most=60)] = needed("clamp time")
    from_: Text = key("clamped", "", alias="from")
    opens: Timed | None = key("45 min at 21 °C")
    full: Timed | None = key("24 h at 21 °C")
    closes: Timed | None = key("10 min at 21 °C")
    hold: Duration | None = key("24 h")
    says: Text = key("clamps may come off", "")
    """What may be done once it opens."""
    lost: Text = key("the glue skins over", "")
    """What is lost when it closes."""
    missed: Text = key("extra work: scuff first", "nothing")
    air: Air = key("evaporation", "")

    def clashes(self) -> Iterator[Fault]:
        """Words on an edge that it doesn't have."""
        yield from clashes.of_window(self)


class FileAmount(Table):
    """So much of something."""

    material: Text = key("shot", "")
    what: Text = key("shot", "")
    amount: Annotated[str, text(least=1)] = needed("12 g")


class Weigh(Table):
    """A weight that is asked for; in short, `weigh = "blank"`."""

    what: Text = key("finished piece", "")
    as_: WeighedAs = key("whole", "whole", alias="as")
    plan: Annotated[float, SOME_MASS] | None = key("850 g")
    tolerance: Text = key("8 g", "")


_WEIGHED = {"finished": "whole", **{kind: kind for kind in get_args(WeighedAs)}}
"""Texts that stand for a table, and as what is weighed then."""


def _short_weigh(value: Any) -> Any:
    """The table that a text stands for."""
    if not isinstance(value, str):
        return value
    kind = _WEIGHED.get(value)
    if kind is None:
        near = nearest(value, _WEIGHED)
        named = (
            f'the nearest is "{near}"' if near else f'write {{ as = "whole", what = "{value}" }}'
        )
        raise ValueError(f"{shown(value)} is no kind of weighing; {named}")
    return {"as": kind, "what": value}


def _one_each(value: Any) -> Any:
    """One each of a name or a list of names."""
    each = [value] if isinstance(value, str) else value
    if isinstance(each, list) and all(isinstance(v, str) for v in each):
        return {v: each.count(v) for v in each if v}
    return value


class FileNeed(Table):
    """A tool, clamp, drill size, abrasive, tape or spacer."""

    what: Annotated[str, text(least=1)] = needed("bar clamp")
    count: Annotated[int, whole(1, 1000)] = key(4, 1)
    size: Text = key("300 mm", "")
    kind: NeedKind = key("clamp", "tool")


class Step(Table):
    """One step: what is done, when it may be done, and what it starts."""

    also: ClassVar = ("use",)

    id: Annotated[str, text(most=60)] = key("sand outside", "")
    do: Annotated[str, text(least=1, most=600)] = needed("Sand the outer faces.")
    act: Annotated[str, text(most=40)] = key("sanded", "")
    each: Each | None = key("piece")
    count: Annotated[int, whole(1, 200)] = key(3, 1)
    """How many coats or layers."""
    part: Names = key("block", ())
    void: Names = key("front pocket", ())
    """Which of its voids; all where not said."""
    material: Names = key("oil", ())
    brings: Names | None = key(["recoat"])
    """Which of the material's windows the act starts; all where not said."""
    after: Names | None = key("shot pour")
    waits: Names = key("clamp time", ())
    waits_full: Names = key("cure", ())
    within: Names = key("open time", ())
    serves: Names = key(["pour", "cap"], ())
    """Of a mix: the steps that pour from it."""
    cups: Cups = key("layer by layer", "piece by piece")
    loss: Percent = key("5 %", 0.0)
    """Of a mix: what stays in the cup."""
    least: Mass | None = key("20 g")
    """Of a mix: no cup is smaller, since a scale can't weigh its parts to the ratio."""
    hands: Duration | None = key("20 min")
    takes: MassWithTolerance | None = key("6 g ± 3 g")
    adds: MassWithTolerance | None = key("4 g ± 1 g")
    amounts: tuple[FileAmount, ...] = key(
        [{"material": "oil", "amount": "6 g"}], (), max_length=MOST
    )
    weigh: Annotated[Weigh | None, BeforeValidator(_short_weigh)] = key("finished")
    check: dict[str, Text] = key({"wall": "at least 3 mm"}, {})
    caution: Names = key(["wood dust"], ())
    windows: tuple[FileWindow, ...] = key(
        [{"name": "fresh", "closes": "15 min"}], (), max_length=MOST
    )
    hold: Duration | None = key("24 h")
    """The maker's own rule for the window that this act opens."""
    rags: Flag = key(True, False)
    irreversible: Flag = key(True, False)
    coldest: Temperature | None = key("10 °C")
    area: Area | None = key("45 cm²")
    """Of the joint, coat or sheet, where it is not what the parts' sizes say."""
    glues: Flag = key(True, False)
    """Parts are joined here: what the proofreader knows of joints applies."""
    bare: Annotated[str, text(most=100)] = key("joint face", "")
    """Of a finish: which faces are masked for a later joint."""
    short: Annotated[str, text(most=40)] = key("trim the tenon", "")
    """A title of a few words; from its name where not said."""
    each_of: Annotated[str, text(most=600)] = key("Wipe each of {coats} coats dry.", "")
    """The sentence for all of its layers, coats or parts together."""
    holds: Annotated[dict[str, Count], BeforeValidator(_one_each)] = key({"clamp": 4}, {})
    """What it takes, and how many: no other step can have them meanwhile."""
    until: Annotated[str, text(most=60)] = key("clamps off", "")
    """The step that gives it back; this one where not said."""
    set_up: Duration = key("5 min", 0.0)
    clean_up: Duration = key("5 min", 0.0)
    dusty: Flag | None = key(True)
    """Makes dust; where not said, a step with a caution against dust does."""
    wet: Duration | None = key("4 h")
    """How long dust spoils what was laid on; where not said, until its window opens."""
    noisy: Flag | None = key(True)
    """Not for quiet hours; where not said, a step with a caution against a machine is."""
    may_stop: Flag = key(True, False)
    """May be broken off and gone on with another day."""
    note: Names = key(["Tap the sides longer."], ())
    """What is to be remembered here, in the maker's words."""

    sure: Names = key("short hold", ())
    """Doubts of the proofreader that the maker knows better."""

    def clashes(self) -> Iterator[Fault]:
        """Keys of another kind of step."""
        yield from clashes.of_step(self)


class Head(Table):
    """Everything of a procedure file but its steps and parameters."""

    name: Annotated[str, text(least=1, most=80)] = needed("Matched bookends")
    about: Text = key("Two bookends of the same weight", "")
    piece: Annotated[str, text(most=30)] = key("bookend", "")
    """What one piece is called."""
    makes: Annotated[int, whole(1, 50)] = key(2, 1)
    pieces: Names = key(["left", "right"], ())
    match: Annotated[float, SOME_MASS] | None = key("5 g")
    target: SomeWeight | None = key("850 g ± 8 g")
    balance: LengthWithTolerance | None = key("180 mm ± 5 mm")
    """Where it should balance, from the piece's beginning: see `starts` and `middle` of a part."""
    grip: Length | None = key("60 mm")
    """Where the hand holds it, from the piece's beginning."""
    parts: dict[str, Any] = key({"block": {"wood": "black walnut"}}, {})
    """Name to `Part`: validated one by one, so that a mistake in one doesn't hide another's."""
    materials: dict[str, Text] = key({"glue": "yellow wood glue"}, {})
    needs: tuple[FileNeed, ...] = key([{"what": "bar clamp", "count": 4}], (), max_length=MOST)
    cautions: dict[str, Text] = key({"hot wire": "Keep fingers off."}, {})
    next_time: dict[str, Names] = key({"pour": ["Tap the sides longer."]}, {})


class BlockHead(Table):
    """Everything of a building block but its steps and parameters."""

    name: Annotated[str, text(least=1, most=80)] = needed("shot pour")
    about: Text = key("Fill a void in layers", "")
    needs: tuple[FileNeed, ...] = key([{"what": "bar clamp", "count": 4}], (), max_length=MOST)


STEP_KEYS_OF_A_USE = ("use", "id", "after", "change", "sure")
"""Keys of a step that uses a block; all others are the block's parameters."""
