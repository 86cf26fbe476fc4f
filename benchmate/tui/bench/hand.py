"""What the screens of the bench share while they are open: nothing in it outlives them."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchmate.job.windows.agenda import Act
from benchmate.tui.present.bench.banners import Banner

APART_S = 1.5
"""Two presses of the glove key within this time, or a held key, are one act."""
STEADY_S = 0.4
"""So long an act must have stood there before a press is taken to mean it: a finger on its way
down can't be called back."""
SAID_S = 60.0
"""So long the last sentence stands; an alarm stands until the next."""


class Presses:
    """Counts presses of one key that mean something: not a held key, not a bounce."""

    def __init__(self, pace: float = 1.0) -> None:
        self.apart_s = APART_S * pace
        self._last_s = float("-inf")

    def counts(self, now_s: float) -> bool:
        """Whether this press is an act of its own. A key that is held never becomes one."""
        apart = now_s - self._last_s >= self.apart_s
        self._last_s = now_s
        return apart

    def forget(self) -> None:
        """The last press was turned away: the next one counts at once."""
        self._last_s = float("-inf")


@dataclass
class Hand:
    """The act shown, the piece picked, the last sentence, the lock, and what has been heard."""

    pace: float = 1.0
    """How many times faster than the wall the bench's clock runs (the demo)."""
    shown: Act | None = None
    picked: tuple[str, str] | None = None
    said: str = ""
    alarm: bool = False
    locked: bool = False
    far: bool = False
    heard: set[str] = field(default_factory=set)
    again_s: dict[str, float] = field(default_factory=dict)
    """Banners that are to come again, and when."""
    given: dict[str, Banner] = field(default_factory=dict)
    """Banners that a reminding service has given; then none are derived here."""
    standing: tuple[Banner, ...] = ()
    """Banners that stand unheard."""
    served: bool = False
    """A reminding service has spoken: it says what is due, and rings."""
    _said_s: float = 0.0
    _changed_s: float = float("-inf")
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
        self.shown, self._mine = act, False

    def changed_under_the_finger(self, now_s: float) -> bool:
        """Whether what is shown changed by itself only just now."""
        return now_s - self._changed_s < STEADY_S * self.pace


def _key(act: Act | None) -> tuple[str, str, str]:
    return (act.kind, act.address, act.check.name if act.check else "") if act else ("", "", "")
