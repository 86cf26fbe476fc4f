"""Reminding, wired to the bench: one voice, its channels, acknowledging, the calendar file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from whenever import Instant, Time

from benchmate.bench.edges import ahead, edges_of
from benchmate.bench.service import Bench
from benchmate.localtime import local
from benchmate.remind.due import showing
from benchmate.remind.edges import Now, Reminder
from benchmate.remind.minding import Minder, acknowledge, call_again
from benchmate.remind.quiet import QuietHours
from benchmate.remind.rows import TableLog
from benchmate.remind.rules import RemindSettings

if TYPE_CHECKING:
    from benchmate.remind.channels.base import Channel

LOCK = "voice.lock"
_ALARMS = {"nothing": (0.0,), "extra work": (0.0, 600.0)}
_SPOILING = (0.0, 300.0, 1200.0)
"""How long before a spoiling close the phone rings: twice, and at the edge."""


def now_of(bench: Bench, *, at_machine: bool = False) -> Now:
    """The moment as the reminders take it."""
    now = bench.now()
    return Now(bench.shop.timeline.at(now), local(now.wall_s), at_machine)


def settings_of(bench: Bench) -> RemindSettings:
    """The maker's settings as the reminders take them; what can't be read falls to the default."""
    wanted = bench.settings.reminders
    kinds = {"terminal", "sound", "speech", "desktop", "message", "command"}
    off = frozenset(kinds - set(wanted.channels)) | (
        frozenset() if wanted.speech else frozenset({"speech"})
    )
    span = wanted.quiet_span
    if span.is_empty:
        return RemindSettings(quiet=None, switched_off=off)
    hours = QuietHours(_time(span.begins_min), _time(span.ends_min))
    return RemindSettings(quiet=hours, switched_off=off)


def _time(minutes: int) -> Time:
    return Time(minutes // 60 % 24, minutes % 60)


def channels_of(bench: Bench, show: Callable[[Reminder], None] | None) -> list[Channel]:
    """The channels at hand; each loads its library only when it is first used."""
    from benchmate.remind.channels.command import CommandChannel
    from benchmate.remind.channels.desktop import DesktopChannel
    from benchmate.remind.channels.message import MessageChannel
    from benchmate.remind.channels.sound import SoundChannel
    from benchmate.remind.channels.speech import SpeechChannel, find_engine
    from benchmate.remind.channels.terminal import TerminalChannel

    wanted = bench.settings.reminders
    out: list[Channel] = [TerminalChannel(show), SoundChannel(wanted.volume)]
    out += [SpeechChannel(find_engine()), DesktopChannel()]
    out += [MessageChannel(a, n) for n, a in enumerate(wanted.addresses, start=1)]
    if wanted.command:
        out.append(CommandChannel(wanted.command))
    return out


def minder_of(
    bench: Bench,
    show: Callable[[Reminder], None] | None,
    *,
    at_machine: Callable[[], bool] = lambda: False,
    channels: Sequence[Channel] | None = None,
) -> Minder:
    """What minds the bench's edges; it reads the bench's frozen shop and may run in a thread."""
    from benchmate.remind.awake import KeepAwake
    from benchmate.remind.dispatcher import Dispatcher
    from benchmate.remind.voice import OneVoice

    return Minder(
        edges=lambda: edges_of(bench.shop, bench.now_s()),
        now=lambda: now_of(bench, at_machine=at_machine()),
        log=TableLog(bench.journal.deliveries),
        sender=Dispatcher(channels if channels is not None else channels_of(bench, show)),
        settings=lambda: settings_of(bench),
        voice=OneVoice(bench.folders.data / LOCK),
        awake=KeepAwake(),
    )


def standing(bench: Bench) -> list[Reminder]:
    """What has come due and nobody has acknowledged."""
    log = TableLog(bench.journal.deliveries)
    _, lines = log.since(0.0)
    return showing(edges_of(bench.shop, bench.now_s()), lines, settings_of(bench), now_of(bench))


def hush(bench: Bench, where: str, again_in_s: float | None = None) -> int:
    """Acknowledge everything that stands, everywhere; or have it come again. How many."""
    log, found = TableLog(bench.journal.deliveries), standing(bench)
    for reminder in found:
        if again_in_s is None:
            acknowledge(log, reminder, bench.now_s(), where)
        else:
            call_again(log, reminder, bench.now_s(), again_in_s, where)
    return len(found)


def write_calendar(bench: Bench, target: Path) -> str:
    """Write the edges to come as a calendar file; what was done, in a sentence."""
    from benchmate.papers.calendar import Entry, calendar_bytes

    now_s = bench.now_s()
    edges = ahead(edges_of(bench.shop, now_s), now_s)
    entries = [
        Entry(
            key=e.key,
            summary=f"{e.label}: {e.words or e.edge}",
            starts=Instant.from_timestamp(int(bench.wall_at(e.at_s))),
            lasts_s=max(e.hands_s, 300.0),
            description=e.action,
            alarms_before_s=_ALARMS.get(e.consequence, _SPOILING),
        )
        for e in edges
    ]
    old = target.read_bytes() if target.exists() else None
    stamp = Instant.from_timestamp(int(bench.now().wall_s))
    target.write_bytes(calendar_bytes(entries, stamp, shop=str(bench.folders.data), previous=old))
    return f"{len(entries)} edges to come are in {target}."
