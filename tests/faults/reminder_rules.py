"""How often what is said, written down once more as plain numbers; quiet hours from zoneinfo."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

ZONES = {
    # The Monday before the clocks change on a Sunday, at 06:00 local time, as Unix seconds.
    "Europe/London": datetime(2026, 10, 19, 6, tzinfo=ZoneInfo("Europe/London")),
    "America/New_York": datetime(2026, 3, 2, 6, tzinfo=ZoneInfo("America/New_York")),
    "Australia/Lord_Howe": datetime(2026, 9, 28, 6, tzinfo=ZoneInfo("Australia/Lord_Howe")),
}

STAGES = ["soon", "opens", "full", "weigh", "closing", "missed"]
GAPS = {
    "once": [],
    "again": [300, 600, 600],
    "shout closing": [60, 60, 120, 120] + [300] * 5000,
    "lost": [120, 300],
}
MANNER = {
    ("soon", "extra work"): "once",
    ("soon", "spoils mix"): "once",
    ("opens", "nothing"): "once",
    ("opens", "extra work"): "once",
    ("opens", "spoils mix"): "once",
    ("full", "nothing"): "once",
    ("full", "extra work"): "once",
    ("full", "spoils mix"): "once",
    ("weigh", "nothing"): "once",
    ("weigh", "extra work"): "again",
    ("weigh", "spoils mix"): "again",
    ("closing", "nothing"): "once",
    ("closing", "extra work"): "again",
    ("closing", "spoils mix"): "shout closing",
    ("missed", "nothing"): "once",
    ("missed", "extra work"): "once",
    ("missed", "spoils mix"): "lost",
}
"""What is said in the shop, where no phone is set."""


def manner_at(stage: str | None, consequence: str, *, quiet: bool) -> str | None:
    """How it is said now; in quiet hours a weight that loses nothing is spoken of once."""
    manner = MANNER.get((stage, consequence)) if stage else None
    return "once" if quiet and stage == "weigh" and consequence != "spoils mix" else manner


def pressed(gap: float, manner: str, left: float) -> float:
    """In its last five minutes what spoils something is said every minute."""
    return min(gap, max(60, left - 300)) if manner == "shout closing" else gap


def is_quiet(unix_s: float, tz: ZoneInfo) -> bool:
    wall = datetime.fromtimestamp(unix_s, tz)
    return wall.hour >= 22 or wall.hour < 7


def quiet_ends(at_s: float, tz: ZoneInfo) -> float:
    """The next seven o'clock in the morning on the wall."""
    return min(s for s in _wall_times(at_s, 7, tz) if s > at_s)


def quiet_began(at_s: float, tz: ZoneInfo) -> float:
    """The last ten o'clock in the evening on the wall."""
    return max(s for s in _wall_times(at_s, 22, tz) if s <= at_s)


def _wall_times(at_s: float, hour: int, tz: ZoneInfo) -> list[float]:
    today = datetime.fromtimestamp(at_s, tz).date()
    days = (today + timedelta(days=n) for n in (-1, 0, 1))
    return [datetime.combine(day, time(hour), tz).timestamp() for day in days]
