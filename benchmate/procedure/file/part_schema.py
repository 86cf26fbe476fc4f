"""The shape of a part as a file gives it: sizes, hollows, and what several parts make together."""

# No `from __future__ import annotations` in models: pydantic would read each from its text again.

from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from benchmate.fields import types as f
from benchmate.fields.model import Table, key, needed
from benchmate.fields.problem import Fault
from benchmate.procedure.file import clashes

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
Into = Literal["", "length", "width", "height"]
DENSITIES = (0.03, 22.6)
"""g/cm³, from a light balsa (common practice, no source) to osmium, the densest element (22.59
g/cm³ in the CRC Handbook's table)."""
MarkKind = Literal["orientation", "match", "brand"]


class Form(Table):
    """A plain body or hollow. What `size` lists depends on the shape; see `bodies.shapes`."""

    shape: ShapeName = key("slot", "block")
    size: f.Size | None = key("80 x 30 x 45 mm")
    corner: f.Length | None = key("6 mm")
    sides: Annotated[int, f.whole(3, 24)] | None = key(6)
    profile: tuple[f.Size, ...] = key(["0 x 40 mm", "12 x 36 mm"], (), max_length=80)
    """Of a turned shape: pairs of distance from its first end and diameter there."""
    steps: tuple[f.Size, ...] = key(["20 x 10 mm", "12 x 40 mm"], (), max_length=12)
    """Of a stepped bore: pairs of diameter and depth, all depths from its mouth."""
    tip: Annotated[int, f.whole(60, 180)] = key(118, 180)
    """Of a bore: the angle of the drill's tip in degrees; flat where not said."""
    stations: tuple[f.Size, ...] = key(["0 x 26 x 18 mm", "90 x 32 x 24 mm"], (), max_length=40)
    """Of a shaped form (a handle): distance from its first end, width and height there."""
    bend: f.Length = key("12 mm", 0.0)
    """Of a shaped form: how far the middle of its length stands off the line of its ends."""

    def clashes(self) -> Iterator[Fault]:
        """Keys that its shape doesn't use."""
        yield from clashes.of_form(self)


class Shape(Form):
    """A hollow or an addition, in its place."""

    from_: f.Text = key("inner face", "", alias="from")
    """The face that a hollow goes in from."""
    at: f.Names = key("8 mm from the front end", ())
    """Where on that face, in words."""
    name: f.Text = key("cable way", "")
    into: Into = key("height", "")
    """Which of the part's sizes a hollow goes down along."""
    offset: f.Size | None = key("0 x 5 mm")
    """How far its middle stands off the middle of the face."""
    down: f.Length = key("8 mm", 0.0)
    """How far below the face it begins."""
    minus: tuple["Shape", ...] = key([{"shape": "bore", "size": "12 x 40 mm"}], (), max_length=12)
    plus: tuple["Shape", ...] = key([{"shape": "dome", "size": "40 x 8 mm"}], (), max_length=12)

    def clashes(self) -> Iterator[Fault]:
        """As a form's, and its place given twice."""
        yield from super().clashes()
        yield from clashes.of_place(self)


class Cut(Shape):
    """A hollow that no shot goes into: a bore, a mortise, a recess for leather."""

    filled: f.Names = key(["leather", "adhesive"], ())
    """What goes into it, by the names of the materials."""


class Void(Shape):
    """A hollow that is filled with shot and resin."""

    called: f.Names = key(["front pocket", "back pocket"], ())
    """Equal ones of it, each by its own name, each with its own `at`."""
    wall: f.Text = key("at least 4 mm", "")
    narrowest: f.Length | None = key("12 mm")
    """Smallest free width, where it is not the shape's own (around a core)."""
    cap: f.Length = key("1.5 mm", 1.5)
    """Clear resin on top of the shot (1.5 mm where not said: common practice, no source)."""
    reserve: Annotated[float, f.within(f.PERCENT, 0.0, 30.0)] = key("4 %", 0.0)
    """Share of the shot that the plan leaves out, so that a layer which packs loosely can be made
    up for in the next: shot can be held back, but not forced in."""
    sure: f.Names = key("thin wall", ())
    """Doubts of the proofreader that the maker knows better."""

    def clashes(self) -> Iterator[Fault]:
        """As a shape's, and its own."""
        yield from super().clashes()
        yield from clashes.of_void(self)


class FileTenon(Table):
    """A part's end that goes into a mortise."""

    size: f.Size | None = key("22 x 28 x 66 mm")
    """Width x thickness x length; from the mortise it fits where not said."""
    at: f.Text = key("first end", "first end")
    fits: f.Text = key("mortise", "")
    """The mortise it goes into, by its name in a built body or among a part's cuts."""
    proud: f.Length = key("3 mm", 3.0)
    """How far it stands out of the mortise, to be trimmed."""
    kerfs: Annotated[int, f.whole(0, 6)] = key(2, 0)
    """Saw cuts for wedges."""
    kerf: f.Length = key("1 mm", 1.0)
    relief_hole: f.Length = key("3 mm", 0.0)
    """The hole at a kerf's end that keeps it from running."""


class FileMark(Table):
    """A mark that is made on a part."""

    mark: MarkKind = needed("orientation")
    what: f.Text = key("an arrow to the front end", "")
    on: f.Text = key("top", "")
    before: f.Text = key("oil", "")
    """The step it must be made before."""


class FitsIn(Table):
    """A tube or insert that is glued into a bore of another part."""

    part: Annotated[str, f.text(least=1)] = needed("column")
    bore: f.Text = key("cable way", "")
    """Which of its cuts, by its name; an only bore needs none."""
    scuff: f.Flag = key(True, False)
    plug: f.Text = key("wax", "")
    """What keeps the glue out of it."""


class Part(Form):
    """A part of a piece, as it stands before its first step."""

    minus: tuple[Cut, ...] = key([{"shape": "bore", "size": "12 x 40 mm"}], (), max_length=12)
    """What was cut out of it before it is weighed."""
    plus: tuple[Shape, ...] = key([{"shape": "dome", "size": "40 x 8 mm"}], (), max_length=12)
    called: f.Names = key(["left cheek", "right cheek"], ())
    """Equal ones of it, weighed, filled and marked one by one."""

    wood: f.Text = key("black walnut", "")
    metal: f.Text = key("brass", "")
    moisture: f.Percent = key("9 %", 9.0)
    density: Annotated[float, f.within(f.DENSITY, *DENSITIES)] | None = key("0.62 g/cm³")
    weighs: f.SomeWeight | None = key("120 g ± 2 g")
    grain: f.Text = key("long way", "")
    outline: f.Text = key("block", "")
    count: Annotated[int, f.whole(1, 50)] = key(2, 1)
    void: Void | None = key({"shape": "slot", "size": "80 x 30 x 45 mm"})
    voids: dict[str, Void] = key({"pocket": {"shape": "slot", "size": "28 x 26 x 20 mm"}}, {})
    """Several, each by its own name."""
    recesses: dict[str, Cut] = key({"face": {"shape": "bore", "size": "30 x 3 mm"}}, {})
    """Cut once it is weighed: what they take off counts with `to_size`."""
    finished_size: f.Size | None = key("116 x 86 x 50 mm")
    """What is left of its size when it is shaped."""
    finished_profile: tuple[f.Size, ...] = key(["0 x 38 mm", "12 x 34 mm"], (), max_length=80)
    """The same of a turned part."""
    chamfer: f.Length = key("1 mm", 0.0)
    """On all edges of a block once it is shaped."""
    rough: f.Text = key("3 mm over", "")
    """What it is sawn to: a size, or so much over its size each way."""
    spare: Annotated[int, f.whole(0, 50)] = key(1, 0)
    """How many more are bought and cut, against a mishap."""
    tenon: FileTenon | None = key({"fits": "mortise", "kerfs": 2})
    fits_in: FitsIn | None = key({"part": "column", "bore": "cable way"})
    marks: tuple[FileMark, ...] = key([{"mark": "orientation", "on": "top"}], (), max_length=12)
    finished: f.Area | None = key("420 cm²")
    """Area that a finish covers, where it is not the whole outside."""
    starts: f.Length | None = key("0 mm")
    """Of a part along the piece: how far from the piece's beginning its first end lies."""
    middle: f.Length | None = key("215 mm")
    """Of a part across the piece: how far from the piece's beginning its middle lies."""
    sure: f.Names = key("green wood", ())
    """Doubts of the proofreader that the maker knows better."""

    def clashes(self) -> Iterator[Fault]:
        """As a shape's, and its own."""
        yield from super().clashes()
        yield from clashes.of_part(self)


class Gap(Table):
    """A hollow that the parts of one layer leave between them."""

    between: f.Names = key(["front middle", "back middle"], ())
    """The parts on both sides of it; an only gap needs none."""
    wide_end: f.Length | None = key("34 mm")
    """How wide it is at one end, where a part slopes: room for a spread tenon."""
    wide_on: f.Text = key("top", "back")
    """The face of the body that the wide end opens on."""
    slopes: f.Text = key("back middle", "")
    """The part that is sawn to the slope once it is weighed."""
    kept_by: f.Text = key("spacers", "")
    """What keeps it open while it is glued and poured; its size is reckoned."""
    until: f.Text = key("pull spacers", "")
    """The step by which they are drawn."""
    void: f.Flag = key(True, False)
    """It is filled with shot and resin."""
    wall: f.Text = key("at least 4 mm", "")
    cap: f.Length = key("1.5 mm", 1.5)
    reserve: Annotated[float, f.within(f.PERCENT, 0.0, 30.0)] = key("4 %", 0.0)


def _row(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


class FileBuilt(Table):
    """Parts that lie flat on each other, glued up to one body."""

    of: tuple[Annotated[f.Names, BeforeValidator(_row)], ...] = key(
        ["left cheek", ["front middle", "back middle"], "right cheek"], (), max_length=12
    )
    """Layer by layer: the first one's top is inside, the last is turned over."""
    wall: f.Text = key("at least 5 mm", "")
    """How much wood must stay over every hollow in it when its outside is sawn and sanded."""
    finished_size: f.Size | None = key("100 x 42 x 56 mm")
    """What is left of its size when it is shaped."""
    chamfer: f.Length = key("1 mm", 0.0)
    """On all its edges once it is shaped."""
    recesses: dict[str, Cut] = key({"face": {"shape": "bore", "size": "30 x 3 mm"}}, {})
    gaps: dict[str, Gap] = key({"mortise": {"kept_by": "spacers"}}, {})
    """The hollows that its parts leave between them, by their names."""
    sure: f.Names = key("thin wall", ())
    """Doubts of the proofreader that the maker knows better."""
