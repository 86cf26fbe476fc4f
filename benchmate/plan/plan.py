"""The expanded plan that a job is frozen to: every step, window and amount as numbers.

A procedure file is for people; this is what is left when its blocks, parameters, materials and
reckoners have been worked out, once, at the job's start. It is stored in `job started`, so
every type here is a frozen msgspec struct and must stay readable for ever (see events.py).
"""

# No `from __future__ import annotations` here: msgspec would read each annotation from its text
# again at every start, which took a tenth of the time of `benchmate next`.

from typing import Literal

import msgspec

from benchmate.plan.rates import Rule
from benchmate.plan.shapes import Built, PartShape

MIXED = "mixed"
"""What an amount is called that says how much went into a cup in all."""
Consequence = Literal[
    "nothing", "extra work", "spoils mix", "spoils joint", "spoils coat", "spoils piece"
]


class _Record(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """Frozen, and only what differs from the defaults is stored."""


def where_of(part: str, void: str) -> str:
    """A part, or one of its several voids, in words: "front pocket of the left cheek"."""
    return f"{void} of the {part}" if void else part


class Amount(_Record, frozen=True):
    """So much of one material. `unit` is "g" or "ml", or how what was used up is counted."""

    what: str
    amount: float
    unit: str = "g"
    material: str = msgspec.field(default="", name="tin")
    role: str = ""
    """What the procedure calls the material: what is learned of it goes by this name."""
    area_mm2: float = 0.0
    """The area that the amount was worked out for, where it goes by area."""


class WeighPoint(_Record, frozen=True):
    """Where a weight is asked for.

    kind "gain": what the step adds to the piece (gross after minus before).
    kind "whole": the piece, blank or part as it stands on the scale.
    """

    kind: Literal["gain", "whole"]
    plan_g: float | None = None
    tolerance_g: float | None = None
    what: str = ""
    """What stands on the scale, in words: "blank", "filled block", "finished piece"."""
    weighed: Literal["blank", "fill", "part", "whole"] = "part"
    """What it means for the heading: the blank before filling, a layer of the fill, another
    part that will be joined on, or the whole piece as it stands (everything before is known)."""


class Check(_Record, frozen=True):
    """A thing to measure or to answer yes or no before going on."""

    name: str
    ask: str
    unit: str = ""
    """"mm", "g", "°C" …; empty for a yes-or-no question."""
    at_least: float | None = None
    at_most: float | None = None


class Window(_Record, frozen=True):
    """A clock: up to three edges, in seconds at the label's air from the `anchor` of its act."""

    name: str
    address: str
    label: str
    """What a person calls it, short: "mix 2, pot life"."""
    anchor: Literal["done", "begun"] = "done"
    opens_s: float | None = None
    full_s: float | None = None
    closes_s: float | None = None
    opens_text: str = ""
    """What may be done once it opens: "clamps may come off"."""
    full_text: str = ""
    closes_text: str = ""
    """What is lost when it closes: "the mix gels"."""
    at_c: float | None = None
    """The label's temperature; None where the label says none."""
    opens_c: float | None = None
    full_c: float | None = None
    closes_c: float | None = None
    """The temperature of one edge's time, where it isn't `at_c`."""
    opens_least_s: float | None = None
    full_least_s: float | None = None
    closes_most_s: float | None = None
    """The other end of a label's range; the edge itself holds the safe one."""
    rough: tuple[str, ...] = ()
    """Edges that no label gave: common practice, said of an ordinary shop."""
    rule: Rule = Rule()
    missed: Consequence = "nothing"
    missed_text: str = ""
    """The extra work, or what to do now, in words."""
    hold_s: float | None = None
    """The maker's own rule ("I leave it 24 h"): kept beside the label's, wins for reminders."""
    place: str = ""
    """Whose air it follows; empty means the shop's."""
    source: str = ""
    """Whence the label's values: a data sheet, or "common practice, no source"."""
    material: str = ""


class Holding(_Record, frozen=True):
    """A thing that a step takes and that no other step can have meanwhile."""

    what: str
    """"clamp", "bench vice", "drying box"."""
    count: float = 1
    until: str = ""
    """The address of the step whose end gives it back; empty: when this act is done."""


class Step(_Record, frozen=True):
    """One act of one piece, part, layer, coat or mix: one press of the glove key."""

    address: str
    do: str
    """The sentence for the next act. Starts with the work, not with the piece's name."""
    act: str
    """The trade's past participle: "mixed", "poured", "clamped", "weighed"."""
    piece: str = ""
    part: str = ""
    scope: Literal["job", "piece", "part", "layer", "coat", "mix"] = "piece"
    before: tuple[str, ...] = ()
    """For an extra step: the late steps that it was put in front of."""
    after: tuple[str, ...] = ()
    """Steps that must be done (or skipped) first."""
    waits: tuple[str, ...] = ()
    """Windows that must have opened."""
    waits_full: tuple[str, ...] = ()
    """Windows that must be full."""
    within: tuple[str, ...] = ()
    """Windows that must not have closed: doing this step is what they are for."""
    hands_s: float = 60.0
    amounts: tuple[Amount, ...] = ()
    weigh: WeighPoint | None = None
    checks: tuple[Check, ...] = ()
    takes_g: float = 0.0
    takes_u_g: float = 0.0
    adds_g: float = 0.0
    adds_u_g: float = 0.0
    cautions: tuple[str, ...] = ()
    """Names; the full texts are in the plan."""
    windows: tuple[Window, ...] = ()
    mix: str = ""
    """The address of the mix step this one pours from."""
    block: str = ""
    """The building block it came from, and its step's name in the file."""
    file_step: str = ""
    rag: bool = False
    """Leaves oily rags or open materials behind: closing up asks about them."""
    irreversible: bool = False
    minimum_c: float | None = None
    """Lowest temperature of glue and wood at which this act may be done at all."""
    void: str = ""
    """Which of its part's voids, where the part has several."""
    short: str = ""
    """A title of a few words: "trim the tenon". Empty in plans of before this was kept."""
    each_of: str = ""
    """The sentence for all acts of its kind together, where it repeats per layer, coat, part or
    piece: "Shot for each of 4 layers, then resin to just over it"."""
    holds: tuple[Holding, ...] = ()
    set_up_s: float = 0.0
    """Hands-on time before it that is saved where such an act came just before."""
    clean_up_s: float = 0.0
    dusty: bool = False
    """Makes dust that spoils what is wet nearby."""
    wet_s: float = 0.0
    """How long after it what was laid on takes harm from dust; 0: it isn't wet."""
    noisy: bool = False
    """Not for quiet hours."""
    may_stop: bool = False
    """May be broken off and gone on with another day."""
    round_mm: float | None = None
    """The round that a tenon is cut from, where the file says it."""

    @property
    def where(self) -> str:
        """Its part, or which of the part's voids, in words."""
        return where_of(self.part, self.void)


class Layer(_Record, frozen=True):
    """One layer of a fill, as planned."""

    address: str
    void_ml: float
    shot_g: float
    resin_g: float
    by_weight: bool = False
    """Its shot is weighed out to this amount (an adjustment), not poured to the line."""


class Fill(_Record, frozen=True):
    """A void of one piece, and what is to go into it."""

    piece: str
    part: str
    void_ml: float
    void_u_ml: float
    packing: float
    packing_u: float
    shot: str
    shot_density_g_cm3: float
    resin_density_g_cm3: float
    layers: tuple[Layer, ...]
    cap_g: float = 0.0
    way: str = "one mix"
    gap_mm: float | None = None
    """Smallest width of the void; with its depth, what its heat takes its way out by."""
    deep_mm: float | None = None
    void: str = ""
    """Which of the part's voids, where it has several."""

    @property
    def where(self) -> str:
        """The part, or which of its voids, in words."""
        return where_of(self.part, self.void)


def scatter_of(key: str) -> str:
    """The name that a learned value's scatter goes by, beside the value itself."""
    return f"{key} ±"


class Mix(_Record, frozen=True):
    """One cup of resin or glue that serves several acts."""

    address: str
    serves: tuple[str, ...]
    total_g: float
    a_g: float = 0.0
    b_g: float = 0.0
    a_name: str = "resin"
    b_name: str = "hardener"


class PartPlan(_Record, frozen=True):
    """One part of one piece: what it is made of and what it should weigh before filling."""

    piece: str
    name: str
    wood: str = ""
    volume_ml: float = 0.0
    density_g_cm3: float = 0.0
    mass_g: float = 0.0
    mass_u_g: float = 0.0
    outline: str = ""
    """How the bench draws it: "block", "round" or "head"."""
    shape: PartShape | None = None
    """None in plans of before shapes were kept, and of a part that is only weighed."""


class PiecePlan(_Record, frozen=True):
    """One piece of the job and the weight it must land on (None: no target)."""

    name: str
    label: str = ""
    """What a person calls it: "bookend B". Empty: the job's title and the name."""
    target_g: float | None = None
    tolerance_g: float | None = None
    rest_g: float = 0.0
    rest_u_g: float = 0.0
    missed_g: float = 0.0
    """What earlier pieces weighed beyond what their acts explain, its scatter; how far they came
    out from what was planned, where that wasn't taken over."""


class Need(_Record, frozen=True):
    """A tool, clamp, drill, abrasive, tape or spacer to lay out before the first cut."""

    what: str
    count: float = 1
    size: str = ""
    kind: str = "tool"

    @property
    def used_in(self) -> str:
        """How it is counted when it is used up: "sheets", "m"; empty for what is not."""
        return {"abrasive": "sheets", "tape": "m"}.get(self.kind, "")


class MaterialValue(_Record, frozen=True):
    """One value of a material that the plan was worked out with, in words, and who said so."""

    what: str
    text: str
    source: str
    """The material's label or data sheet, or "common practice, no source"."""


class MaterialOfPlan(_Record, frozen=True):
    """The material that serves one role of the procedure, with the values taken of it."""

    role: str
    material: str = msgspec.field(name="tin")
    family: str = ""
    chosen: bool = False
    """The maker named it at the start, in place of the procedure's."""
    on_shelf: bool = True
    """False: no material, a family's common practice."""
    values: tuple[MaterialValue, ...] = ()


class Sought(_Record, frozen=True):
    """A parameter that the plan has found by itself, for one goal."""

    parameter: str
    ask: str
    """What the file calls it: "Depth of the void"."""
    goal: Literal["target", "balance"]
    value: str
    """As it stands among the parameters: "36.8 mm"."""
    number: float | None = None
    unit: str = ""
    """Of a number: "mm", "%"; empty for a count."""
    u: float | None = None
    """Standard uncertainty that the goal's doubts make in it, in its unit."""
    piece: str = ""
    """Where it was found for one piece alone."""
    reached: float = 0.0
    """What the plan comes to with it: g, or mm of the balance."""
    doubts: dict[str, float] = {}
    """What makes that doubtful, each as a standard uncertainty in the goal's unit."""
    wall_mm: float | None = None
    other: str = ""
    """Another shot, and below the number it would take, about."""
    other_number: float | None = None


class PieceBalance(_Record, frozen=True):
    """Where a piece will balance, along its length, by where its file says that its parts lie."""

    piece: str
    centre_mm: float
    """From the piece's beginning."""
    u_mm: float = 0.0
    wanted_mm: float | None = None
    tolerance_mm: float | None = None
    weight_g: float = 0.0
    inertia_g_mm2: float = 0.0
    """About its centre, swung in the plane of its length and height."""
    grip_mm: float | None = None
    inertia_grip_g_mm2: float | None = None


class Plan(_Record, frozen=True):
    """Everything a running job reads."""

    procedure: str
    title: str
    job: str
    pieces: tuple[PiecePlan, ...]
    steps: tuple[Step, ...]
    match_g: float | None = None
    parts: tuple[PartPlan, ...] = ()
    fills: tuple[Fill, ...] = ()
    mixes: tuple[Mix, ...] = ()
    needs: tuple[Need, ...] = ()
    cautions: dict[str, str] = {}
    """Name to full text."""
    parameters: dict[str, str] = {}
    versions: dict[str, str] = {}
    """What this was worked out with: the file's hash, blocks, reckoners."""
    learned: dict[str, str] = {}
    """Learned values used, in words."""
    materials: tuple[MaterialOfPlan, ...] = msgspec.field(default=(), name="tins")
    """Which material serves each role; empty in plans of before this was kept."""
    rough: tuple[str, ...] = ()
    """Values that no label gave ("common practice, no source"), in words."""
    notes: dict[str, tuple[str, ...]] = {}
    """Step's name to what its file says is to be remembered there."""
    next_time: dict[str, tuple[str, ...]] = {}
    """Per step of the file: what an earlier job said to do differently."""
    hands_pace: float = 1.0
    """How many times the file's hands-on times this maker was planned to take."""
    sought: tuple[Sought, ...] = ()
    """What was left to be found, with its doubts."""
    balances: tuple[PieceBalance, ...] = ()
    """Of pieces whose parts all say where they lie."""
    built: tuple[Built, ...] = ()
    """Bodies that several parts make together."""

    @property
    def knows_shapes(self) -> bool:
        """Whether drawings and lists can be made of it; where not, `shapes.NO_SHAPES` says so."""
        return any(part.shape is not None for part in self.parts)
