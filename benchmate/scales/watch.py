"""What becomes of live readings while one weight is taken: armed, by itself, tared, lifted, gone.

Pure: fed with what is live, five times a second or so, and times on the clock that nobody sets.
"""

from __future__ import annotations

from typing import Literal

from benchmate.landing.words import places_for
from benchmate.scales.reading import Live

ARMED_S = 3.0
ALONE_S = 1.0
"""So long it stands still before it is taken by itself."""
FRESH_S = 0.7
"""An older reading is shown, but not taken: the load may have changed since."""
EMPTY = 2
"""In divisions: no more than this is an empty scale."""
FALL = 3
"""In divisions: a change by more than this is a change."""
Question = Literal["", "nothing on it", "gap", "gap while moving"]


class Watch:
    """`pours`: readings that follow one another are compared, so that a new zero is noticed.
    `alone`: a weight that follows an empty scale is taken without a key."""

    def __init__(self, *, pours: bool, alone: bool, before_g: float | None = None) -> None:
        """`before_g`: what the last reading of this pour was; what came since nobody heard."""
        self.pours, self._alone = pours, alone and not pours
        self.offset_g = 0.0
        """What the scale no longer shows: tared, or zeroed with the load on it."""
        self.question: Question = ""
        self.is_off = False
        """Whether nothing more is taken: the maker types."""
        self._armed_s: float | None = None
        self._before = Live("steady", grams=before_g) if before_g is not None else None
        self._latest = self._before
        self._is_after_gap = before_g is not None
        self._is_lifted = self._was_empty = False
        self._rests: Live | None = None
        self._rests_s = 0.0

    @property
    def before_g(self) -> float:
        """The last steady weight, with what the scale no longer shows."""
        return (self._before.grams or 0.0 if self._before else 0.0) + self.offset_g

    def in_full(self, live: Live) -> Live:
        """A reading with what the scale no longer shows; as it stands where that is nothing."""
        if not self.offset_g or live.grams is None:
            return live
        grams = live.grams + self.offset_g
        return live._replace(grams=grams, text=f"{grams:.{places_for(live.division_g)}f} g")

    # Armed -----------------------------------------------------------------------------------

    @property
    def is_armed(self) -> bool:
        """Whether the next steady weight is taken."""
        return self._armed_s is not None

    def arm(self, now_s: float) -> None:
        """Take the first steady weight of the next seconds; armed already: no more."""
        self._armed_s = None if self.is_armed else now_s

    # Looking ---------------------------------------------------------------------------------

    def look(self, live: Live, now_s: float) -> Live | None:
        """Follow what is live. A steady weight that is to be taken now, if there is one."""
        if self._armed_s is not None and now_s - self._armed_s > ARMED_S:
            self._armed_s = None
        if live.state in ("gone", "silent", "fault"):
            self._is_after_gap = self._before is not None
            self._armed_s, self._was_empty = None, False
            return None
        if live.state != "steady":
            if not self._is_after_gap:
                self._latest = live
            self._rests = None
            return None
        if not is_fresh(live, now_s) or not self.may_take(live):
            return None
        self._before = self._latest = live
        rested = self._rested(live, now_s)
        if is_empty(live):
            return None  # an empty scale is a reading only where a key is pressed on it
        if self._armed_s is not None or rested:
            self._armed_s, self._was_empty = None, False
            return self.in_full(live)
        return None

    def may_take(self, live: Live) -> bool:
        """Whether a steady reading means what it shows; where that can't be told it is asked."""
        if live.state != "steady" or live.grams is None or self.is_off or self.question:
            return False
        if self._is_lifted and is_empty(live):
            return False
        if is_below(live):
            return False  # a false zero; in a pour, lifted off a scale that was tared with it
        self._is_lifted = False
        self.question = self._asks(live) if self.pours and self._before is not None else ""
        self._is_after_gap = self._is_after_gap and bool(self.question)
        if self.question:
            self._armed_s = None
        return not self.question

    def _asks(self, live: Live) -> Question:
        assert self._before is not None
        fell = not _is_near(self._before, live) and is_empty(live)
        if not self._is_after_gap:
            return "nothing on it" if fell else ""
        # A scale that was off takes what lies on it for nothing: nought after a gap tells nothing.
        if _is_near(self._before, live) and not is_empty(live):
            return ""
        was_moving = self._latest is not None and self._latest.state != "steady"
        return "gap while moving" if was_moving else "gap"

    def _rested(self, live: Live, now_s: float) -> bool:
        """Whether a load on a scale that was empty has stood still for long enough."""
        if is_empty(live):
            self._was_empty, self._rests = True, None
        elif self._rests is None or not _is_near(self._rests, live, 1.5):
            self._rests, self._rests_s = live, now_s
        return (
            self._alone
            and self._was_empty
            and self._rests is not None
            and now_s - self._rests_s >= ALONE_S
        )

    # Answers ---------------------------------------------------------------------------------

    def go_on(self, live: Live) -> None:
        """What was on it is still there, and nothing else: count on from the weight before."""
        if live.grams is not None:
            self.offset_g = self.before_g - live.grams
            self._answered(live)

    def as_it_reads(self, live: Live) -> None:
        """The scale reads right; or it was lifted off, and comes back."""
        self._is_lifted = self.question == "nothing on it"
        if not self._is_lifted:
            self._answered(live)
        self.question = ""

    def type_it(self) -> None:
        """Nobody can tell what the scale would read: no more is taken from it."""
        self.question, self.is_off = "", True

    def _answered(self, live: Live) -> None:
        self._before = self._latest = live
        self._is_after_gap, self.question = False, ""


class Left:
    """What is still to be poured of one material, and which tone that calls for."""

    def __init__(self) -> None:
        self._of = ""
        self._said = 0

    def tone(self, what: str, left_g: float, planned_g: float) -> int:
        """1 once a tenth is left, 2 once nothing is, else 0: each once for a material."""
        if what != self._of:
            self._of, self._said = what, 0
        reached = 2 if left_g <= 0.0 else 1 if left_g <= 0.1 * planned_g else 0
        if reached <= self._said:
            return 0
        self._said = reached
        return reached


def is_fresh(live: Live, now_s: float) -> bool:
    """Whether a reading is what lies there now."""
    return now_s - live.at_s <= FRESH_S


def is_empty(live: Live) -> bool:
    """Whether a reading is that of a scale with nothing on it."""
    return live.grams is not None and abs(live.grams) <= (EMPTY + 1e-6) * live.division_g


def is_below(live: Live) -> bool:
    """Whether a reading is below nothing: no weight is."""
    return live.grams is not None and live.grams < 0.0 and not is_empty(live)


def _is_near(before: Live, live: Live, divisions: float = FALL) -> bool:
    step = max(before.division_g, live.division_g)
    return abs((before.grams or 0.0) - (live.grams or 0.0)) <= (divisions + 1e-6) * step
