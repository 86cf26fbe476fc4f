"""The reminders' own thread beside an open bench: started, told of news, and ended in time.

It reads the bench's frozen shop and writes only into the table of deliveries, so that the bench
stays its owner's alone.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from benchmate.bench.page.kept import KeptPage
from benchmate.bench.reminding.leaving import Leaving
from benchmate.bench.reminding.presence import note_touch
from benchmate.bench.reminding.reminding import (
    KINDS,
    answer,
    channels_of,
    edges_now,
    log_of,
    now_of,
    settings_of,
)
from benchmate.bench.reminding.told import silent_phones
from benchmate.bench.service import Bench
from benchmate.clock import steady_s, wait_s
from benchmate.journal import JournalError
from benchmate.remind.awake import KeepAwake
from benchmate.remind.dispatcher import Dispatcher
from benchmate.remind.minding import Awake, Minder, Sender, Tick, Voice, note_rung
from benchmate.remind.rows import TableLog
from benchmate.remind.rules.edges import Reminder
from benchmate.remind.rules.said import kind_of
from benchmate.remind.rules.unheard import BELL
from benchmate.remind.stand_in import WatchedVoice
from benchmate.remind.voice import OneVoice

if TYPE_CHECKING:
    from benchmate.remind.channels.base import Channel

LOCK = "voice.lock"
PHONES_S = 60.0
"""How often it is looked whether some phone took nothing."""
BELL_LOCK = "bell.lock"
MUTE = "Process {pid} gives the reminders, but nothing it has can be heard: this bench rings."
STOP_S = 0.9
"""No longer does leaving the bench wait for what is just being said."""


def minder_of(
    bench: Bench, sender: Sender, voice: Voice | None = None, awake: Awake | None = None
) -> Minder:
    """What minds a bench's edges, round by round, over the journal's table of deliveries."""
    return Minder(
        edges=lambda: edges_now(bench),
        now=lambda: now_of(bench),
        log=log_of(bench),
        sender=sender,
        settings=lambda: settings_of(bench.settings.reminders),
        voice=voice,
        awake=awake,
    )


class Minding:
    """Reminds of a bench's edges until it is stopped; of all processes, one has the word.

    All callbacks come from other threads than the bench's.
    """

    def __init__(
        self,
        bench: Bench,
        *,
        show: Callable[[Reminder], None] | None = None,
        bell: Callable[[], None] | None = None,
        on_tick: Callable[[Tick], None] | None = None,
        channels: Sequence[Channel] | None = None,
        kinds: Sequence[str] = KINDS,
        awake: KeepAwake | None = None,
    ) -> None:
        """`show` and `bell`: the screen, if there is one. `on_tick`: told of each round.

        `kinds` of channels to be used; `channels`: these and no others.
        """
        self._bench, self._on_tick = bench, on_tick
        if channels is None:
            wanted = bench.settings.reminders
            found = channels_of(wanted, show, bell=bell, on_heard=self._heard_on_desktop)
            channels = [c for c in found if kind_of(c.name) in kinds]
            channels = [c for c in channels if show is not None or c.name != "terminal"]
        self._channels = channels
        self._sender = Dispatcher(channels)
        self.leaving = Leaving(bench, channels)
        self._voice = WatchedVoice(bench.folders.data / LOCK)
        self._awake = awake or KeepAwake()
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._bell, self._ringer = bell, OneVoice(bench.folders.data / BELL_LOCK)
        self._mute_fault = self._phone_fault = ""
        self._asked_s = steady_s()
        self._page = KeptPage(bench)
        self.holds_voice: bool | None = None
        """Whether this process has the word; None before the first round."""
        self._minder = minder_of(bench, self._sender, self._voice, self._awake)

    def start(self) -> None:
        """Begin, and hear of every commit from now on."""
        self._bench.on_change = self._minder.poke
        run = self._minder.run
        self._thread = threading.Thread(
            target=run, args=(self._stop, self._ticked), name="minding", daemon=True
        )
        self._thread.start()

    def stop(self) -> None:
        """Give the word away and end, within about a second; what is being said may be cut off."""
        give_up = steady_s() + STOP_S
        self._stop.set()
        self._bench.on_change = None
        self._minder.poke()
        if self._thread is not None:
            self._thread.join(max(0.0, give_up - steady_s()))
        self._sender.close()
        while self._sender.is_busy and steady_s() < give_up:
            wait_s(0.01)
        if self._thread is None or not self._thread.is_alive():
            self._minder.finish()
        for channel in self._channels:
            if hasattr(channel, "close"):
                channel.close()
        self._awake.close(wait_s=max(0.05, give_up - steady_s()))
        self._page.stop()
        self._voice.release()
        self._ringer.release()

    def poke(self) -> None:
        """Have it look at once."""
        self._minder.poke()

    @property
    def trouble(self) -> str:
        """Why reminders can't be worked out, recorded or kept to one voice; empty: all is well."""
        return " ".join(t for t in self._troubles if t)

    @property
    def _troubles(self) -> tuple[str, ...]:
        own = self._minder.trouble, self._voice.trouble, self._page.fault, self._mute_fault
        return *own, self._phone_fault

    @property
    def awake_sentence(self) -> str:
        """Whether the machine is kept awake, and by what means; empty where another sees to it."""
        return "" if self.holds_voice is False else self._awake.sentence

    @property
    def is_kept_awake(self) -> bool | None:
        """Whether the machine is kept awake now; None: it should be and can't be."""
        return None if self._awake.impossible else self._awake.awake

    def _ticked(self, tick: Tick) -> None:
        self.holds_voice = tick.holds_voice
        note_touch(self._bench)
        if steady_s() - self._asked_s > PHONES_S:
            self._asked_s = steady_s()
            with suppress(JournalError):
                self._phone_fault = " ".join(silent_phones(self._bench))
        if tick.holds_voice:
            self._mute_fault = ""
            self.leaving.look()
        elif tick.mute and self._bell is not None and self._ringer.take():
            self._ring_for(tick.mute)
        self._page.look(tick.showing, on=tick.holds_voice and self._bench.settings.page.on)
        if self._on_tick is not None:
            self._on_tick(tick)

    def _ring_for(self, reminders: tuple[Reminder, ...]) -> None:
        """Of all open benches one rings for a process that nobody hears, and says so."""
        bench, where = self._bench, f"{BELL}{os.getpid()}"
        with suppress(JournalError):
            note_rung(TableLog(bench.journal.deliveries), reminders, bench.now_s(), where)
        self._mute_fault = MUTE.format(pid=self._voice.holder())
        if self._bell is not None:
            self._bell()

    def _heard_on_desktop(self, reminder: Reminder) -> None:
        try:
            answer(self._bench, [reminder], "desktop")
        except JournalError:
            pass  # it comes again, which says the same
        self._minder.poke()
