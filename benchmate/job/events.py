"""What can happen: frozen records, written once and never changed.

An event's bytes are JSON with its `kind`, its `schema` number and its moments. Stored bytes are
never rewritten: when a shape changes, its schema number rises and `upcast` learns the old one.
msgspec rather than pydantic, because every start of every command reads some of these.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from benchmate.job.moment import Moment
from benchmate.job.plan import Amount, Plan, Step, Window


class Event(
    msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, tag_field="kind", gc=False
):
    """What all events carry: when it happened and when it was written down."""

    happened: Moment
    recorded: Moment
    schema: int = 1


class JobStarted(Event, tag="job started", frozen=True):
    """A job begins, frozen to its procedure's text and its expanded plan.

    A job without a procedure has no plan: its windows come with each act.
    """

    job: str
    title: str
    plan: Plan | None = None
    text: str = ""


class Begun(Event, tag="begun", frozen=True):
    """Hands are on a step."""

    address: str


class Done(Event, tag="done", frozen=True):
    """A step's act is done. Amounts are what was really used, where the maker said so."""

    address: str
    begun: Moment | None = None
    used: tuple[Amount, ...] = ()
    left_g: float | None = None
    """What stayed in the cup."""


class FreeAct(Event, tag="free act", frozen=True):
    """An act without a plan: it brings its own windows from the tin's label."""

    address: str
    act: str
    tin: str = ""
    name: str = ""
    piece: str = ""
    windows: tuple[Window, ...] = ()
    used: tuple[Amount, ...] = ()


class RunningRead(Event, tag="running reading", frozen=True):
    """The scale's reading in the middle of a pour, and what was being added before it."""

    address: str
    reading_g: float
    text: str
    adding: str = ""


class Weighed(Event, tag="weighed", frozen=True):
    """A weighing: gross and tare as read, net in grams. For a gain the tare is the reading before.

    `split` holds the grams of shot and resin where the maker said what was added.
    """

    address: str
    net_g: float
    gross: tuple[str, ...] = ()
    tare: tuple[str, ...] = ()
    gross_g: float | None = None
    tare_g: float | None = None
    scale: str = ""
    u_g: float | None = None
    """Standard uncertainty of the net weight, by what was known of the scale then."""
    dof: float | None = None
    split: dict[str, float] = {}
    division_g: float | None = None
    piece: str = ""
    what: str = ""


class Checked(Event, tag="checked", frozen=True):
    """A check's answer: a number in the check's unit, or yes (1) and no (0)."""

    address: str
    name: str
    value: float
    text: str = ""


class Skipped(Event, tag="skipped", frozen=True):
    """A step is left out, with the reason."""

    address: str
    reason: str


class Spoiled(Event, tag="spoiled", frozen=True):
    """A piece is scrap, or is to be made again from its first step."""

    piece: str
    reason: str
    remake: bool = False


class MissedAnswered(Event, tag="missed answered", frozen=True):
    """What the maker made of a missed window.

    "spoiled" voids what the window's consequence names; "extra step" puts a step before the
    acts that were late; "in time" says the act was done before the window closed, at `happened`.
    """

    window: str
    answer: Literal["spoiled", "extra step", "in time", "let it be"]
    step: Step | None = None
    reason: str = ""


class Noted(Event, tag="noted", frozen=True):
    """The maker's own words, or a photo's path, about a step, a piece or the job."""

    text: str
    address: str = ""
    photo: str = ""


class NextTime(Event, tag="next time", frozen=True):
    """What to do differently next time, shown before this step in the next job."""

    file_step: str
    text: str


class Corrected(Event, tag="corrected", frozen=True):
    """A recorded weight was wrong: the new net weight. The old one stays in the logbook."""

    version: int
    net_g: float
    reason: str = ""
    text: str = ""


class TakenBack(Event, tag="taken back", frozen=True):
    """These events of the stream count no more. It corrects the record, not the wood."""

    versions: tuple[int, ...]


class Paused(Event, tag="paused", frozen=True):
    """Reminders fall silent; windows run on."""

    reason: str = ""


class Resumed(Event, tag="resumed", frozen=True):
    """Reminders are back."""


class Stopped(Event, tag="stopped", frozen=True):
    """The job ends before its last step."""

    reason: str


class Finished(Event, tag="finished", frozen=True):
    """The job is over; how it turned out."""

    outcome: str = ""
    photo: str = ""


class Seen(Event, tag="seen", frozen=True):
    """The maker has seen these remarks; they stay in the job card."""

    keys: tuple[str, ...]


class Ticked(Event, tag="ticked", frozen=True):
    """A need is laid out."""

    what: str
    there: bool = True


class PlanChanged(Event, tag="plan changed", frozen=True):
    """The plan from now on, with the difference in words. Old and new amounts stand in `lines`."""

    plan: Plan
    lines: tuple[str, ...]
    reason: str = ""
    text: str | None = None


class Questioned(Event, tag="questioned", frozen=True):
    """A weight looked wrong, was asked about, and the maker said that it stands."""

    address: str
    question: str
    answer: str


# Streams beside the jobs ---------------------------------------------------------------------


class AirRead(Event, tag="air read", frozen=True):
    """Temperature and humidity of a place."""

    temperature_c: float
    humidity_pct: float | None = None
    source: str = "typed"
    doubtful: str = ""


class AirSilent(Event, tag="air silent", frozen=True):
    """A file that gave readings has stopped giving them."""

    source: str
    said: str


class ClockBegan(Event, tag="clock began", frozen=True):
    """A boot of this machine is seen for the first time.

    `base_s` is what to add to the boot clock for a place on the time line and `shift_s` the
    wall's shift by then. They are stored, because what was known then can't be known again.
    """

    base_s: float
    shift_s: float = 0.0


class ClockShifted(Event, tag="clock shifted", frozen=True):
    """The wall clock was set: forward when positive."""

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


class TinDescribed(Event, tag="tin described", frozen=True):
    """A tin on the shelf with its label, as the label was read. The latest of a name holds.

    `label` is the tin's data as JSON text in the form that `benchmate.stores` defines.
    """

    name: str
    label: str


class TinGone(Event, tag="tin gone", frozen=True):
    """A tin is used up or thrown away."""

    name: str


class TinUsed(Event, tag="tin used", frozen=True):
    """So much was taken from a tin."""

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


class NextTimeKept(Event, tag="next time kept", frozen=True):
    """A wish for next time, kept by procedure: the job that made it will be closed by then."""

    procedure: str
    file_step: str
    text: str
    job: str = ""


class JobEnded(Event, tag="job ended", frozen=True):
    """A job of a procedure is over: where to look for its record (stream `learned`)."""

    procedure: str
    job: str
    status: str = "finished"


class NextTimeDropped(Event, tag="next time dropped", frozen=True):
    """A wish for next time was taken into the file or dropped."""

    procedure: str
    file_step: str
    text: str


class DayPlanned(Event, tag="day planned", frozen=True):
    """The adopted day plan: when each act is to be done (Unix seconds), and what is pinned."""

    dates: dict[str, float]
    pinned: tuple[str, ...] = ()


class Unknown(msgspec.Struct, frozen=True, kw_only=True):
    """An event that a newer benchmate wrote: it makes its stream read-only here."""

    kind: str
    schema: int


JobEvent = (
    JobStarted | Begun | Done | FreeAct | RunningRead | Weighed | Checked | Skipped | Spoiled
    | MissedAnswered | Noted | NextTime | Corrected | TakenBack | Paused | Resumed | Stopped
    | Finished | Seen | Ticked | PlanChanged | Questioned
)  # fmt: skip
ShopEvent = (
    AirRead | AirSilent | ClockBegan | ClockShifted | ScaleDescribed | ScaleChecked | VerdictRules
    | TinDescribed | TinGone | TinUsed | Learned | NextTimeKept | NextTimeDropped
    | JobEnded | DayPlanned
)  # fmt: skip
AnyEvent = JobEvent | ShopEvent


class _Head(msgspec.Struct):
    kind: str
    schema: int = 1


SCHEMA = 1
_decoder = msgspec.json.Decoder(AnyEvent)
_head = msgspec.json.Decoder(_Head)
_encoder = msgspec.json.Encoder()


def encode(event: AnyEvent) -> bytes:
    """The bytes to store."""
    return _encoder.encode(event)


def decode(data: bytes) -> AnyEvent | TakenBack | Unknown:
    """The event that these bytes hold; `Unknown` where a newer benchmate wrote them.

    Raises ValueError (msgspec.ValidationError or DecodeError) where they are no event at all.
    """
    try:
        event: AnyEvent = _decoder.decode(data)
    except msgspec.ValidationError:
        head = _head.decode(data)
        if head.schema > SCHEMA or head.kind not in KINDS:
            return Unknown(kind=head.kind, schema=head.schema)
        raise
    if event.schema > SCHEMA:
        return Unknown(kind=_head.decode(data).kind, schema=event.schema)
    return event


def kind_of(event: AnyEvent | Unknown) -> str:
    """The event's kind, as stored and as the logbook shows it."""
    if isinstance(event, Unknown):
        return event.kind
    return str(type(event).__struct_config__.tag)


KINDS = frozenset(str(t.__struct_config__.tag) for t in (*JobEvent.__args__, *ShopEvent.__args__))
