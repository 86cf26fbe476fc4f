"""Playing a WAV through the small player process, and asking it whether there is a device."""

from __future__ import annotations

import subprocess
import sys

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.channels.player import NO_DEVICE, NO_LIBRARY

PLAYER = (sys.executable, "-m", "benchmate.remind.channels.player")
PROBE_S = 15.0
LONGEST_SOUND_S = 60.0

_NO_DEVICE = Availability(
    ok=False,
    sentence="Sound: this machine has no sound device that can be opened.",
    mend="Plug in or switch on a loudspeaker, and see that the system's own sounds are heard.",
)
_NO_LIBRARY = Availability(
    ok=False,
    sentence="Sound: the sound library (miniaudio) can't be loaded.",
    mend="Install benchmate again, so that all it needs is there.",
)


def probe(player: tuple[str, ...] = PLAYER) -> Availability:
    """Whether a tone could be played on this machine."""
    try:
        found = subprocess.run(
            [*player, "--probe"], capture_output=True, timeout=PROBE_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return _NO_DEVICE
    if found.returncode == 0:
        system = found.stdout.decode(errors="replace").strip()
        return Availability(ok=True, sentence=f"Sound: tones go to {system}.")
    return _NO_LIBRARY if found.returncode == NO_LIBRARY else _NO_DEVICE


def play(wav: bytes, player: tuple[str, ...] = PLAYER) -> Outcome:
    """Play a WAV and wait for its end."""
    try:
        done = subprocess.run(
            list(player), input=wav, capture_output=True, timeout=LONGEST_SOUND_S, check=False
        )
    except OSError as error:
        return Outcome(ok=False, note=f"the player could not be started ({error.strerror})")
    except subprocess.TimeoutExpired:
        return Outcome(ok=False, note="the sound device did not answer")
    if done.returncode == 0:
        return SENT
    missing = {NO_DEVICE: "no sound device", NO_LIBRARY: "no sound library"}
    return Outcome(ok=False, note=missing.get(done.returncode, "the player broke off"))
