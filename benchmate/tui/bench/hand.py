"""What the screens of the bench share while they are open: nothing in it outlives them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from benchmate.job.windows.agenda import Act
from benchmate.remind.rules.edges import Reminder
from benchmate.tui.keys.gate import stamp_s

APART_S = 1.5
"""Two presses of the glove key that count are at least so far apart."""
HELD_S = 1.05
"""Presses nearer than this to the one before may be a key that is held: none of them counts. The
longest that keyboards wait before they repeat is 1 s."""
REPEATS_S = 0.2
"""Presses nearer than this are a key that is held, for sure: nothing is said of each."""
STEADY_S = 0.4
"""So long a step must have stood there before a press is taken to mean it: a finger on its way
down can't be called back."""
SAID_S = 60.0
"""So long the last sentence stands; an alarm stands until the next."""


class Press(Enum):
    """What a press of the glove key comes to."""

    COUNTS = "counts"
    TOO_SOON = "too soon"
    HELD = "held"


class Presses:
    """Tells presses that mean something from a bounce or a held key."""

    def __init__(self, pace: float = 1.0) -> None:
        self._pace = pace
        self._last_s = self._counted_s = float("-inf")

    def press(self, now_s: float) -> Press:
        """What this press is. A key that is held never becomes an act; one that is pressed again
        and again does, at the latest with every second press."""
        since_last_s = (now_s - self._last_s) / self._pace
        since_counted_s = (now_s - self._counted_s) / self._pace
        self._last_s = now_s
        if since_counted_s >= APART_S and since_last_s >= HELD_S:
            self._counted_s = now_s
            return Press.COUNTS
        return Press.HELD if since_last_s < REPEATS_S else Press.TOO_SOON

    def counts(self, now_s: float) -> bool:
        """Whether this press is an act of its own."""
        return self.press(now_s) is Press.COUNTS

    def forget(self) -> None:
        """The last press was turned away: the next one counts at once."""
        self._last_s = self._counted_s = float("-inf")


@dataclass
class Hand:
    """The step shown, the piece picked, the last sentence, the lock, what reminds."""

    pace: float = 1.0
    """How many times faster than the wall the bench's clock runs (the demo)."""
    shown: Act | None = None
    picked: tuple[str, str] | None = None
    scale_asked: set[str] = field(default_factory=set)
    """Jobs before whose first weighing the known weight was asked for."""
    put_off: set[str] = field(default_factory=set)
    """Steps that come later (to be weighed then, not ready yet): all else is shown first."""
    said: str = ""
    alarm: bool = False
    locked: bool = False
    far: bool = False
    standing: tuple[Reminder, ...] = ()
    """Reminders that stand unanswered."""
    _said_s: float = 0.0
    _changed_s: float = float("-inf")
    _painted_s: float = float("-inf")
    _mine: bool = True

    def __post_init__(self) -> None:
        self.presses = Presses(self.pace)

    def say(self, text: str, now_s: float, *, alarm: bool = False) -> None:
        """The sentence to show."""
        self.said, self.alarm, self._said_s = text, alarm, now_s

    def sentence(self, now_s: float) -> str:
        """The sentence as long as it stands."""
        stands = self.alarm or now_s - self._said_s < SAID_S * self.pace
        return self.said if stands else ""

    def act_of_mine(self) -> None:
        """The maker has done something: what is shown may change at once."""
        self._mine = True

    def show(self, act: Act | None, now_s: float) -> None:
        """Remember what is shown, and when it changed by itself."""
        if _key(act) != _key(self.shown):
            self._changed_s = float("-inf") if self._mine else now_s
            self._painted_s = stamp_s()
        self.shown, self._mine = act, False

    def changed_under_the_finger(self, now_s: float) -> bool:
        """Whether what is shown changed by itself only just now."""
        return now_s - self._changed_s < STEADY_S * self.pace

    def came_before_it(self, pressed_s: float) -> bool:
        """Whether a key was pressed before what is shown could be read: it meant what was there
        then. Of no key (`inf`), never."""
        return pressed_s < self._painted_s


def _key(act: Act | None) -> tuple[str, str, str]:
    return (act.kind, act.address, act.check.name if act.check else "") if act else ("", "", "")
