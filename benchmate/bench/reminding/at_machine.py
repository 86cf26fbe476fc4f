"""At the machine: while it runs, only what spoils something calls, in every process of the shop.

The switch is a row in the table of deliveries, so that whoever holds the voice knows of it. One
that was forgotten, or whose bench was killed, ends by itself.
"""

from __future__ import annotations

from benchmate.bench.service import Bench
from benchmate.journal import JournalError

KEY, PLACE = "at the machine", "@maker"
LONGEST_S = 3 * 3600.0
"""Nobody stands at a machine longer; after that the switch was forgotten."""


def set_at_machine(bench: Bench, *, running: bool) -> None:
    """Note that the machine runs, or that it is off again. Raises JournalError."""
    now_s = bench.now_s()
    state, at_s = ("call again at", now_s + LONGEST_S) if running else ("acknowledged", now_s)
    bench.journal.deliveries.record_all([(KEY, PLACE, state, at_s, "")])  # type: ignore[list-item]


def at_machine_until_s(bench: Bench) -> float | None:
    """When the switch ends by itself (place on the time line); None: the machine is off."""
    found = bench.journal.deliveries.find(KEY, PLACE)
    on = found is not None and found.state == "call again at" and found.at_wall > bench.now_s()
    return found.at_wall if found is not None and on else None


def is_at_machine(bench: Bench) -> bool:
    """Whether the maker is at a machine. Where that can't be read nothing is held back."""
    try:
        return at_machine_until_s(bench) is not None
    except JournalError:
        return False
