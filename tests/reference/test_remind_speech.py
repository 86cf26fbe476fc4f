"""Speech, made into a file by the system's engine and measured by SoX: long enough, not silent."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.channels.player import read_wav
from benchmate.remind.channels.speech import SpeechChannel, find_engine, speak
from benchmate.remind.channels.tones import as_wav
from benchmate.remind.rules.settings import RemindSettings
from tests.needs import needs
from tests.remind_help import after, due, edge

HEARD = Availability(ok=True, sentence="Sound: tones go to a file.")


def measured(wav: bytes, folder: Path) -> tuple[float, float]:
    """Length in seconds and loudness (RMS, in dB under full scale), as SoX measures them."""
    rate, channels, samples = read_wav(wav)
    file = folder / "speech.wav"
    subprocess.run(
        [
            "sox",
            "-t",
            "raw",
            "-e",
            "signed",
            "-b",
            "16",
            "-r",
            str(rate),
            "-c",
            str(channels),
            "-",
            str(file),
        ],
        input=samples,
        check=True,
    )
    report = subprocess.run(
        ["sox", str(file), "-n", "stats"], capture_output=True, text=True, check=True
    ).stderr
    level = re.search(r"RMS lev dB\s+(-?[\d.]+|-inf)", report)
    length = re.search(r"Length s\s+([\d.]+)", report)
    assert level
    assert length
    return float(length[1]), float(level[1])


@needs("espeak-ng", "sox")
@pytest.mark.parametrize(
    ("words", "at_least_s", "at_most_s"),
    [
        pytest.param("Bookend B, mix two: eight minutes of pot life left.", 2.0, 7.0, id="warning"),
        pytest.param("Open now.", 0.4, 2.0, id="short"),
        pytest.param("-w /etc/passwd --help", 0.5, 5.0, id="looks like options"),
        pytest.param("Walnut, naïve café: 20 °C ± ½", 1.0, 8.0, id="signs"),
    ],
)
def test_the_engine_speaks_every_word_aloud(
    words: str, at_least_s: float, at_most_s: float, tmp_path: Path
) -> None:
    """About two and a half words a second, as anybody who reads aloud can count."""
    engine = find_engine()
    assert engine is not None
    outcome, wav = speak(engine, words)
    assert outcome == SENT
    length_s, loudness_db = measured(wav, tmp_path)
    assert at_least_s < length_s < at_most_s
    assert loudness_db > -40


@needs("espeak-ng", "sox")
def test_more_words_take_longer(tmp_path: Path) -> None:
    engine = find_engine()
    assert engine is not None
    lengths = [
        measured(speak(engine, "clamps may come off " * n)[1], tmp_path)[0] for n in (1, 2, 4)
    ]
    assert lengths[0] < lengths[1] < lengths[2]


@needs("sox")
def test_silence_would_be_noticed(tmp_path: Path) -> None:
    from array import array

    _, loudness_db = measured(as_wav(array("h", bytes(88_200))), tmp_path)
    assert loudness_db < -90


@needs("espeak-ng", "sox")
def test_a_reminder_is_spoken_through_the_channel(tmp_path: Path) -> None:
    played: list[bytes] = []

    def play(wav: bytes) -> Outcome:
        played.append(wav)
        return SENT

    channel = SpeechChannel(find_engine(), play=play, probe=lambda: HEARD)
    assert channel.available().ok
    (reminder,) = due([edge()], [], RemindSettings(), after(32))
    assert channel.send(reminder) == SENT
    length_s, loudness_db = measured(played[0], tmp_path)
    assert length_s > 3
    assert loudness_db > -40
