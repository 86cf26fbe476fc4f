"""What the bench notes of this machine's clocks: each boot once, and each time the wall was set."""

from __future__ import annotations

from benchmate.job.events import stored as ev
from benchmate.moment import Moment, Timeline

SHIFT_S = 2.0
"""From here on a shift of the wall clock against the boot clock is worth an event."""


def clock_news(
    timeline: Timeline, now: Moment
) -> tuple[ev.ClockBegan | ev.ClockShifted | None, str]:
    """What is to be noted of the clocks, if anything, and what is to be said of it."""
    if not timeline.knows(now):
        base, shift = timeline.boot_base(now)
        said = ""
        if shift - timeline.shift_s < -SHIFT_S:
            said = (
                "The wall clock went back while this machine was off. Check the time: windows "
                "count as if no time had passed meanwhile."
            )
        return ev.ClockBegan(happened=now, recorded=now, base_s=base, shift_s=shift), said
    shift = timeline.drift_of(now)
    if abs(shift) <= SHIFT_S:
        return None, ""
    way = "forward" if shift > 0 else "back"
    return (
        ev.ClockShifted(happened=now, recorded=now, shift_s=shift),
        f"The wall clock was set {way} by {abs(shift):.0f} s. Every window runs on as it was.",
    )
