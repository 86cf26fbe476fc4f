"""What a maker, a file or a bench can want of what stands beside the jobs: air, scales, shelf,
lessons. `decide_in_shop` answers them.

Where a command carries what its giver had before their eyes (`before`), it is refused when that
is no longer what is there: the one who was first is not overwritten unseen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchmate.air.followed.notices import Notice
from benchmate.job.events import stored as ev
from benchmate.moment import Moment
from benchmate.shelf import Material

TYPED = "typed"
"""The source of a reading that somebody typed: it is asked about where it looks like a slip."""


@dataclass(frozen=True, kw_only=True)
class ReadAir:
    """A reading of a place's air, typed now or said of an earlier moment (`at`)."""

    place: str
    temperature_c: float
    humidity_pct: float | None = None
    at: Moment | None = None
    source: str = TYPED
    stands: bool = False
    """Though it looks like a slip."""


@dataclass(frozen=True, kw_only=True)
class CorrectAir:
    """Another reading in the place of the one with this number, for the moment that one has."""

    place: str
    version: int
    at: Moment
    temperature_c: float
    humidity_pct: float | None = None
    stands: bool = False


@dataclass(frozen=True, kw_only=True)
class TakeBackAir:
    """The reading of this number counts no more."""

    place: str
    version: int


@dataclass(frozen=True)
class Logged:
    """One reading of a file."""

    at: Moment
    temperature_c: float
    humidity_pct: float | None = None


@dataclass(frozen=True, kw_only=True)
class LogAir:
    """What a thermometer's file gave: readings, and why there are none."""

    place: str
    source: str
    readings: tuple[Logged, ...] = ()
    notice: Notice | None = None


@dataclass(frozen=True, kw_only=True)
class DescribeScale:
    """What a scale can do, in place of what is known of it."""

    name: str
    division_g: float
    repeatability_g: float | None = None
    repeatability_n: int | None = None
    linearity_g: float | None = None
    capacity_g: float | None = None
    before: ev.ScaleDescribed | None = None


@dataclass(frozen=True, kw_only=True)
class CheckScale:
    """A known weight was put on; its mean reading."""

    name: str
    nominal_g: float
    reading_g: float


@dataclass(frozen=True, kw_only=True)
class BeginScales:
    """What the settings say of scale and verdicts, for a journal that says nothing of them yet."""

    name: str = ""
    division_g: float | None = None
    near_fraction: float | None = None


@dataclass(frozen=True, kw_only=True)
class SetRules:
    """From which probabilities on a verdict is given; what is None stays."""

    inside_p: float | None = None
    outside_p: float | None = None
    near_fraction: float | None = None


@dataclass(frozen=True, kw_only=True)
class DescribeMaterial:
    """A material for the shelf, or its label anew."""

    material: Material
    before: str | None = None
    """The label of that name as it stood there (JSON text)."""


@dataclass(frozen=True, kw_only=True)
class EmptyMaterial:
    """A material is used up or thrown away."""

    name: str


@dataclass(frozen=True, kw_only=True)
class LearnedValue:
    """A plan value: what it is to be, what it was, from how many jobs."""

    key: str
    value: float | None
    old: float | None = None
    n: int = 0
    scatter: float | None = None


@dataclass(frozen=True, kw_only=True)
class Learn:
    """Plan values that every later job of a procedure is planned with; None: the file's again."""

    procedure: str
    values: tuple[LearnedValue, ...]


@dataclass(frozen=True, kw_only=True)
class DropWish:
    """A wish for next time is kept no longer. `into`: the file that has it now."""

    wish: ev.NextTimeKept
    into: str = ""


@dataclass(frozen=True, kw_only=True)
class AdoptDays:
    """These dates (Unix seconds, by step) are the day sheet from now on."""

    dates: Mapping[str, float]
    ends: Mapping[str, float]
    done_by: Mapping[str, float]


@dataclass(frozen=True, kw_only=True)
class PinStep:
    """A step is wanted at a time; None: whenever it fits again."""

    step: str
    at: float | None


@dataclass(frozen=True, kw_only=True)
class ChangeHours:
    """Hours other than the week's; `undo`: those that were said are the week's again."""

    hours: ev.OtherHours
    undo: bool = False


@dataclass(frozen=True, kw_only=True)
class AwaitDelivery:
    """Steps wait for something that comes then; None: it is there."""

    what: str
    steps: tuple[str, ...] = ()
    comes: float | None = None


@dataclass(frozen=True, kw_only=True)
class PromiseFinish:
    """A job is to be done by then; None: whenever."""

    job: str
    by: float | None
    to: str = ""


DatesCommand = AdoptDays | PinStep | ChangeHours | AwaitDelivery | PromiseFinish
ShopCommand = (
    ReadAir
    | CorrectAir
    | TakeBackAir
    | LogAir
    | DescribeScale
    | CheckScale
    | BeginScales
    | SetRules
    | DescribeMaterial
    | EmptyMaterial
    | Learn
    | DropWish
    | DatesCommand
)
