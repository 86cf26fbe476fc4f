"""What is noted of this machine's clocks: each boot once, and each time the wall was set."""

from __future__ import annotations

from benchmate.job.events import stored as ev
from benchmate.job.state.shop import CLOCK, Shop, Write
from benchmate.moment import Moment, Timeline

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
    return [(CLOCK, ev.ClockShifted(happened=now, recorded=now, shift_s=shift))]


def clock_text(before: Timeline, event: ev.AnyEvent | ev.Unknown) -> str:
    """What is to be said of such an event, by the time line as it was before; mostly nothing."""
    match event:
        case ev.ClockBegan(shift_s=shift_s) if shift_s - before.shift_s < -SHIFT_S:
            return (
                "This computer's time went back while this machine was off. Check the time: clocks "
                "count as if no time had passed meanwhile."
            )
        case ev.ClockShifted(shift_s=shift_s):
            way = "forward" if shift_s > 0 else "back"
            by = f"{abs(shift_s):.0f} s"
            return f"This computer's time was set {way} by {by}. Every clock runs on as it was."
        case _:
            return ""
