"""What the reminders are told: the edges ahead, the moment, and what a reminder is.

Small values of their own, so that this room needs to know nothing of jobs and journals.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import Literal

from whenever import ZonedDateTime

from benchmate.localtime import when_text

EdgeKind = Literal["opens", "full", "closes", "weigh", "chills", "chilled"]
"""An edge of a window, a weight that is owed, or air that is foreseen to become, or was, so cold
that what a window is about is spoiled."""


class Stage(StrEnum):
    """What a reminder says of its edge. An edge passes through its stages in this order."""

    SOON = "soon"
    OPENS = "opens"
    FULL = "full"
    WEIGH = "weigh"
    CLOSING = "closing"
    MISSED = "missed"

    @property
    def place(self) -> int:
        """Where the stage stands in the order; one that stands later makes the earlier stale."""
        return _PLACES[self]


_PLACES = {stage: place for place, stage in enumerate(Stage)}


class Gravity(IntEnum):
    """How bad it is to miss a window."""

    NOTHING = 0
    WORK = 1
    SPOILS = 2


def gravity_of(consequence: str) -> Gravity:
    """The gravity of a consequence as procedures word it ("extra work: scuff first").

    A consequence nobody knows counts as extra work: heard, but not shouted.
    """
    word = consequence.strip().lower()
    if word.startswith("spoil"):
        return Gravity.SPOILS
    return Gravity.NOTHING if word in ("", "nothing") else Gravity.WORK


@dataclass(frozen=True, slots=True)
class EdgeAhead:
    """One edge of a live window, or a weigh point, until what it waits for is done.

    An edge stays in the list after `at_s` for as long as the act it waits for is missing: that
    is how "missed" is known. Once it leaves the list its reminders end.
    """

    key: str
    """The window's address and the edge; a window begun anew needs a new key or `begun_s`."""
    job: str
    address: str
    label: str
    """What a person calls it: "lamp foot, clamps"."""
    edge: EdgeKind
    at_s: float
    """When, in seconds on the shop's time line, which no clock change bends."""
    consequence: str = "nothing"
    action: str = ""
    """What to do, as a sentence."""
    hands_s: float = 0.0
    """How long the hands are needed for that."""
    paused: bool = False
    begun_s: float | None = None
    """When the window's act was done; what was said before that was of an earlier window."""
    anew_s: float | None = None
    """When newer words on the air put the edge off after it had come: what was said of it before
    was too early, and is said anew."""
    window: str = ""
    """The window's address, which its edges share. Empty: the address stands for it."""
    step: str = ""
    """The address of the step it waits for; edges of one step are spoken of as one."""
    do: str = ""
    """What to do, in two or three words and with the thing: "take off the clamps, lamp A"."""
    until_s: float | None = None
    """Of one that opens: when the same step's time runs out, if it does."""
    words: str = ""
    """The window's own words for the edge: "clamps may come off", "the mix gels"; of the cold, the
    temperature that spoils."""

    @property
    def gravity(self) -> Gravity:
        """How bad it is to miss this edge's window."""
        return gravity_of(self.consequence)

    @property
    def since_s(self) -> float | None:
        """What was said before this matters no more; None: everything does."""
        known = [at_s for at_s in (self.begun_s, self.anew_s) if at_s is not None]
        return max(known, default=None)

    @property
    def spoils(self) -> bool:
        """Whether something is lost at this edge itself, so that nothing may hold it back.

        An edge that opens can wait for the morning: if the window then closes, the edge that
        closes shouts for it.
        """
        return self.edge in ("closes", "weigh", "chills") and self.gravity is Gravity.SPOILS

    @property
    def window_key(self) -> str:
        """What the edges of one window have in common."""
        return self.window or self.address

    @property
    def kin(self) -> tuple[str, ...]:
        """What edges have in common that are spoken of as one: the window, the step."""
        return tuple(name for name in (self.window_key, self.step) if name)


@dataclass(frozen=True, slots=True)
class Now:
    """The moment on the shop's time line and on the wall, and whether the maker is at a machine."""

    now_s: float
    wall: ZonedDateTime
    at_machine: bool = False
    touched_s: float | None = None
    """When somebody last touched the bench (a key, an act, a weight, an answer), as far as known.
    None: not known, which counts as being there."""

    def wall_at(self, at_s: float) -> ZonedDateTime:
        """What the wall clock shows at a place on the time line, as the clock is set now."""
        return self.wall.add(seconds=at_s - self.now_s)

    def clock(self, at_s: float) -> str:
        """The same as people read it: "20:33", "Sat 8:10"."""
        return when_text(self.wall_at(at_s).round("second"), self.wall)


@dataclass(frozen=True, slots=True)
class Reminder:
    """One thing to be said now, and how."""

    key: str
    stage: Stage
    round: int
    """0 the first time, 1 the first repeat."""
    text: str
    speech_text: str
    channels: tuple[str, ...]
    """Kinds of channels: "terminal", "sound", "speech", "desktop", "message", "command"."""
    insistence: str
    """"once", "again" or "until heard"."""
    again: bool
    """It may have been said already, just before the program was killed."""
    edge: EdgeAhead
    due_s: float
    """When its stage began."""
    title: str
    """What to do: the head of a message, of a notification, of a terminal's window."""
    also: tuple[Reminder, ...] = ()
    """Those of other pieces that the same words are said for, in one call."""

    @property
    def urgent(self) -> bool:
        """Whether something is being lost."""
        return self.edge.spoils and self.stage in (Stage.CLOSING, Stage.MISSED, Stage.WEIGH)
