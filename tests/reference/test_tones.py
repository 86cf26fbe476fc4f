"""The tones, recorded to a file and measured by tools that know nothing of this program.

Outside checks: SoX (`stat`, `stats`, `soxi`), a general sound tool, and scipy's FFT. Expected
pitches, lengths and levels are written here anew, from the description of the tones.
"""

from __future__ import annotations

import itertools
import math
import re
import subprocess
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.fft import rfft, rfftfreq
from scipy.io import wavfile

from benchmate.remind.channels.tones import as_wav, length_s, render_tone
from benchmate.remind.rules.edges import Stage
from tests.needs import needs

PEAK_DB = -6.02
"""Half of full scale."""
RMS_DB = -9.03
"""A sine's level lies 3.01 dB under its peak."""

# (pitch in Hz, begins after s, lasts s) of every note.
NOTES = {
    "soon": [(660, 0.00, 0.35)],
    "opens": [(660, 0.00, 0.20), (880, 0.24, 0.40)],
    "full": [(660, 0.00, 0.16), (880, 0.20, 0.16), (1320, 0.40, 0.50)],
    "weigh": [(784, 0.00, 0.18), (784, 0.30, 0.30)],
    "closing": [(988, 0.16 * n, 0.10) for n in range(6)],
    "missed": [
        (hz, 1.32 * n + begins, lasts)
        for n in range(2)
        for hz, begins, lasts in ((880, 0.0, 0.25), (660, 0.29, 0.25), (440, 0.58, 0.70))
    ],
}
LENGTHS = {
    "soon": 0.39,
    "opens": 0.68,
    "full": 0.94,
    "weigh": 0.64,
    "closing": 0.96,
    "missed": 2.64,
}
ALL_NOTES = [
    pytest.param(name, *note, id=f"{name} {n}")
    for name, notes in NOTES.items()
    for n, note in enumerate(notes)
]


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every stage's tone as a WAV file."""
    folder = tmp_path_factory.mktemp("tones")
    files = {}
    for stage in Stage:
        files[str(stage)] = folder / f"{stage}.wav"
        files[str(stage)].write_bytes(as_wav(render_tone(stage)))
    return files


def part(file: Path, begins_s: float, lasts_s: float) -> tuple[int, NDArray[np.float64]]:
    """A stretch of a recording, from -1 to 1."""
    rate, samples = wavfile.read(file)
    first, count = round(begins_s * rate), round(lasts_s * rate)
    return rate, samples[first : first + count] / 32768.0


def pitch_of(samples: NDArray[np.float64], rate: int) -> float:
    """The strongest frequency, by a padded FFT under a Hann window."""
    padded = 1 << 18
    spectrum = np.abs(rfft(samples * np.hanning(len(samples)), padded))
    return float(rfftfreq(padded, 1 / rate)[np.argmax(spectrum)])


@pytest.mark.parametrize(("name", "hz", "begins_s", "lasts_s"), ALL_NOTES)
def test_each_note_has_its_pitch_and_level(
    recorded: dict[str, Path], name: str, hz: float, begins_s: float, lasts_s: float
) -> None:
    rate, whole = part(recorded[name], begins_s, lasts_s)
    assert pitch_of(whole, rate) == pytest.approx(hz, abs=0.5)
    middle = whole[len(whole) // 4 : -len(whole) // 4]
    assert 20 * math.log10(np.max(np.abs(middle))) == pytest.approx(PEAK_DB, abs=0.05)
    assert 20 * math.log10(np.sqrt(np.mean(middle**2))) == pytest.approx(RMS_DB, abs=0.15)


@pytest.mark.parametrize("name", NOTES)
def test_each_tone_has_its_length_and_falls_silent_between_its_notes(
    recorded: dict[str, Path], name: str
) -> None:
    rate, samples = wavfile.read(recorded[name])
    assert len(samples) / rate == pytest.approx(LENGTHS[name], abs=0.001)
    assert length_s(Stage(name)) == pytest.approx(LENGTHS[name])
    sounding = np.zeros(len(samples), dtype=bool)
    for _, begins_s, lasts_s in NOTES[name]:
        sounding[round(begins_s * rate) : round((begins_s + lasts_s) * rate)] = True
    assert not samples[~sounding].any()


@pytest.mark.parametrize("name", NOTES)
def test_no_tone_clicks(recorded: dict[str, Path], name: str) -> None:
    """A click is energy far from the note: nothing above 4 kHz may come within 60 dB of it."""
    rate, samples = wavfile.read(recorded[name])
    spectrum = np.abs(rfft(samples / 32768.0))
    frequencies = rfftfreq(len(samples), 1 / rate)
    ratio = spectrum[frequencies > 4000].max() / spectrum.max()
    assert 20 * math.log10(ratio) < -60


def test_no_two_stages_sound_alike() -> None:
    """Two tones differ when their notes, or the times of their notes, do."""
    for one, other in itertools.combinations(NOTES.values(), 2):
        pitches = {hz for hz, _, _ in one} != {hz for hz, _, _ in other}
        counts = len(one) != len(other)
        assert pitches or counts


@pytest.mark.parametrize(
    ("volume", "level_db"), [(1.0, 0.0), (0.5, -6.02), (0.1, -20.0), (2.0, 0.0)]
)
def test_the_volume_sets_the_level(volume: float, level_db: float) -> None:
    loudest = max(abs(s) for s in render_tone(Stage.SOON, volume))
    full = max(abs(s) for s in render_tone(Stage.SOON, 1.0))
    assert 20 * math.log10(loudest / full) == pytest.approx(level_db, abs=0.05)


def test_at_volume_nought_there_is_silence() -> None:
    assert not any(render_tone(Stage.MISSED, 0.0))
    assert not any(render_tone(Stage.MISSED, -1.0))


def sox(*arguments: str) -> dict[str, float]:
    """What SoX says of a recording: its reports go to standard error, one value a line."""
    done = subprocess.run(["sox", *arguments], capture_output=True, text=True, check=True)
    found = re.findall(r"^(.*?\S)[:\s]\s+(-?[\d.]+)$", done.stderr, re.MULTILINE)
    return {" ".join(name.split()): float(value) for name, value in found}


@needs("sox")
@pytest.mark.parametrize(("name", "hz", "begins_s", "lasts_s"), ALL_NOTES)
def test_sox_hears_the_same_pitch_and_level(
    recorded: dict[str, Path], name: str, hz: float, begins_s: float, lasts_s: float
) -> None:
    middle = ("trim", str(begins_s + 0.02), str(lasts_s - 0.04))
    rough = sox(str(recorded[name]), "-n", *middle, "stat")
    assert rough["Rough frequency"] == pytest.approx(hz, rel=0.02)
    levels = sox(str(recorded[name]), "-n", *middle, "stats")
    assert levels["Pk lev dB"] == pytest.approx(PEAK_DB, abs=0.1)
    assert levels["RMS lev dB"] == pytest.approx(RMS_DB, abs=0.3)


@needs("sox")
@pytest.mark.parametrize("name", NOTES)
def test_sox_measures_the_same_length(recorded: dict[str, Path], name: str) -> None:
    measured = sox(str(recorded[name]), "-n", "stat")
    assert measured["Length (seconds)"] == pytest.approx(LENGTHS[name], abs=0.001)
