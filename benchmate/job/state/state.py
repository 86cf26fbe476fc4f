"""A job as its events leave it: a frozen value, with nothing in it that depends on now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import msgspec

from benchmate.job.events import stored as ev
from benchmate.moment import Moment
from benchmate.plan.plan import Plan, Step, Window

Status = Literal["open", "paused", "stopped", "finished"]


class Recorded(msgspec.Struct, frozen=True):
    """An event and its number in its stream."""

    version: int
    event: ev.AnyEvent | ev.Unknown


class DoneRecord(msgspec.Struct, frozen=True):
    """When an act was done, and by which event."""

    done: Moment
    version: int
    begun: Moment | None = None
    left_g: float | None = None
    used: Mapping[str, float] = msgspec.field(default_factory=dict)


class Weighing(msgspec.Struct, frozen=True):
    """A recorded weight as it counts now. `as_read_g` is the first value where it was corrected."""

    address: str
    net_g: float
    version: int
    happened: Moment
    as_read_g: float
    u_g: float | None = None
    scale: str = ""
    division_g: float | None = None
    split: Mapping[str, float] = msgspec.field(default_factory=dict)
    gross_g: float | None = None
    tare_g: float | None = None
    piece: str = ""
    what: str = ""
    text: str = ""
    dof: float | None = None


class Running(msgspec.Struct, frozen=True):
    """A reading in the middle of a pour."""

    reading_g: float
    text: str
    adding: str
    version: int


class CheckRecord(msgspec.Struct, frozen=True):
    """A check's answer."""

    value: float
    version: int
    text: str = ""


class FreeRecord(msgspec.Struct, frozen=True):
    """An act without a plan, with the windows it started."""

    event: ev.FreeAct
    version: int


class NoteRecord(msgspec.Struct, frozen=True):
    """A note, a photo's path."""

    event: ev.Noted
    version: int


@dataclass(frozen=True)
class JobState:
    """One job. Addresses are the keys; remaining times and verdicts are worked out elsewhere."""

    job: str
    title: str
    started: Moment
    status: Status = "open"
    plan: Plan | None = None
    text: str = ""
    version: int = 0
    steps: Mapping[str, Step] = field(default_factory=dict)
    """The plan's steps and the extra ones, in the order in which they are to be done."""
    windows: Mapping[str, Window] = field(default_factory=dict)
    users: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Per window: the steps it is for."""
    begun: Mapping[str, Moment] = field(default_factory=dict)
    done: Mapping[str, DoneRecord] = field(default_factory=dict)
    skipped: Mapping[str, str] = field(default_factory=dict)
    weighings: Mapping[int, Weighing] = field(default_factory=dict)
    running: Mapping[str, tuple[Running, ...]] = field(default_factory=dict)
    checks: Mapping[tuple[str, str], CheckRecord] = field(default_factory=dict)
    spoiled: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    free: tuple[FreeRecord, ...] = ()
    notes: tuple[NoteRecord, ...] = ()
    wishes: tuple[ev.NextTime, ...] = ()
    seen: frozenset[str] = frozenset()
    ticked: frozenset[str] = frozenset()
    changes: tuple[ev.PlanChanged, ...] = ()
    outcome: str = ""
    photo: str = ""
    ended: Moment | None = None
    read_only: str = ""
    """Why this job can't be written to: an event of a newer benchmate."""
    records: tuple[Recorded, ...] = ()
    """All events, taken back ones too: the logbook reads these."""
    void: frozenset[int] = frozenset()
    """Versions that were taken back."""

    @property
    def is_live(self) -> bool:
        """Neither stopped nor finished."""
        return self.status in ("open", "paused")

    def is_settled(self, address: str) -> bool:
        """Nothing more is to be done at this address."""
        step = self.steps.get(address)
        gone = step is not None and step.piece in self.spoiled
        return address in self.done or address in self.skipped or gone

    def weighing_at(self, address: str) -> Weighing | None:
        """The latest weight recorded at an address."""
        found = [w for w in self.weighings.values() if w.address == address]
        return found[-1] if found else None
