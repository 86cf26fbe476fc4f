"""The shape of a procedure file and of a building block: which keys, holding what.

Field names are the words of the file. Numbers come out in the units used inside (g, mm, s, °C);
every field's example is what an error message tells people to write.
"""

# Annotations are read when a file is: they must be values here, not texts.
from typing import Annotated, Any, Literal, get_args

from benchmate.procedure.file import values as reads
from benchmate.procedure.file.tables import Table, table, tables
from benchmate.quantities import TimedAt, Toleranced

Names = tuple[str, ...]
Sizes = tuple[float, ...]
Scope = Literal["job", "piece", "part", "layer", "coat", "mix"]
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
    "tin",
    "names",
]
Into = Literal["", "length", "width", "height"]
Cups = Literal["piece by piece", "layer by layer"]
WeighedAs = Literal["blank", "part", "gain", "whole"]
Air = Literal["", "constant", "arrhenius", "waterborne", "evaporation", "moisture cure"]
NeedKind = Literal["tool", "clamp", "drill", "abrasive", "tape", "spacer", "guard", "other"]


class Parameter(Table, frozen=True, kw_only=True):
    """A thing that may differ from job to job (or, in a block, from use to use)."""

    ask: Annotated[str, reads.text("Length of the block")] = ""
    kind: Annotated[str | None, reads.word(get_args(ParameterKind), "length")] = None
    default: Annotated[Any, reads.anything("120 mm")] = None
    at_least: Annotated[Any, reads.anything("80 mm")] = None
    at_most: Annotated[Any, reads.anything("200 mm")] = None
    choices: Annotated[Names, reads.names(["black walnut", "white oak"])] = ()
    per_piece: Annotated[bool, reads.flag(example=True)] = False
    scales: Annotated[bool, reads.flag(example=False)] = True
    """Whether "20 % bigger" changes it."""


class Shape(Table, frozen=True, kw_only=True):
    """A body or a hollow. What `size` lists depends on the shape; see `expanding.shapes`."""

    shape: Annotated[str, reads.word(get_args(ShapeName), "slot")] = "block"
    size: Annotated[Sizes | None, reads.size("80 x 30 x 45 mm")] = None
    corner: Annotated[float | None, reads.length("6 mm")] = None
    sides: Annotated[int | None, reads.count(6, least=3, most=24)] = None
    profile: Annotated[
        tuple[Sizes, ...],
        reads.each_of(reads.size("12 x 36 mm"), ["0 x 40 mm", "12 x 36 mm"], most=80),
    ] = ()
    """Of a turned shape: pairs of distance from its first end and diameter there."""
    into: Annotated[str, reads.word(get_args(Into), "height")] = ""
    """Which of the part's sizes a hollow goes down along."""
    offset: Annotated[Sizes | None, reads.size("0 x 5 mm")] = None
    """How far its middle stands off the middle of the face."""
    down: Annotated[float, reads.length("8 mm")] = 0.0
    """How far below the face it begins."""
    minus: Annotated[
        tuple["Shape", ...],
        tables(lambda: Shape, [{"shape": "bore", "size": "12 x 40 mm"}], most=12),
    ] = ()
    plus: Annotated[
        tuple["Shape", ...],
        tables(lambda: Shape, [{"shape": "dome", "size": "40 x 8 mm"}], most=12),
    ] = ()


class Void(Shape, frozen=True, kw_only=True, rename={"from_": "from"}):
    """A hollow that is filled with shot and resin."""

    from_: Annotated[str, reads.text("inner face")] = ""
    wall: Annotated[str, reads.text("at least 4 mm")] = ""
    narrowest: Annotated[float | None, reads.length("12 mm")] = None
    """Smallest free width, where it is not the shape's own (around a core)."""
    cap: Annotated[float, reads.length("1.5 mm")] = 1.5
    """Clear resin on top of the shot (1.5 mm where not said: common practice, no source)."""
    reserve: Annotated[float, reads.percent("4 %", most=30)] = 0.0
    """Share of the shot that the plan leaves out, so that a layer which packs loosely can be made
    up for in the next: shot can be held back, but not forced in."""


class Part(Shape, frozen=True, kw_only=True):
    """A part of a piece, as it stands before its first step."""

    wood: Annotated[str, reads.text("black walnut")] = ""
    metal: Annotated[str, reads.text("brass")] = ""
    moisture: Annotated[float, reads.percent("9 %")] = 9.0
    density: Annotated[float | None, reads.density("0.62 g/cm³")] = None
    weighs: Annotated[Toleranced | None, reads.toleranced("120 g ± 2 g")] = None
    grain: Annotated[str, reads.text("long way")] = ""
    outline: Annotated[str, reads.text("block")] = ""
    count: Annotated[int, reads.count(2, least=1, most=50)] = 1
    void: Annotated[
        Void | None, table(lambda: Void, {"shape": "slot", "size": "80 x 30 x 45 mm"})
    ] = None
    finished: Annotated[float | None, reads.area("420 cm²")] = None
    """Area that a finish covers, where it is not the whole outside."""


class FileWindow(Table, frozen=True, kw_only=True, rename={"from_": "from"}):
    """A clock that the file itself gives; a tin's windows come with the tin."""

    name: Annotated[str, reads.text("clamp time", least=1, most=60)]
    from_: Annotated[str, reads.text("clamped")] = ""
    opens: Annotated[TimedAt | None, reads.timed("45 min at 21 °C")] = None
    full: Annotated[TimedAt | None, reads.timed("24 h at 21 °C")] = None
    closes: Annotated[TimedAt | None, reads.timed("10 min at 21 °C")] = None
    hold: Annotated[float | None, reads.duration("24 h")] = None
    says: Annotated[str, reads.text("clamps may come off")] = ""
    """What may be done once it opens."""
    lost: Annotated[str, reads.text("the glue skins over")] = ""
    """What is lost when it closes."""
    missed: Annotated[str, reads.text("extra work: scuff first")] = "nothing"
    air: Annotated[Air, reads.word(get_args(Air), "evaporation")] = ""


class FileAmount(Table, frozen=True, kw_only=True):
    """So much of something."""

    tin: Annotated[str, reads.text("shot")] = ""
    what: Annotated[str, reads.text("shot")] = ""
    amount: Annotated[str, reads.text("12 g", least=1)]


class Weigh(Table, frozen=True, kw_only=True, rename={"as_": "as"}):
    """A weight that is asked for; in short, `weigh = "blank"`."""

    what: Annotated[str, reads.text("finished piece")] = ""
    as_: Annotated[str, reads.word(get_args(WeighedAs), "whole")] = "whole"
    plan: Annotated[float | None, reads.mass("850 g")] = None
    tolerance: Annotated[str, reads.text("8 g")] = ""


def _short_weigh(said: str) -> dict[str, str]:
    return {"as": said if said in get_args(WeighedAs) else "whole", "what": said}


class FileNeed(Table, frozen=True, kw_only=True):
    """A tool, clamp, drill size, abrasive, tape or spacer."""

    what: Annotated[str, reads.text("bar clamp", least=1)]
    count: Annotated[int, reads.count(4, least=1, most=1000)] = 1
    size: Annotated[str, reads.text("300 mm")] = ""
    kind: Annotated[str, reads.word(get_args(NeedKind), "clamp")] = "tool"


class Step(Table, frozen=True, kw_only=True):
    """One step: what is done, when it may be done, and what it starts."""

    id: Annotated[str, reads.text("sand outside", most=60)] = ""
    do: Annotated[str, reads.text("Sand the outer faces.", least=1, most=600)]
    act: Annotated[str, reads.text("sanded", most=40)] = ""
    each: Annotated[Scope | None, reads.word(get_args(Scope), "piece")] = None
    count: Annotated[int, reads.count(3, least=1, most=200)] = 1
    """How many coats or layers."""
    part: Annotated[Names, reads.names("block")] = ()
    tin: Annotated[Names, reads.names("oil")] = ()
    brings: Annotated[Names | None, reads.names(["recoat"])] = None
    """Which of the tin's windows the act starts; all where not said."""
    after: Annotated[Names | None, reads.names("shot pour")] = None
    waits: Annotated[Names, reads.names("clamp time")] = ()
    waits_full: Annotated[Names, reads.names("cure")] = ()
    within: Annotated[Names, reads.names("open time")] = ()
    serves: Annotated[Names, reads.names(["pour", "cap"])] = ()
    """Of a mix: the steps that pour from it."""
    cups: Annotated[str, reads.word(get_args(Cups), "layer by layer")] = "piece by piece"
    loss: Annotated[float, reads.percent("5 %")] = 0.0
    """Of a mix: what stays in the cup."""
    least: Annotated[float | None, reads.mass("20 g")] = None
    """Of a mix: no cup is smaller, since a scale can't weigh its parts to the ratio."""
    hands: Annotated[float | None, reads.duration("20 min")] = None
    takes: Annotated[Toleranced | None, reads.toleranced("6 g ± 3 g")] = None
    adds: Annotated[Toleranced | None, reads.toleranced("4 g ± 1 g")] = None
    amounts: Annotated[
        tuple[FileAmount, ...], tables(lambda: FileAmount, [{"tin": "oil", "amount": "6 g"}])
    ] = ()
    weigh: Annotated[Weigh | None, table(lambda: Weigh, "finished", _short_weigh)] = None
    check: Annotated[dict[str, str], reads.texts({"wall": "at least 3 mm"})] = {}
    caution: Annotated[Names, reads.names(["wood dust"])] = ()
    windows: Annotated[
        tuple[FileWindow, ...], tables(lambda: FileWindow, [{"name": "fresh", "closes": "15 min"}])
    ] = ()
    hold: Annotated[float | None, reads.duration("24 h")] = None
    """The maker's own rule for the window that this act opens."""
    rags: Annotated[bool, reads.flag(example=True)] = False
    irreversible: Annotated[bool, reads.flag(example=True)] = False
    coldest: Annotated[float | None, reads.temperature("10 °C")] = None
    area: Annotated[float | None, reads.area("45 cm²")] = None
    """Of the joint, coat or sheet, where it is not what the parts' sizes say."""
    glues: Annotated[bool, reads.flag(example=True)] = False
    """Parts are joined here: what the proofreader knows of joints applies."""
    bare: Annotated[str, reads.text("joint face", most=100)] = ""
    """Of a finish: which faces are masked for a later joint."""
    short: Annotated[str, reads.text("trim the tenon", most=40)] = ""
    """A title of a few words; from its name where not said."""
    each_of: Annotated[str, reads.text("Wipe each of {coats} coats dry.", most=600)] = ""
    """The sentence for all of its layers, coats or parts together."""
    holds: Annotated[dict[str, int], reads.counts({"clamp": 4}, most=1000)] = {}
    """What it takes, and how many: no other step can have them meanwhile."""
    until: Annotated[str, reads.text("clamps off", most=60)] = ""
    """The step that gives it back; this one where not said."""
    set_up: Annotated[float, reads.duration("5 min")] = 0.0
    clean_up: Annotated[float, reads.duration("5 min")] = 0.0
    dusty: Annotated[bool | None, reads.flag(example=True)] = None
    """Makes dust; where not said, a step with a caution against dust does."""
    wet: Annotated[float | None, reads.duration("4 h")] = None
    """How long dust spoils what was laid on; where not said, until its window opens."""
    noisy: Annotated[bool | None, reads.flag(example=True)] = None
    """Not for quiet hours; where not said, a step with a caution against a machine is."""
    may_stop: Annotated[bool, reads.flag(example=True)] = False
    """May be broken off and gone on with another day."""
    note: Annotated[Names, reads.names("Tap the sides longer.")] = ()
    """What is to be remembered here, in the maker's words."""


class Head(Table, frozen=True, kw_only=True):
    """Everything of a procedure file but its steps and parameters."""

    name: Annotated[str, reads.text("Matched bookends", least=1, most=80)]
    about: Annotated[str, reads.text("Two bookends of the same weight")] = ""
    piece: Annotated[str, reads.text("bookend", most=30)] = ""
    """What one piece is called."""
    makes: Annotated[int, reads.count(2, least=1, most=50)] = 1
    pieces: Annotated[Names, reads.names(["left", "right"])] = ()
    match: Annotated[float | None, reads.mass("5 g")] = None
    target: Annotated[Toleranced | None, reads.toleranced("850 g ± 8 g")] = None
    parts: Annotated[dict[str, Any], reads.anything({"block": {"wood": "black walnut"}})] = {}
    """Name to `Part`: validated one by one, so that a mistake in one doesn't hide another's."""
    tins: Annotated[dict[str, str], reads.texts({"glue": "yellow wood glue"})] = {}
    needs: Annotated[
        tuple[FileNeed, ...], tables(lambda: FileNeed, [{"what": "bar clamp", "count": 4}])
    ] = ()
    cautions: Annotated[dict[str, str], reads.texts({"hot wire": "Keep fingers off."})] = {}
    next_time: Annotated[
        dict[str, Names],
        reads.named(reads.names("Tap the sides longer."), {"pour": ["Tap the sides longer."]}),
    ] = {}


class BlockHead(Table, frozen=True, kw_only=True):
    """Everything of a building block but its steps and parameters."""

    name: Annotated[str, reads.text("shot pour", least=1, most=80)]
    about: Annotated[str, reads.text("Fill a void in layers")] = ""
    needs: Annotated[
        tuple[FileNeed, ...], tables(lambda: FileNeed, [{"what": "bar clamp", "count": 4}])
    ] = ()


STEP_KEYS_OF_A_USE = ("use", "id", "after", "change")
"""Keys of a step that uses a block; all others are the block's parameters."""
