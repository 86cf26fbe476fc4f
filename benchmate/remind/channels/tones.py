"""Tones made by the program, one pattern for each stage, so that the ear knows before the eye.

Pure sine notes between 440 and 1320 Hz: within the 500 to 2500 Hz where ISO 7731 wants a danger
signal's energy (from memory) for all that shout, and low enough for ears that have met a
planer. What is urgent is quick and many-noted; what can wait is slow; what is lost falls.
"""

from __future__ import annotations

import io
import math
import wave
from array import array
from collections.abc import Sequence
from typing import NamedTuple

from benchmate.remind.rules.edges import Stage

RATE_HZ = 44_100
FULL_SCALE = 32_767
PEAK = 0.5
"""Of full scale at volume 1: 6 dB below clipping."""
FADE_S = 0.008
"""Rise and fall of a note: without them each note begins and ends with a click."""


class Note(NamedTuple):
    """A tone of one pitch, and the silence after it."""

    hz: float
    lasts_s: float
    rest_s: float = 0.04


PATTERNS: dict[Stage, tuple[Note, ...]] = {
    Stage.SOON: (Note(660.0, 0.35),),
    Stage.OPENS: (Note(660.0, 0.20), Note(880.0, 0.40)),
    Stage.FULL: (Note(660.0, 0.16), Note(880.0, 0.16), Note(1320.0, 0.50)),
    Stage.WEIGH: (Note(784.0, 0.18, 0.12), Note(784.0, 0.30)),
    Stage.CLOSING: (Note(988.0, 0.10, 0.06),) * 6,
    Stage.MISSED: (Note(880.0, 0.25), Note(660.0, 0.25), Note(440.0, 0.70)) * 2,
}

POURING: dict[int, tuple[Note, ...]] = {
    1: (Note(880.0, 0.10),),
    2: (Note(1320.0, 0.12, 0.06),) * 2,
}
"""Beside a pour: 1 when a tenth is left, 2 when nothing is."""


def length_s(stage: Stage) -> float:
    """How long a stage's tone lasts, its rests included."""
    return sum(note.lasts_s + note.rest_s for note in PATTERNS[stage])


def render_tone(stage: Stage, volume: float = 1.0, rate_hz: int = RATE_HZ) -> array[int]:
    """A stage's tone as 16-bit mono samples. `volume` from 0 (silent) to 1 (half of full scale)."""
    return render(PATTERNS[stage], volume, rate_hz)


def render(notes: Sequence[Note], volume: float = 1.0, rate_hz: int = RATE_HZ) -> array[int]:
    """Notes after one another, as `render_tone`."""
    samples = array("h")
    for note in notes:
        samples.extend(_note(note, PEAK * max(0.0, min(volume, 1.0)), rate_hz))
    return samples


def _note(note: Note, peak: float, rate_hz: int) -> array[int]:
    count, rest = round(note.lasts_s * rate_hz), round(note.rest_s * rate_hz)
    fade = max(1, round(FADE_S * rate_hz))
    turn = 2 * math.pi * note.hz / rate_hz
    level = peak * FULL_SCALE
    samples = array("h", bytes(2 * (count + rest)))
    for n in range(count):
        edge = min(n, count - 1 - n)
        swell = 1.0 if edge >= fade else 0.5 - 0.5 * math.cos(math.pi * edge / fade)
        samples[n] = round(level * swell * math.sin(turn * n))
    return samples


def as_wav(samples: array[int], rate_hz: int = RATE_HZ) -> bytes:
    """Mono samples as the bytes of a WAV file."""
    buffer = io.BytesIO()
    with wave.open(buffer, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate_hz)
        file.writeframes(samples.tobytes())
    return buffer.getvalue()
