"""The channel of tones."""

from __future__ import annotations

import threading
from collections.abc import Callable

from benchmate.remind.channels.base import Availability, Outcome
from benchmate.remind.channels.playing import play, probe
from benchmate.remind.channels.tones import as_wav, render_tone
from benchmate.remind.rules.edges import Reminder

Ring = Callable[[], None]
DEFAULT_VOLUME = 0.8


class SoundChannel:
    """Tones by the program; the terminal's bell where there is no sound device."""

    name = "sound"

    def __init__(
        self,
        volume: float = DEFAULT_VOLUME,
        bell: Ring | None = None,
        play: Callable[[bytes], Outcome] = play,
        probe: Callable[[], Availability] = probe,
    ) -> None:
        """`volume` from 0 to 1. `bell` rings the terminal's bell, if a screen has one."""
        self.volume = volume
        self._bell = bell
        self._play = play
        self._probe = probe
        self._lock = threading.Lock()

    def available(self) -> Availability:
        """Whether tones can be played, or at least the bell rung."""
        found = self._probe()
        if found.ok or self._bell is None:
            return found
        return Availability(
            ok=True,
            sentence=f"{found.sentence} The terminal's bell rings instead.",
            mend=found.mend,
        )

    def send(self, reminder: Reminder) -> Outcome:
        """Play the stage's tone; without a device ring the bell, and say so."""
        with self._lock:
            outcome = self._play(as_wav(render_tone(reminder.stage, self.volume)))
        if outcome.ok or self._bell is None:
            return outcome
        self._bell()
        return Outcome(ok=True, note=f"{outcome.note}: rang the terminal's bell instead")
