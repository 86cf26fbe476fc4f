"""Standing in for a process that has the word and says nothing: it was stopped, or it hangs.

The lock tells only whether its holder lives. So the holder also touches the lock's file every few
seconds, and one that waits takes a second lock once it has watched that file lie still for a while.
The holder, when it goes on, finds in the deliveries what was said meanwhile, and the other steps
back at its next look.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from benchmate.clock import steady_s
from benchmate.localtime import show_clock
from benchmate.remind.voice import OneVoice

BEAT_S = 2.0
SILENT_S = 15.0
"""A holder that has not stirred for so long is stood in for."""
LONGEST_LOOK_S = 1.0
"""What one look counts at most: one that was asleep or stopped itself has watched nobody."""


class WatchedVoice:
    """The word, or the stand-in's place where the holder has fallen silent without ending."""

    def __init__(self, path: Path, clock: Callable[[], float] = steady_s) -> None:
        """`path`: the word's lock file; the stand-in's lies beside it."""
        self._path, self._clock = path, clock
        self._word = OneVoice(path)
        self._place = OneVoice(path.with_name(f"{path.stem}.stand-in{path.suffix}"))
        self._beaten_s = float("-inf")
        self._beat: int | None = None
        self._looked_s: float | None = None
        self._watched_s = 0.0

    @property
    def trouble(self) -> str:
        """Why there is no lock, or who has the word and says nothing; empty: all is well."""
        if self._word.trouble or not self.is_holder_silent:
            return self._word.trouble
        here = " This one reminds in its place." if self._place.held else ""
        return f"{silence_of(self._path)}{here} Bring it back (`fg` in its terminal) or end it."

    @property
    def is_holder_silent(self) -> bool:
        """Whether another process has the word and has not stirred while it was watched."""
        return self._watched_s > SILENT_S

    def take(self) -> bool:
        """Take the word or keep it, or stand in for its silent holder. Never waits."""
        if self._word.take():
            self._place.release()
            self._watched_s, self._looked_s = 0.0, None
            self._touch()
            return True
        self._watch()
        if self.is_holder_silent:
            return self._place.take()
        self._place.release()
        return False

    def release(self) -> None:
        """Leave it to others."""
        self._word.release()
        self._place.release()

    def holder(self) -> int | None:
        """The process that has the word, as `OneVoice.holder`."""
        return self._word.holder()

    def _touch(self) -> None:
        now_s = self._clock()
        if now_s - self._beaten_s >= BEAT_S:
            self._beaten_s = now_s
            with suppress(OSError):  # where it can't be touched it can't be locked either
                os.utime(self._path)

    def _watch(self) -> None:
        now_s, beat = self._clock(), _beat_of(self._path)
        if beat != self._beat or self._looked_s is None:
            self._beat, self._watched_s = beat, 0.0
        else:
            self._watched_s += min(now_s - self._looked_s, LONGEST_LOOK_S)
        self._looked_s = now_s


def silent_for_s(path: Path, wall_s: float) -> float:
    """For how long the file of a word that is held has not been touched, by the wall clock."""
    beat = _beat_of(path)
    return 0.0 if beat is None else max(0.0, wall_s - beat / 1e9)


def silence_of(path: Path) -> str:
    """Who says nothing, and since when, in a sentence."""
    beat, pid = _beat_of(path), OneVoice(path).holder()
    since = "" if beat is None else f" since {show_clock(beat / 1e9)}"
    who = "Another process" if pid is None else f"Process {pid}"
    return f"{who} has the word but has not stirred{since}: it was stopped, or it hangs."


def _beat_of(path: Path) -> int | None:
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return None
