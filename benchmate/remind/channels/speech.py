"""The channel that speaks, by whatever engine the system has.

The words go to the engine on its standard input, never into an argument or a shell's line.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.channels.playing import play, probe
from benchmate.remind.rules.edges import Reminder

WORDS_PER_MINUTE = 150
LONGEST_SPEECH_S = 60.0

_SAPI = (
    "Add-Type -AssemblyName System.Speech; "
    "$voice = New-Object System.Speech.Synthesis.SpeechSynthesizer; "
    "$voice.Speak([Console]::In.ReadToEnd())"
)


@dataclass(frozen=True, slots=True)
class Engine:
    """A speech engine of the system: a command that reads the words from its standard input."""

    name: str
    argv: tuple[str, ...]
    gives_wav: bool
    """It writes sound to its standard output; otherwise it speaks by itself."""


def find_engine(
    platform: str = sys.platform,
    which: Callable[[str], str | None] = shutil.which,
    voice: str = "",
) -> Engine | None:
    """The system's speech engine; None where there is none. `voice` as the engine names it."""
    chosen = ("-v", voice) if voice else ()
    if platform == "darwin" and which("say"):
        return Engine("say", ("say", *chosen, "-f", "-"), gives_wav=False)
    if platform == "win32" and (shell := which("powershell") or which("pwsh")):
        argv = (shell, "-NoProfile", "-NonInteractive", "-Command", _SAPI)
        return Engine("the system's voice", argv, gives_wav=False)
    for name in ("espeak-ng", "espeak"):
        if which(name):
            speed = ("-s", str(WORDS_PER_MINUTE))
            argv = (name, *chosen, *speed, "--stdin", "--stdout")
            return Engine(name, argv, gives_wav=True)
    return None


def speakable(text: str) -> str:
    """The words on one line, without what engines take for commands of their own."""
    plain = "".join(c if c.isprintable() else " " for c in text)
    return " ".join(plain.replace("[[", "[ [").replace("]]", "] ]").split())


def speak(engine: Engine, text: str) -> tuple[Outcome, bytes]:
    """Run the engine on these words: what became of it, and the sound if it gives any."""
    try:
        done = subprocess.run(
            list(engine.argv),
            input=speakable(text).encode(),
            capture_output=True,
            timeout=LONGEST_SPEECH_S,
            check=False,
        )
    except OSError as error:
        return Outcome(ok=False, note=f"{engine.name} could not be started ({error.strerror})"), b""
    except subprocess.TimeoutExpired:
        return Outcome(ok=False, note=f"{engine.name} did not end"), b""
    if done.returncode != 0 or (engine.gives_wav and not done.stdout):
        return Outcome(ok=False, note=f"{engine.name} broke off"), b""
    return SENT, done.stdout


class SpeechChannel:
    """Speaks reminders, one at a time."""

    name = "speech"

    def __init__(
        self,
        engine: Engine | None,
        play: Callable[[bytes], Outcome] = play,
        probe: Callable[[], Availability] = probe,
    ) -> None:
        """`engine` from `find_engine`; None: this machine can't speak, and says so."""
        self._engine = engine
        self._play = play
        self._probe = probe
        self._lock = threading.Lock()

    def available(self) -> Availability:
        """Whether there is an engine and something to hear it on."""
        if self._engine is None:
            return Availability(
                ok=False,
                sentence="Speech: no speech engine was found.",
                mend="On Linux install the package espeak-ng; other systems bring their own.",
            )
        if self._engine.gives_wav and not (sound := self._probe()).ok:
            return Availability(
                ok=False,
                sentence=f"Speech: {self._engine.name} is there, but no sound device to speak on.",
                mend=sound.mend,
            )
        return Availability(ok=True, sentence=f"Speech: {self._engine.name} speaks.")

    def send(self, reminder: Reminder) -> Outcome:
        """Speak it and wait for the end."""
        if self._engine is None:
            return Outcome(ok=False, note="no speech engine")
        with self._lock:
            outcome, wav = speak(self._engine, reminder.speech_text)
            if outcome.ok and self._engine.gives_wav:
                return self._play(wav)
            return outcome
