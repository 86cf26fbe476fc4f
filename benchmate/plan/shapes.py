"""What the parts of a job look like: sizes, hollows and marks, as a plan keeps them.

Lists, drawings, templates and labels are made from these and never from the procedure's file,
which may have changed since the job began. All lengths are millimetres.

A part lies with its length along x, from its *first end* at x = 0 (of a turned part: the end
that its profile starts from) to its *other end*. Its width lies along y and its height along z,
both from minus to plus half of it: the middle line of the part is the x axis. The *top* looks
to +z, the *back* to +y. A hollow goes in from a face of the part; its own x runs down from its
mouth.
"""

from typing import Literal

import msgspec

Side = Literal["top", "underside", "front", "back", "first end", "other end"]
"""A face of a part: which way it looks (+z, -z, -y, +y, -x, +x)."""
Purpose = Literal["void", "bore", "mortise", "recess", "cut"]
NO_SHAPES = (
    "this job was started by an earlier benchmate and its plan knows no shapes; "
    "`benchmate job change JOB --file FILE` takes its file over, and then it does"
)
"""What is said where a paper needs shapes and the plan has none."""


class _Shape(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """Frozen, and only what differs from the defaults is stored."""


class Form(_Shape, frozen=True):
    """One plain body or hollow.

    kind and what `size_mm` lists: "block" length, width, height; "slot" length, width, depth
    (round ends unless `corner_mm`); "cylinder", "capsule" diameter, length; "dome" diameter,
    height; "bore" diameter, depth at full diameter; "frustum" first and second diameter, length;
    "ring" outer and inner diameter, length; "prism" across flats, length (with `sides`); "taper"
    wide end, narrow end, thickness, length; "turned" and "shaped" nothing.
    """

    kind: str
    size_mm: tuple[float, ...] = ()
    profile_mm: tuple[tuple[float, float], ...] = ()
    """Of a turned form: distance from its first end, and diameter there; straight in between."""
    stations_mm: tuple[tuple[float, float, float], ...] = ()
    """Of a shaped form (a handle): distance, width and height of the ellipse there."""
    bend_mm: float = 0.0
    """Of a shaped form: how far the middle of its length stands off the line between its ends."""
    steps_mm: tuple[tuple[float, float], ...] = ()
    """Of a stepped bore: diameter and depth of each step, all depths from the mouth."""
    corner_mm: float | None = None
    sides: int = 0
    tip_deg: float = 180.0
    """Of a bore: the angle of the drill's tip below its full depth; 180 for a flat bottom."""


class Hollow(Form, frozen=True):
    """A hollow of a part, or one that several parts leave between them."""

    name: str = ""
    """What the file calls it; empty for a part's only void."""
    purpose: Purpose = "cut"
    side: Side = "top"
    """The face it goes in from."""
    opens_on: str = ""
    """That face in the maker's words: "inner face"."""
    across_mm: float = 0.0
    """How far its middle stands off the middle of that face: along the part's length (on an end:
    along the width), plus towards the other end (the back)."""
    up_mm: float = 0.0
    """The same, across: along the width on top and underside (plus: back), else along the height
    (plus: top)."""
    down_mm: float = 0.0
    """How far below the face it begins."""
    volume_ml: float = 0.0
    """What goes into it: less its cores."""
    mouth_mm2: float = 0.0
    """The area of its mouth, what a cap of resin is reckoned on."""
    cap_mm: float = 0.0
    """How thick its cap of clear resin is."""
    wall_at_least_mm: float | None = None
    """The least wall that the file asks for round it."""
    wall_mm: float | None = None
    """The thinnest wall that the sizes leave, reckoned on the assembled body where there is one."""
    wall_where: str = ""
    cores: tuple[Form, ...] = ()
    """What stands in it while it is poured or glued: spacers, their size reckoned."""
    cores_out: str = ""
    """The step, as the file calls it, by which the cores are drawn."""
    filled_with: tuple[str, ...] = ()
    """Of a recess: what is laid or glued in ("leather 2 mm", "contact adhesive")."""


class Insert(_Shape, frozen=True):
    """A tube or insert that is glued into a bore."""

    part: str
    """The part that goes in."""
    bore: str
    """The name of the bore, in the part that holds it."""
    clearance_mm: float = 0.0
    """Bore less insert, on the diameter: half of it is the gap that the glue fills."""
    glue_ml: float = 0.0
    """What that gap holds, both together."""
    scuff: bool = False
    plug: str = ""
    """What keeps the glue out of it: "wax", "tape"."""


class Tenon(_Shape, frozen=True):
    """A part's end that fits a mortise."""

    size_mm: tuple[float, ...]
    """Width, thickness and length of a flat one; diameter and length of a round one."""
    at: Side = "first end"
    fits: str = ""
    """The hollow it goes into, as the file calls it."""
    kerfs: int = 0
    kerf_mm: float = 0.0
    kerf_deep_mm: float = 0.0
    relief_hole_mm: float = 0.0
    """Diameter of the hole at each kerf's end that keeps it from running."""
    wedge_mm: tuple[float, ...] = ()
    """Each wedge: thick end, thin end, width, length."""


class Mark(_Shape, frozen=True):
    """A mark on a part: which way it lies, what it belongs to, the maker's own."""

    kind: Literal["orientation", "match", "brand"]
    what: str
    """"arrow to the front end", "triangle over both cheeks"."""
    on: str = ""
    """The face it is made on."""
    before: str = ""
    """The step that it must be made before: a brand before the finish."""


class PartShape(_Shape, frozen=True):
    """One part of one piece."""

    blank: Form
    """As it is weighed before the first step."""
    finished_mm: tuple[float, ...] = ()
    """Sizes that are left when it is shaped; empty: those of the blank."""
    finished_profile_mm: tuple[tuple[float, float], ...] = ()
    """The same of a turned part."""
    rough_mm: tuple[float, ...] = ()
    """Length, width and height to saw it to; empty: not said."""
    unit: str = "mm"
    """The unit that its size was written in, and is shown in: "mm", "cm" or "in"."""
    metal: str = ""
    grain: str = ""
    """Which way it runs, in the maker's words; "" where there is none."""
    moisture_pct: float | None = None
    count: int = 1
    """How many of it a piece has that are cut, weighed and glued together as one."""
    spare: int = 0
    """How many more are bought and cut, against a mishap; no target counts them."""
    alike: str = ""
    """What the file calls it and its equals, where it is one of several called by their own
    names: "cheek" of the left cheek."""
    adds: tuple[Form, ...] = ()
    """What is joined to its other end in one piece with it (a dome, a spigot)."""
    hollows: tuple[Hollow, ...] = ()
    """Voids first, in the file's order; then its bores, cuts and recesses."""
    chamfer_mm: float = 0.0
    """Both legs of the chamfer on all its long and end edges; 0: none."""
    off_g: float = 0.0
    """What comes off the blank until it is finished: shaping, chamfers, recesses."""
    tenon: Tenon | None = None
    inserts: tuple[Insert, ...] = ()
    marks: tuple[Mark, ...] = ()

    @property
    def voids(self) -> tuple[Hollow, ...]:
        """The hollows that are filled with shot."""
        return tuple(h for h in self.hollows if h.purpose == "void")


class Row(_Shape, frozen=True):
    """One layer of a body that is built up: parts side by side along the length."""

    parts: tuple[str, ...]
    starts_mm: tuple[float, ...] = ()
    """Where each begins along the body's length."""
    thick_mm: float = 0.0


class Built(_Shape, frozen=True):
    """A body glued up of parts that lie flat on each other, and what they leave between them."""

    piece: str
    name: str
    rows: tuple[Row, ...]
    """From the first to the last; the first one's top is inside, the last is turned over."""
    size_mm: tuple[float, ...] = ()
    """Length, width, and height through all rows."""
    hollows: tuple[Hollow, ...] = ()
    """A mortise or void between the parts; placed in the body as a hollow in a part."""
    saw_mm: tuple[tuple[Side, float], ...] = ()
    """How much may come off each face before the wall there is down to what the file asks for."""
