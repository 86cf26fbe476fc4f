"""The shape of a procedure file and of a building block: which keys, holding what.

Field names are the words of the file. Numbers come out in the units used inside (g, mm, s, °C);
every field's example is what an error message tells people to write.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal, get_args

from pydantic import BeforeValidator

from benchmate.fields import types as f
from benchmate.fields.model import MOST, Table, key, needed
from benchmate.fields.problem import Fault
from benchmate.fields.wording import shown
from benchmate.nearest import nearest
from benchmate.procedure.file import clashes
from benchmate.procedure.file.part_schema import FileBuilt

Scope = Literal["job", "piece", "part", "layer", "coat", "mix"]
Each = Literal["job", "piece", "part", "void", "layer", "coat", "mix"]
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
Cups = Literal["piece by piece", "layer by layer", "shared", "one each"]
WeighedAs = Literal["blank", "part", "gain", "whole"]
Air = Literal["", "constant", "arrhenius", "waterborne", "evaporation", "moisture cure"]
NeedKind = Literal["tool", "clamp", "drill", "abrasive", "tape", "spacer", "guard", "other"]

SOME_MASS = replace(f.MASS, above=0.0)


class Parameter(Table):
    """A thing that may differ from job to job (or, in a block, from use to use)."""

    ask: f.Text = key("Length of the block", "")
    kind: ParameterKind | None = key("length")
    default: Any = key("120 mm")
    at_least: Any = key("80 mm")
    at_most: Any = key("200 mm")
    choices: f.Names = key(["black walnut", "white oak"], ())
    per_piece: f.Flag = key(True, False)
    find: Literal["", "target", "balance"] = key("target", "")
    """Left to be found, so that the plan lands on this goal; what is typed wins."""
    scales: f.Flag = key(False, True)
    """Whether "20 % bigger" changes it."""


class FileWindow(Table):
    """A clock that the file itself gives; a material's windows come with the material."""

    name: Annotated[str, f.text(least=1, most=60)] = needed("clamp time")
    from_: f.Text = key("clamped", "", alias="from")
    opens: f.Timed | None = key("45 min at 21 °C")
    full: f.Timed | None = key("24 h at 21 °C")
    closes: f.Timed | None = key("10 min at 21 °C")
    hold: f.Duration | None = key("24 h")
    says: f.Text = key("clamps may come off", "")
    """What may be done once it opens."""
    lost: f.Text = key("the glue skins over", "")
    """What is lost when it closes."""
    missed: f.Text = key("extra work: scuff first", "nothing")
    air: Air = key("evaporation", "")

    def clashes(self) -> Iterator[Fault]:
        """Words on an edge that it doesn't have."""
        yield from clashes.of_window(self)


class FileAmount(Table):
    """So much of something."""

    material: f.Text = key("shot", "")
    what: f.Text = key("shot", "")
    amount: Annotated[str, f.text(least=1)] = needed("12 g")


class Weigh(Table):
    """A weight that is asked for; in short, `weigh = "blank"`."""

    what: f.Text = key("finished piece", "")
    as_: WeighedAs = key("whole", "whole", alias="as")
    plan: Annotated[float, SOME_MASS] | None = key("850 g")
    tolerance: f.Text = key("8 g", "")


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

    what: Annotated[str, f.text(least=1)] = needed("bar clamp")
    count: Annotated[int, f.whole(1, 1000)] = key(4, 1)
    size: f.Text = key("300 mm", "")
    kind: NeedKind = key("clamp", "tool")


class Step(Table):
    """One step: what is done, when it may be done, and what it starts."""

    also: ClassVar = ("use",)

    id: Annotated[str, f.text(most=60)] = key("sand outside", "")
    do: Annotated[str, f.text(least=1, most=600)] = needed("Sand the outer faces.")
    act: Annotated[str, f.text(most=40)] = key("sanded", "")
    each: Each | None = key("piece")
    count: Annotated[int, f.whole(1, 200)] = key(3, 1)
    """How many coats or layers."""
    first: Annotated[int, f.whole(1, 200)] = key(2, 1)
    """Of a counted step: the coat or layer before which it isn't done yet."""
    part: f.Names = key("block", ())
    void: f.Names = key("front pocket", ())
    """Which of its voids; all where not said."""
    material: f.Names = key("oil", ())
    brings: f.Names | None = key(["recoat"])
    """Which of the material's windows the act starts; all where not said."""
    after: f.Names | None = key("shot pour")
    waits: f.Names = key("clamp time", ())
    waits_full: f.Names = key("cure", ())
    within: f.Names = key("open time", ())
    serves: f.Names = key(["pour", "cap"], ())
    """Of a mix: the steps that pour from it."""
    cups: Cups = key("layer by layer", "piece by piece")
    loss: f.Percent = key("5 %", 0.0)
    """Of a mix: what stays in the cup."""
    least: f.Mass | None = key("20 g")
    """Of a mix: no cup is smaller, since a scale can't weigh its parts to the ratio."""
    hands: f.Duration | None = key("20 min")
    takes: f.MassWithTolerance | None = key("6 g ± 3 g")
    to_size: f.Flag = key(True, False)
    """It takes off what its parts' finished sizes, chamfers and recesses leave less of them."""
    round: f.Length | None = key("32 mm")
    """Of a tenon's fitting: the diameter of the round that it is cut from."""
    adds: f.MassWithTolerance | None = key("4 g ± 1 g")
    amounts: tuple[FileAmount, ...] = key(
        [{"material": "oil", "amount": "6 g"}], (), max_length=MOST
    )
    weigh: Annotated[Weigh | None, BeforeValidator(_short_weigh)] = key("finished")
    check: dict[str, f.Text] = key({"wall": "at least 3 mm"}, {})
    caution: f.Names = key(["wood dust"], ())
    windows: tuple[FileWindow, ...] = key(
        [{"name": "fresh", "closes": "15 min"}], (), max_length=MOST
    )
    hold: f.Duration | None = key("24 h")
    """The maker's own rule for the window that this act opens."""
    rags: f.Flag = key(True, False)
    irreversible: f.Flag = key(True, False)
    coldest: f.Temperature | None = key("10 °C")
    recess: f.Text = key("face", "")
    """What is laid or glued goes into this recess of its part: its area is the recess's."""
    area: f.Area | None = key("45 cm²")
    """Of the joint, coat or sheet, where it is not what the parts' sizes say."""
    glues: f.Flag = key(True, False)
    """Parts are joined here: what the proofreader knows of joints applies."""
    bare: Annotated[str, f.text(most=100)] = key("joint face", "")
    """Of a finish: which faces are masked for a later joint."""
    short: Annotated[str, f.text(most=40)] = key("trim the tenon", "")
    """A title of a few words; from its name where not said."""
    each_of: Annotated[str, f.text(most=600)] = key("Wipe each of {coats} coats dry.", "")
    """The sentence for all of its layers, coats or parts together."""
    holds: Annotated[dict[str, f.Count], BeforeValidator(_one_each)] = key({"clamp": 4}, {})
    """What it takes, and how many: no other step can have them meanwhile."""
    until: Annotated[str, f.text(most=60)] = key("clamps off", "")
    """The step that gives it back; this one where not said."""
    set_up: f.Duration = key("5 min", 0.0)
    clean_up: f.Duration = key("5 min", 0.0)
    dusty: f.Flag | None = key(True)
    """Makes dust; where not said, a step with a caution against dust does."""
    wet: f.Duration | None = key("4 h")
    """How long dust spoils what was laid on; where not said, until its window opens."""
    noisy: f.Flag | None = key(True)
    """Not for quiet hours; where not said, a step with a caution against a machine is."""
    may_stop: f.Flag = key(True, False)
    """May be broken off and gone on with another day."""
    note: f.Names = key(["Tap the sides longer."], ())
    """What is to be remembered here, in the maker's words."""

    sure: f.Names = key("short hold", ())
    """Doubts of the proofreader that the maker knows better."""

    def clashes(self) -> Iterator[Fault]:
        """Keys of another kind of step."""
        yield from clashes.of_step(self)


class Head(Table):
    """Everything of a procedure file but its steps and parameters."""

    name: Annotated[str, f.text(least=1, most=80)] = needed("Matched bookends")
    about: f.Text = key("Two bookends of the same weight", "")
    piece: Annotated[str, f.text(most=30)] = key("bookend", "")
    """What one piece is called."""
    makes: Annotated[int, f.whole(1, 50)] = key(2, 1)
    pieces: f.Names = key(["left", "right"], ())
    match: Annotated[float, SOME_MASS] | None = key("5 g")
    target: f.SomeWeight | None = key("850 g ± 8 g")
    balance: f.LengthWithTolerance | None = key("180 mm ± 5 mm")
    """Where it should balance, from the piece's beginning: see `starts` and `middle` of a part."""
    grip: f.Length | None = key("60 mm")
    """Where the hand holds it, from the piece's beginning."""
    parts: dict[str, Any] = key({"block": {"wood": "black walnut"}}, {})
    """Name to `Part`: validated one by one, so that a mistake in one doesn't hide another's."""
    built: dict[str, FileBuilt] = key({"head": {"of": ["left cheek", "right cheek"]}}, {})
    """Bodies that several parts make together."""
    materials: dict[str, f.Text] = key({"glue": "yellow wood glue"}, {})
    needs: tuple[FileNeed, ...] = key([{"what": "bar clamp", "count": 4}], (), max_length=MOST)
    cautions: dict[str, f.Text] = key({"hot wire": "Keep fingers off."}, {})
    next_time: dict[str, f.Names] = key({"pour": ["Tap the sides longer."]}, {})
    sure: f.Names = key("off target", ())
    """Doubts of the proofreader about the whole that the maker knows better."""


class BlockHead(Table):
    """Everything of a building block but its steps and parameters."""

    name: Annotated[str, f.text(least=1, most=80)] = needed("shot pour")
    about: f.Text = key("Fill a void in layers", "")
    needs: tuple[FileNeed, ...] = key([{"what": "bar clamp", "count": 4}], (), max_length=MOST)


STEP_KEYS_OF_A_USE = ("use", "id", "after", "change", "sure")
"""Keys of a step that uses a block; all others are the block's parameters."""
