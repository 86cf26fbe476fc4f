"""What a maker can want of a job. Screens and commands make these; `decide` answers them."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchmate.job.events.stored import AmountChanged, Difference
from benchmate.moment import Moment
from benchmate.plan.plan import Amount, Plan, Window


@dataclass(frozen=True, kw_only=True)
class Command:
    """`at` is when it really happened, where that is not now ("ten minutes ago")."""

    at: Moment | None = None


@dataclass(frozen=True, kw_only=True)
class StartJob(Command):
    """Start a job, frozen to this plan (None: work without a plan)."""

    job: str
    title: str
    plan: Plan | None = None
    text: str = ""


@dataclass(frozen=True, kw_only=True)
class Begin(Command):
    """Hands on."""

    address: str


@dataclass(frozen=True, kw_only=True)
class MarkDone(Command):
    """The act is done."""

    address: str
    used: tuple[Amount, ...] = ()
    left_g: float | None = None
    begun: Moment | None = None
    """When hands were laid on it, where that is said only now."""
    anyway: bool = False
    """Though a window it waits for is still shut (recorded as early), or the air is too cold."""


@dataclass(frozen=True, kw_only=True)
class SayAmounts(Command):
    """What a done act used, or what stayed in its cup, said afterwards."""

    address: str
    used: tuple[Amount, ...] = ()
    left_g: float | None = None


@dataclass(frozen=True, kw_only=True)
class DoFreely(Command):
    """An act without a plan."""

    act: str
    material: str = ""
    name: str = ""
    piece: str = ""
    windows: tuple[Window, ...] = ()
    """Addresses in these are filled in by `decide`."""
    used: tuple[Amount, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ReadScale(Command):
    """A running reading in the middle of a pour."""

    address: str
    reading_g: float
    text: str
    adding: str = ""


@dataclass(frozen=True, kw_only=True)
class Weigh(Command):
    """A weighing. `address` may be empty in a job without a plan."""

    net_g: float
    address: str = ""
    gross: tuple[str, ...] = ()
    tare: tuple[str, ...] = ()
    gross_g: float | None = None
    tare_g: float | None = None
    scale: str = ""
    u_g: float | None = None
    dof: float | None = None
    split: dict[str, float] = field(default_factory=dict)
    division_g: float | None = None
    piece: str = ""
    what: str = ""
    stands: str = ""
    """What the weight was asked about, where the maker said that it stands all the same."""
    again: bool = False
    """It is a second weighing of the same point, and meant: the latest counts."""


@dataclass(frozen=True, kw_only=True)
class AnswerCheck(Command):
    """A check's answer: a number, or yes (1) and no (0)."""

    address: str
    name: str
    value: float
    text: str = ""


@dataclass(frozen=True, kw_only=True)
class Try(Command):
    """What a clock is for was tested: ready, or not yet. `window` is a name that fits it."""

    window: str
    ready: bool


@dataclass(frozen=True, kw_only=True)
class Skip(Command):
    """Leave a step out."""

    address: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Spoil(Command):
    """A piece is scrap, or is made again."""

    piece: str
    reason: str
    remake: bool = False


@dataclass(frozen=True, kw_only=True)
class AnswerMissed(Command):
    """What to make of a missed window; "in time" needs `at`."""

    window: str
    answer: str
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Note(Command):
    """A note or a photo's path."""

    text: str
    address: str = ""
    photo: str = ""


@dataclass(frozen=True, kw_only=True)
class WishNextTime(Command):
    """What to do differently next time."""

    file_step: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Correct(Command):
    """A recorded weight was wrong. `version` is the weighing's number in the job's stream."""

    version: int
    net_g: float
    reason: str = ""
    text: str = ""


@dataclass(frozen=True, kw_only=True)
class TakeBack(Command):
    """Take back this event (None: the newest act). `along` agrees to take what rests on it."""

    version: int | None = None
    along: bool = False


@dataclass(frozen=True, kw_only=True)
class Pause(Command):
    """Silence the job's reminders."""

    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Resume(Command):
    """Bring them back."""


@dataclass(frozen=True, kw_only=True)
class Stop(Command):
    """End the job early."""

    reason: str


@dataclass(frozen=True, kw_only=True)
class Finish(Command):
    """End the job with how it turned out."""

    outcome: str = ""
    photo: str = ""


@dataclass(frozen=True, kw_only=True)
class See(Command):
    """These remarks have been seen."""

    keys: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Tick(Command):
    """A need is laid out (or is not)."""

    what: str
    there: bool = True


@dataclass(frozen=True, kw_only=True)
class ChangePlan(Command):
    """Go on by another plan."""

    plan: Plan
    amounts: tuple[AmountChanged, ...]
    """What differs."""
    reason: str = ""
    text: str | None = None
    differences: tuple[Difference, ...] = ()
