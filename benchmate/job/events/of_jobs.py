"""What can happen in a job."""

# No `from __future__ import annotations` here: msgspec would read each annotation from its text
# again at every start, which took a tenth of the time of `benchmate next`.

from typing import Literal

import msgspec

from benchmate.job.events.base import Event
from benchmate.moment import Moment
from benchmate.plan.plan import Amount, Plan, Step, Window


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


class AmountsSaid(Event, tag="amounts said", frozen=True):
    """What a done act really used, or what stayed in its cup, said after it was marked."""

    address: str
    used: tuple[Amount, ...] = ()
    left_g: float | None = None


class FreeAct(Event, tag="free act", frozen=True):
    """An act without a plan: it brings its own windows from the material's label."""

    address: str
    act: str
    material: str = msgspec.field(default="", name="tin")
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


class Tried(Event, tag="tried", frozen=True):
    """What a clock's wait is for was tested: it was ready, or not yet."""

    window: str
    edge: Literal["opens", "full"]
    ready: bool


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

    "spoiled" voids what the window's consequence names, and where that was a cup of which less is
    needed now, `step` is the mix as it is to be made again; "extra step" puts `step` before the
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


class AmountChanged(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """So much of a material at a step instead of so much."""

    address: str
    what: str
    old: float
    new: float
    unit: str = "g"
    by_hand: bool = False
    """The maker asked for it beside a plan made anew: it isn't that file's doing."""


class Difference(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One thing that a changed plan has otherwise, as facts.

    kind: "target", "tolerance", "piece added", "piece gone", "material", "step added", "step gone",
    "step" (its sentence), "order" (a step moved behind the `new` one), "move gone" (from behind the
    `old` one, where `new` is no step any more), "clock opens", "clock full", "clock closes".
    """

    kind: str
    address: str
    """A step's or window's address, a piece's name, or the role of a material."""
    old: str = ""
    new: str = ""
    old_number: float | None = None
    new_number: float | None = None
    unit: str = ""
    by_hand: bool = False
    """As of an amount."""


class PlanChanged(Event, tag="plan changed", frozen=True):
    """The plan from now on, with what differs from the one before."""

    plan: Plan
    lines: tuple[str, ...] = ()
    """Schema 1: the differences in words."""
    reason: str = ""
    text: str | None = None
    amounts: tuple[AmountChanged, ...] = ()
    """Schema 2: the differences as facts."""
    differences: tuple[Difference, ...] = ()
    """All that differs beside amounts."""


class Questioned(Event, tag="questioned", frozen=True):
    """A weight looked wrong, was asked about, and the maker said that it stands."""

    address: str
    question: str
    answer: str
