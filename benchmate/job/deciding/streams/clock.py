"""What is noted of this machine's clocks: each boot once, and each time the wall was set."""

from __future__ import annotations

from benchmate.job.events import stored as ev
from benchmate.job.state.shop import CLOCK, Shop, Write
from benchmate.moment import Moment, Timeline
from benchmate.refusal import NotNow

UNSURE_S = 600.0
"""So long after a start the computer's time may still be wrong: a network puts it right within
minutes. A set of the clock in them is the start's own time put right, not a shift."""
SHIFT_S = 2.0
"""From here on a shift of the wall clock against the boot clock is worth an event."""


def note_clock(shop: Shop, now: Moment) -> list[Write]:
    """What there is to note, if anything. Apart from `decide_in_shop`, since every start asks."""
    timeline = shop.timeline
    if not timeline.knows(now):
        base, shift = timeline.boot_base(now)
        return [(CLOCK, ev.ClockBegan(happened=now, recorded=now, base_s=base, shift_s=shift))]
    shift = timeline.drift_of(now)
    if abs(shift) <= SHIFT_S:
        return []
    if now.boot_ns is not None and now.boot_ns < UNSURE_S * 1e9:
        base, shift = timeline.put_right(now)
        return [(CLOCK, ev.ClockBegan(happened=now, recorded=now, base_s=base, shift_s=shift))]
    return [(CLOCK, ev.ClockShifted(happened=now, recorded=now, shift_s=shift))]


def undo_clock(shop: Shop, now: Moment) -> list[Write]:
    """The last set of the computer's time in this boot, taken the other way. Raises NotNow."""
    found = shop.timeline.undone(now) if shop.timeline.knows(now) else None
    if found is None:
        raise NotNow("The computer's time wasn't set since this machine was started.")
    base, shift = found
    return [(CLOCK, ev.ClockBegan(happened=now, recorded=now, base_s=base, shift_s=shift))]


ASK_S = 60.0
"""A shift as long as this may be a wrong start that was put right late: then it is asked about."""
UNDO = "If that is wrong: `benchmate undo --clock`."


def clock_text(before: Timeline, event: ev.AnyEvent | ev.Unknown) -> str:
    """What is to be said of such an event, by the time line as it was before; mostly nothing."""
    match event:
        case ev.ClockBegan(base_s=base_s) if event.recorded.boot_id in before.bases_s:
            if base_s == before.was_base_s:
                return f"Every clock runs on as if the time had been right from the start. {UNDO}"
            return (
                "The computer's time was put right just after its start: every clock counts by "
                f"it, also what was recorded since then. {UNDO}"
            )
        case ev.ClockBegan(shift_s=shift_s) if shift_s - before.shift_s < -SHIFT_S:
            return (
                "This computer's time went back while this machine was off. Check the time: clocks "
                "count as if no time had passed meanwhile."
            )
        case ev.ClockShifted(shift_s=shift_s):
            way = "forward" if shift_s > 0 else "back"
            by = f"{abs(shift_s):.0f} s"
            said = f"This computer's time was set {way} by {by}. Every clock runs on as it was."
            if abs(shift_s) < ASK_S:
                return said
            return f"{said} If it was wrong since the start: `benchmate undo --clock`."
        case _:
            return ""
