"""What can happen: frozen records, written once and never changed.

An event's bytes are JSON with its `kind`, its `schema` number and its moments. Stored bytes are
never rewritten: when a shape changes, its schema number rises and `decode` learns the old one.
msgspec rather than pydantic, because every start of every command reads some of these.
"""

from __future__ import annotations

import msgspec

from benchmate.job.events.base import Event
from benchmate.job.events.of_jobs import (
    AmountChanged,
    AmountsSaid,
    Begun,
    Checked,
    Corrected,
    Difference,
    Done,
    Finished,
    FreeAct,
    JobStarted,
    MissedAnswered,
    NextTime,
    Noted,
    Paused,
    PlanChanged,
    Questioned,
    Resumed,
    RunningRead,
    Seen,
    Skipped,
    Spoiled,
    Stopped,
    TakenBack,
    Ticked,
    Tried,
    Weighed,
)
from benchmate.job.events.of_shop import (
    AirRead,
    AirSilent,
    Beside,
    ClockBegan,
    ClockShifted,
    DayPlanned,
    Delivery,
    EdgeSetBack,
    JobEnded,
    Learned,
    MaterialDescribed,
    MaterialGone,
    MaterialUsed,
    NextTimeDropped,
    NextTimeKept,
    OtherHours,
    Promise,
    ScaleChecked,
    ScaleDescribed,
    VerdictRules,
    WaitSeen,
)

__all__ = [
    "KINDS",
    "LOST",
    "SCHEMAS",
    "AirRead",
    "AirSilent",
    "AmountChanged",
    "AmountsSaid",
    "AnyEvent",
    "Begun",
    "Beside",
    "Checked",
    "ClockBegan",
    "ClockShifted",
    "Corrected",
    "DayPlanned",
    "Delivery",
    "Difference",
    "Done",
    "EdgeSetBack",
    "Event",
    "Finished",
    "FreeAct",
    "JobEnded",
    "JobEvent",
    "JobStarted",
    "Learned",
    "MaterialDescribed",
    "MaterialGone",
    "MaterialUsed",
    "MissedAnswered",
    "NextTime",
    "NextTimeDropped",
    "NextTimeKept",
    "Noted",
    "OtherHours",
    "Paused",
    "PlanChanged",
    "Promise",
    "Questioned",
    "Resumed",
    "RunningRead",
    "ScaleChecked",
    "ScaleDescribed",
    "Seen",
    "ShopEvent",
    "Skipped",
    "Spoiled",
    "Stopped",
    "TakenBack",
    "Ticked",
    "Tried",
    "Unknown",
    "VerdictRules",
    "WaitSeen",
    "Weighed",
    "decode",
    "encode",
    "kind_of",
]


class Unknown(msgspec.Struct, frozen=True, kw_only=True):
    """An event that a newer benchmate wrote: it makes its stream read-only here.

    Schema 0 and no kind where the bytes are no event at all.
    """

    kind: str
    schema: int


JobEvent = (
    JobStarted
    | Begun
    | Done
    | FreeAct
    | RunningRead
    | Weighed
    | Checked
    | Skipped
    | Spoiled
    | AmountsSaid
    | MissedAnswered
    | Noted
    | NextTime
    | Corrected
    | TakenBack
    | Paused
    | Resumed
    | Stopped
    | Finished
    | Seen
    | Ticked
    | PlanChanged
    | Questioned
    | Tried
)
ShopEvent = (
    AirRead
    | AirSilent
    | ClockBegan
    | ClockShifted
    | ScaleDescribed
    | ScaleChecked
    | VerdictRules
    | MaterialDescribed
    | MaterialGone
    | MaterialUsed
    | Learned
    | NextTimeKept
    | NextTimeDropped
    | JobEnded
    | DayPlanned
    | EdgeSetBack
    | WaitSeen
)
AnyEvent = JobEvent | ShopEvent


class _Head(msgspec.Struct):
    kind: str
    schema: int = 1


SCHEMAS: dict[type, int] = {AirRead: 2, AirSilent: 2, EdgeSetBack: 2, PlanChanged: 2}
"""The newest schema of each kind that this benchmate knows; of any other it is 1.

An event carries the lowest number that can say what it says: what an older benchmate can read,
it may read.
"""
_decoder = msgspec.json.Decoder(AnyEvent)
_head = msgspec.json.Decoder(_Head)
_encoder = msgspec.json.Encoder()
_UNREADABLE = (ValueError, RecursionError)


def encode(event: AnyEvent) -> bytes:
    """The bytes to store."""
    return _encoder.encode(event)


def decode(data: bytes) -> AnyEvent | TakenBack | Unknown:
    """The event that these bytes hold; `Unknown` where this benchmate can't read them.

    Nothing is raised: one event of one job must not keep the bench from opening. That the bytes
    are as they were written is the journal's to say, before they come here.
    """
    try:
        event: AnyEvent = _decoder.decode(data)
    except _UNREADABLE:
        return _unknown(data)
    return event if event.schema <= SCHEMAS.get(type(event), 1) else _unknown(data)


def _unknown(data: bytes) -> Unknown:
    try:
        head = _head.decode(data)
    except _UNREADABLE:
        return Unknown(kind="", schema=0)
    return Unknown(kind=head.kind, schema=head.schema)


def kind_of(event: AnyEvent | Unknown) -> str:
    """The event's kind, as stored and as the logbook shows it."""
    if isinstance(event, Unknown):
        return event.kind
    return str(type(event).__struct_config__.tag)


LOST = "lost"
"""Not a kind of event: what a rescue put in the place of one that damage has destroyed."""
KINDS = frozenset(str(t.__struct_config__.tag) for t in (*JobEvent.__args__, *ShopEvent.__args__))
