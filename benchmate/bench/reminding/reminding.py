"""Reminding, wired to the bench: settings, channels, what stands, answering, the calendar file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from whenever import Instant, Time

from benchmate.bench.reminding.edges import ahead, edges_of
from benchmate.bench.reminding.presence import note_touch, now_of
from benchmate.bench.service import Bench
from benchmate.journal.files import write_durably
from benchmate.refusal import Refused
from benchmate.remind.minding import URGENT, acknowledge, call_again
from benchmate.remind.rows import TableLog
from benchmate.remind.rules.due import showing
from benchmate.remind.rules.edges import EdgeAhead, Gravity, Reminder, Stage
from benchmate.remind.rules.quiet import QuietHours
from benchmate.remind.rules.settings import RemindSettings

if TYPE_CHECKING:
    from benchmate.papers.calendar import CalendarEntry
    from benchmate.remind.channels.base import Channel
    from benchmate.settings import Reminding

__all__ = [
    "answer",
    "channels_of",
    "edges_now",
    "hush",
    "log_of",
    "now_of",
    "settings_of",
    "standing",
    "write_calendar",
]

KINDS = ("terminal", "sound", "speech", "desktop", "message", "command")
REMEMBERED_S = 30 * 86_400.0
"""What was said earlier matters no more, unless a window that old still runs."""
_ALARMS = {
    Gravity.NOTHING: (0.0,),
    Gravity.WORK: (0.0, 600.0),
    Gravity.SPOILS: (0.0, 300.0, 1200.0),
}
"""How long before a close the phone rings, and at it. At any other edge it rings once."""


# What the reminders are told --------------------------------------------------------------------


def edges_now(bench: Bench) -> list[EdgeAhead]:
    """The edges, from one frozen picture of the shop: any thread may ask."""
    shop = bench.shop
    return edges_of(shop, shop.timeline.at(bench.now()), bench.settings.units)


def settings_of(wanted: Reminding) -> RemindSettings:
    """The maker's settings as the reminders take them."""
    off = set(KINDS) - set(wanted.channels)
    if not wanted.speech:
        off.add("speech")
    span = wanted.quiet_span
    hours = None if span.is_empty else QuietHours(_time(span.begins_min), _time(span.ends_min))
    set_for = {stage: getattr(wanted.by_stage, stage).split(" / ") for stage in Stage}
    return RemindSettings(
        quiet=hours,
        switched_off=frozenset(off),
        has_phone=bool(wanted.addresses or wanted.urgent),
        phone=wanted.phone,
        by_stage={stage: (ways[0], ways[1]) for stage, ways in set_for.items() if len(ways) == 2},
    )


def _time(minutes: int) -> Time:
    return Time(minutes // 60 % 24, minutes % 60)


def log_of(bench: Bench) -> TableLog:
    """The log of what was said, back to the oldest window that still runs."""
    begun = (edge.begun_s for edge in edges_now(bench) if edge.begun_s is not None)
    back_s = max([REMEMBERED_S, *(bench.now_s() - begun_s for begun_s in begun)])
    return TableLog(bench.journal.deliveries, lambda: bench.now_s() - back_s, bench.now_s)


def channels_of(
    wanted: Reminding,
    show: Callable[[Reminder], None] | None = None,
    *,
    bell: Callable[[], None] | None = None,
    on_heard: Callable[[Reminder], None] | None = None,
) -> list[Channel]:
    """The channels; each loads its library only when it is first used.

    `show` puts a reminder on the screen and `bell` rings the terminal's bell, if there is a
    screen; `on_heard` is called when the maker answers on the desktop. All from other threads.
    """
    from benchmate.remind.channels.command import CommandChannel
    from benchmate.remind.channels.desktop import DesktopChannel
    from benchmate.remind.channels.message import MessageChannel
    from benchmate.remind.channels.sound import SoundChannel
    from benchmate.remind.channels.speech import SpeechChannel, find_engine
    from benchmate.remind.channels.terminal import TerminalChannel

    out: list[Channel] = [TerminalChannel(show), SoundChannel(wanted.volume, bell)]
    out += [SpeechChannel(find_engine()), DesktopChannel(on_heard)]
    out += [MessageChannel(a, str(n)) for n, a in enumerate(wanted.addresses, start=1)]
    out += [MessageChannel(a, f"{URGENT}{n}") for n, a in enumerate(wanted.urgent, start=1)]
    if wanted.command:
        out.append(CommandChannel(wanted.command))
    return out


# Answering --------------------------------------------------------------------------------------


def standing(bench: Bench) -> list[Reminder]:
    """What has come due and nobody has acknowledged."""
    _, lines = log_of(bench).since(0.0)
    wanted = settings_of(bench.settings.reminders)
    return showing(edges_now(bench), lines, wanted, now_of(bench))


def answer(
    bench: Bench, reminders: Iterable[Reminder], where: str, again_in_s: float | None = None
) -> None:
    """Acknowledge these in every process of the shop, or have them come again: any thread may.

    Raises:
        Refused: the time is not ahead.
        JournalError: it could not be noted.
    """
    log, now_s = TableLog(bench.journal.deliveries), bench.now_s()
    bench.touched_s = now_s
    note_touch(bench)
    for reminder in reminders:
        if again_in_s is None:
            acknowledge(log, reminder, now_s, where)
            continue
        try:
            call_again(log, reminder, now_s, again_in_s, where)
        except ValueError as error:
            raise Refused(str(error)) from error


def hush(bench: Bench, where: str, again_in_s: float | None = None) -> int:
    """Answer everything that stands, as `answer` does; how many there were."""
    found = standing(bench)
    answer(bench, found, where, again_in_s)
    return len(found)


# The calendar file ------------------------------------------------------------------------------


def write_calendar(bench: Bench, target: Path) -> str:
    """Write the edges and the visits to come as a calendar file; what was done, in a sentence.

    Raises:
        Refused: the file can't be written, or what is there is no calendar.
    """
    from benchmate.bench.planning.calendar import visit_entries
    from benchmate.papers.calendar import CalendarFileError, calendar_bytes

    entries, visits = calendar_entries(bench), list(visit_entries(bench))
    both, shop = [*entries, *visits], str(bench.folders.data)
    stamp = Instant.from_timestamp(int(bench.now().wall_s))
    try:
        old = target.read_bytes() if target.exists() else None
        write_durably(target, calendar_bytes(both, stamp, shop=shop, previous=old))
    except CalendarFileError as error:
        raise Refused(str(error)) from error
    except OSError as error:
        raise Refused(f"{target} can't be written ({error.strerror}).") from error
    many = "1 reminder is saved" if len(entries) == 1 else f"{len(entries)} reminders are saved"
    sheet = f", with {len(visits)} visit{'s' if len(visits) > 1 else ''}" if visits else ""
    return f"{many} in {target}{sheet}."


def calendar_entries(bench: Bench) -> list[CalendarEntry]:
    """The edges to come, as a phone should have them."""
    from benchmate.papers.calendar import CalendarEntry

    hours, now = settings_of(bench.settings.reminders).quiet, now_of(bench)
    return [
        CalendarEntry(
            key=e.key,
            summary=f"{e.label}: {e.words or e.edge}",
            # Before a close the hands still have to work, so that the event ends with it.
            starts=Instant.from_timestamp(round(bench.wall_at(_begins_s(e)))),
            lasts_s=e.hands_s,
            # Where no step is to be done the action only says the summary's words again.
            description="" if e.action.strip() == e.words.strip() else e.action,
            alarms_before_s=tuple(
                before_s
                for before_s in _ALARMS[e.gravity if e.edge == "closes" else Gravity.NOTHING]
                if e.spoils
                or hours is None
                or hours.around(now.wall_at(_begins_s(e) - before_s)) is None
            ),
        )
        for e in ahead(edges_now(bench), now.now_s)
    ]


def _begins_s(edge: EdgeAhead) -> float:
    return edge.at_s - edge.hands_s if edge.edge == "closes" else edge.at_s
