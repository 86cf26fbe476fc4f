"""What a piece goes through, as the heading sees it: a blank, then stages that change its weight.

Plain numbers in g, ml and shares. Nothing here knows of jobs, clocks or files; whoever does
turns its plan and records into these.
"""

import math
from dataclasses import dataclass, field, replace
from typing import Literal


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight and its standard uncertainty, both in g."""

    g: float
    u_g: float

    def __post_init__(self) -> None:
        if not math.isfinite(self.g):
            raise ValueError(f"A weight is {self.g}; it must be a number.")
        if not 0.0 <= self.u_g < math.inf:
            raise ValueError(f"A weight's uncertainty is {self.u_g:g} g; it can't be negative.")


@dataclass(frozen=True, slots=True)
class Packing:
    """What is known beforehand of how densely shot lies, as shares of the volume.

    `shot_u`: how well the mean packing of this shot in such a void is known; the same for every
    piece of the job, so that one piece teaches the next. `fill_u`: from one fill to another.
    `layer_u`: from layer to layer of one fill. `tapped_gain`: how much denser it lies when tapped
    down than poured; random packing goes from about 0.61 poured to 0.63 or 0.64 shaken.
    """

    value: float
    shot_u: float
    fill_u: float
    layer_u: float
    tapped_gain: float = 0.025

    @classmethod
    def split(cls, value: float, u: float, tapped_gain: float = 0.025) -> "Packing":
        """A reckoned packing whose `u` is for one fill as a whole, shared out.

        Half of the variance is doubt about this shot, half the luck of each fill; layers scatter
        by half of `u` besides. A guess without a source, which the first layers correct.
        """
        return cls(value, u / math.sqrt(2.0), u / math.sqrt(2.0), u / 2.0, tapped_gain)

    def __post_init__(self) -> None:
        if not 0.0 < self.value < 1.0:
            raise ValueError(f"The packing is {self.value:g}; it must be a share between 0 and 1.")


@dataclass(frozen=True, slots=True)
class FillCourse:
    """A void being filled with one shot and one resin, and what is known of such fills.

    All the u are standard uncertainties. `void_u` is a share of the volume, the same for every
    layer (the void was measured once). `line_u` is how closely the line of a layer is hit, as a
    share of that layer; a layer filled too high leaves less room for the next. `brim_u` is the same
    for the last layer, which ends at the void's mouth and not at a mark. `resin_u` is a
    share of the resin: what soaks in or stays away as air, the same for all layers of the fill.
    `pour_u_g` is the scatter of shot weighed out. Defaults: common practice, no source; 0.03 of a
    layer of 11 mm is a third of a millimetre; 0.03 of the resin is a bound of five per cent.
    """

    packing: Packing
    shot_g_cm3: float
    resin_g_cm3: float
    void_u: float = 0.015 / math.sqrt(3.0)
    line_u: float = 0.03
    brim_u: float = 0.01
    resin_u: float = 0.03
    pour_u_g: float = 0.5
    name: str = "fill"
    shot: str = "shot"

    def __post_init__(self) -> None:
        if not 0.0 < self.resin_g_cm3 < self.shot_g_cm3 < math.inf:
            raise ValueError(
                f"Shot of {self.shot_g_cm3:g} g/cm³ in resin of {self.resin_g_cm3:g} g/cm³: "
                "both must be above zero and the shot the denser."
            )


@dataclass(frozen=True, slots=True)
class LayerCourse:
    """One layer of a fill: planned amounts, how it is poured, and what was recorded of it.

    `by` = "line": shot until it reaches the line, then resin to the line, so that packing and void
    decide the weight. `by` = "weight": `shot_g` is weighed out, then resin to the line. `whole` is
    the piece standing on the scale afterwards, `gain` what this layer was seen to add on its own;
    give the one that was really weighed. `shot_in` and `resin_in` where they were weighed apart.
    `at_brim`: it ends at the void's mouth. `address`: of the step that pours it.
    """

    name: str
    fill: FillCourse
    void_ml: float
    shot_g: float
    resin_g: float
    by: Literal["line", "weight"] = "line"
    at_brim: bool = False
    poured: bool = False
    whole: Weight | None = None
    gain: Weight | None = None
    shot_in: Weight | None = None
    resin_in: Weight | None = None
    address: str = ""

    @property
    def done(self) -> bool:
        """Whether it is in the piece: a record says so as well as the mark."""
        weighed = self.whole is not None or self.gain is not None
        return self.poured or weighed or self.shot_in is not None or self.resin_in is not None

    @property
    def line_u_ml(self) -> float:
        """How closely its upper end is hit."""
        return self.void_ml * (self.fill.brim_u if self.at_brim else self.fill.line_u)

    @property
    def planned_g(self) -> float:
        """What the plan lets it add."""
        return self.shot_g + self.resin_g


@dataclass(frozen=True, slots=True)
class CourseChange:
    """A stage that adds weight (a cover, leather, wax) or takes it (sanding: `adds_g` below zero).

    `u_g` is the standard uncertainty of that weight; a bound "± 3 g" is 3/√3. `adjustable`: more
    or less of it can still set the weight right. `shared` names a cause that moves all pieces
    alike (the same wax, the same sheet of leather); empty when each piece has its own luck.
    """

    name: str
    adds_g: float
    u_g: float
    is_done: bool = False
    adjustable: bool = False
    shared: str = ""
    whole: Weight | None = None

    @property
    def done(self) -> bool:
        """Whether it is behind us: a record says so as well as the mark."""
        return self.is_done or self.whole is not None

    @property
    def planned_g(self) -> float:
        """What the plan lets it add; below zero for what it takes."""
        return self.adds_g


Stage = LayerCourse | CourseChange


@dataclass(frozen=True, slots=True)
class PieceCourse:
    """One piece from its blank to its finished weight.

    `blank` is weighed or planned with its doubt. `moisture_u_pct`: how far the wood's moisture may
    still move before the last weighing, in percent of the wood's weight (standard uncertainty),
    alike in all pieces of the shop; `moisture_own_u_pct`: each piece on its own. `wood_g` is the
    wood that it acts on, the blank when None. `scale_u_g`: the error all weighings of this scale
    share (its linearity), counted once. `target_g` None: no target. `blank_plan_g` only matters to
    the plot: what the plan took the blank for, when that differs. `piece` is what it is called and
    `address` what it is: two jobs may call their pieces alike.
    """

    piece: str
    blank: Weight
    stages: tuple[Stage, ...]
    target_g: float | None = None
    tolerance_g: float | None = None
    wood_g: float | None = None
    moisture_u_pct: float = 0.0
    moisture_own_u_pct: float = 0.0
    scale_u_g: float = 0.0
    scale: str = "scale"
    blank_plan_g: float | None = None
    address: str = ""

    @property
    def key(self) -> str:
        """What its own causes are told by: its address, or its name where it has none."""
        return self.address or self.piece

    @property
    def still_to_pour(self) -> tuple[int, ...]:
        """Places, in `stages`, of the layers that are still to come."""
        return tuple(
            i for i, s in enumerate(self.stages) if isinstance(s, LayerCourse) and not s.done
        )

    @property
    def finished(self) -> bool:
        """Whether every stage is done and the piece was weighed after the last."""
        return all(s.done for s in self.stages) and bool(
            self.stages and self.stages[-1].whole is not None
        )

    def with_layers(self, new: dict[int, LayerCourse]) -> "PieceCourse":
        """The same course with some layers replaced, by their places in `stages`."""
        stages = tuple(new.get(i, stage) for i, stage in enumerate(self.stages))
        return replace(self, stages=stages)


@dataclass(frozen=True, slots=True)
class Linear:
    """A weight as a sum: a constant, shares of what is known together, shares of fresh scatter.

    `known` counts what the records have taught, by the places in `pour`; `fresh` counts scatter
    of variance one, each under a key of its own. Two sums that name one key move together.
    """

    constant: float = 0.0
    known: dict[int, float] = field(default_factory=dict)
    fresh: dict[str, float] = field(default_factory=dict)
