"""What can happen beside the jobs: air, clock, scales, materials, what was learned, dates."""

from typing import Literal

import msgspec

from benchmate.job.events.base import Event
from benchmate.moment import Moment


class Beside(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """The reading that another one is compared with, so many seconds before it (after: minus)."""

    temperature_c: float
    before_s: float


class AirRead(Event, tag="air read", frozen=True):
    """Temperature and humidity of a place. Schema 2: with what speaks against it, as facts."""

    temperature_c: float
    humidity_pct: float | None = None
    source: str = "typed"
    doubtful: str = ""
    """Schema 1: what it was asked about, in the sentence that was said then."""
    corrects: int | None = None
    """The event whose reading this one stands for; that one is taken back in the same breath."""
    stands: bool = False
    """It looks like a slip, and the maker said that it stands."""
    beside: Beside | None = None
    """The reading that it is too far from; None: it is rare air by itself."""

    @property
    def is_doubtful(self) -> bool:
        """Whether it alone decides nothing."""
        return self.stands or bool(self.doubtful)


class EdgeSetBack(Event, tag="edge set back", frozen=True):
    """An edge had been reached, and by newer words on the air it is still to come.

    Edges are derived; that one was said to have come is not, so that it is kept here.
    """

    window: str
    edge: str
    at: Moment
    """When it had come, by what was known then."""
    said: str = ""
    """Schema 1: the sentence that was said of it."""
    until: Moment | None = None
    """When it comes by the newer words (schema 2)."""
    sure: Literal["label", "about", "latest"] = "label"
    """Whether that is the label's own time, the middle of a range, or its end."""


class AirSilent(Event, tag="air silent", frozen=True):
    """A file has stopped giving readings, gave one that can't be, or is back."""

    source: str
    said: str = ""
    """Schema 1: the sentence that was said of it. From schema 2 on, what happened:"""
    what: Literal["", "silent", "left out", "again", "believed"] = ""
    why: str = ""
    """What the file gave instead of a reading, in a few words."""
    quiet_s: float | None = None
    """For how long nothing had come."""
    temperature_c: float | None = None
    humidity_pct: float | None = None
    """The reading that was left out, or that it speaks again with."""
    beside: Beside | None = None
    """The last one before that was believed."""


class ClockBegan(Event, tag="clock began", frozen=True):
    """A boot of this machine is seen for the first time.

    `base_s` is what to add to the boot clock for a place on the time line and `shift_s` the
    wall's shift by then. They are stored, because what was known then can't be known again.
    """

    base_s: float
    shift_s: float = 0.0


class ClockShifted(Event, tag="clock shifted", frozen=True):
    """This computer's time was set: forward when positive."""

    shift_s: float


class ScaleDescribed(Event, tag="scale described", frozen=True):
    """A scale's data; the latest holds."""

    name: str
    division_g: float
    repeatability_g: float | None = None
    repeatability_n: int | None = None
    linearity_g: float | None = None
    capacity_g: float | None = None


class ScaleChecked(Event, tag="scale checked", frozen=True):
    """A known weight was put on."""

    name: str
    nominal_g: float
    reading_g: float


class VerdictRules(Event, tag="verdict rules", frozen=True):
    """From which probabilities on a verdict is given (stream `scales`)."""

    near_fraction: float = 2 / 3
    inside_p: float = 0.95
    outside_p: float = 0.05


class MaterialDescribed(Event, tag="tin described", frozen=True):
    """A material on the shelf with its label, as the label was read. The latest of a name holds.

    `label` is the material's data as JSON text in the form that `benchmate.shelf` defines.
    """

    name: str
    label: str


class MaterialGone(Event, tag="tin gone", frozen=True):
    """A material is used up or thrown away."""

    name: str


class MaterialUsed(Event, tag="tin used", frozen=True):
    """So much was taken from a material."""

    name: str
    amount: float
    unit: str = "g"


class Learned(Event, tag="learned", frozen=True):
    """A plan value the maker took over from earlier jobs (None: back to the file's)."""

    procedure: str
    key: str
    value: float | None
    old: float | None = None
    n: int = 0
    scatter: float | None = None
    """How far one more such act may be off the value, as a standard deviation, where that was
    learned too."""


class WaitSeen(Event, tag="wait seen", frozen=True):
    """What a material's wait really took once (stream `learned`); of a window the latest holds.

    Times are seconds at the label's air, by what was known of the shop's when it was recorded.
    """

    material: str
    clock: str
    edge: Literal["opens", "full"]
    window: str
    label_s: float
    not_by_s: float = 0.0
    """It was tested then, and not ready; 0: never tested too early."""
    by_s: float | None = None
    """It was ready by then; None: not seen yet."""
    counts: bool = True
    """False: what was seen has been taken back."""


class NextTimeKept(Event, tag="next time kept", frozen=True):
    """A wish for next time, kept by procedure: the job that made it will be closed by then."""

    procedure: str
    file_step: str
    text: str
    job: str = ""


class JobEnded(Event, tag="job ended", frozen=True):
    """A job of a procedure is over: where to look for its record (stream `learned`).

    Status "open": its end was taken back.
    """

    procedure: str
    job: str
    status: str = "finished"


class NextTimeDropped(Event, tag="next time dropped", frozen=True):
    """A wish for next time is kept no longer: it was dropped, or taken into the file.

    `into` is the file's path, where it was taken into one.
    """

    procedure: str
    file_step: str
    text: str
    into: str = ""


class OtherHours(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Hours that are other than the week's (Unix seconds): nobody is there, or a visit more."""

    begins: float
    ends: float
    opens: bool = False
    why: str = ""


class Delivery(msgspec.Struct, frozen=True, kw_only=True):
    """What these steps wait for comes then (Unix seconds)."""

    comes: float
    steps: tuple[str, ...]


class Promise(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """When a job is to be done (Unix seconds); `to` whom it was promised, empty: only wished."""

    by: float
    to: str = ""


class DayPlanned(Event, tag="day planned", frozen=True):
    """The day sheet as it stands: the adopted dates (Unix seconds), and what was said about days.

    Each one holds everything, so that the last one is what counts.
    """

    dates: dict[str, float]
    """By step: when it begins."""
    pinned: tuple[str, ...] = ()
    """Before pins had times: the steps that were not to be moved."""
    ends: dict[str, float] = {}
    done_by: dict[str, float] = {}
    """By job: when its last step is done by these dates."""
    pins: dict[str, float] = {}
    """By step: when the maker wants it."""
    hours: tuple[OtherHours, ...] = ()
    awaited: dict[str, Delivery] = {}
    """By what is awaited."""
    promises: dict[str, Promise] = {}
    """By job."""
    changed: Literal["", "dates", "pin", "hours", "delivery", "promise"] = ""
    """What this one has changed."""
