"""A holder of the word that nobody can hear: an open bench rings in its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchmate.remind.rules.edges import Reminder
from benchmate.remind.rules.said import Said, kind_of
from benchmate.remind.rules.settings import PHONE, RemindSettings

MUTE_S = 3.0
"""So long a holder has for one of its channels to take a reminder."""
AUDIBLE = ("sound", "speech", "desktop", "command")
BELL = "bell@"
"""Begins the name under which a bench notes that it rang: its process follows."""


def unheard(
    showing: Iterable[Reminder], said: Said, settings: RemindSettings, now_s: float
) -> Iterator[Reminder]:
    """Those whose last round in the shop was taken by nothing that can be heard, where the maker
    wants to hear anything at all."""
    if settings.switched_off.issuperset(AUDIBLE):
        return
    for reminder in showing:
        rounds = said.of(reminder.edge, reminder.stage).rounds
        if not rounds or now_s - rounds[-1].began_s < MUTE_S:
            continue
        shop = [line for name, line in rounds[-1].lines.items() if kind_of(name) != PHONE]
        if shop and not any(line.state == "sent" and _is_heard(line.channel) for line in shop):
            yield reminder


def _is_heard(channel: str) -> bool:
    return kind_of(channel) in AUDIBLE or channel.startswith(BELL)
