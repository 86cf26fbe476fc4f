"""The way from a reminder to the sound system, recorded behind it and measured; and the check-up
on a machine that has everything.

Outside check: ALSA's own `file` plug-in stands in for a loudspeaker and hands on, sample by
sample, what was played; SoX measures it.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from benchmate.remind.channels.base import SENT
from benchmate.remind.channels.playing import probe
from benchmate.remind.channels.sound import SoundChannel
from benchmate.remind.channels.speech import SpeechChannel, find_engine
from benchmate.remind.rules.settings import RemindSettings
from tests.needs import ALL, needs
from tests.reference.session_bus import in_session
from tests.remind_help import after, due, edge

SECONDS = 6
LOUDSPEAKER = """
pcm.!default {{
    type file
    slave.pcm {{ type null }}
    file "|sh -c 'head -c {octets} > {record}; cat > /dev/null'"
    format "raw"
}}
ctl.!default {{ type null }}
"""
(CLOSING,) = due([edge()], [], RemindSettings(), after(32))


@pytest.fixture
def loudspeaker(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A sound device that records the first seconds of what is played on it."""
    record = tmp_path / "record.raw"
    config = tmp_path / "asound.conf"
    config.write_text(LOUDSPEAKER.format(octets=SECONDS * 2 * 44_100, record=record))
    monkeypatch.setenv("ALSA_CONFIG_PATH", str(config))
    if not probe().ok and not ALL:
        pytest.skip("this machine lacks ALSA's file plug-in")
    return record


def measured(record: Path, rate: int, seconds: float) -> dict[str, float]:
    """Pitch and peak of the first seconds that sound, as SoX measures them."""
    give_up = time.monotonic() + 20
    while not record.exists() or record.stat().st_size < 2 * rate * seconds:
        assert time.monotonic() < give_up
        time.sleep(0.02)
    report = subprocess.run(
        [
            "sox",
            "-t",
            "raw",
            "-e",
            "signed",
            "-b",
            "16",
            "-c",
            "1",
            "-r",
            str(rate),
            str(record),
            "-n",
            "silence",
            "1",
            "0.001",
            "0.1%",
            "trim",
            "0",
            str(seconds),
            "stat",
        ],
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    found = re.findall(r"^(.*?\S):\s+(-?[\d.]+)$", report, re.MULTILINE)
    return {" ".join(name.split()): float(value) for name, value in found}


@needs("sox")
def test_a_tone_reaches_the_loudspeaker_with_its_pitch_and_level(loudspeaker: Path) -> None:
    channel = SoundChannel(volume=1.0)
    assert channel.available().ok
    assert channel.send(CLOSING) == SENT
    heard = measured(loudspeaker, 44_100, 0.09)
    assert heard["Rough frequency"] == pytest.approx(988, rel=0.02)
    assert heard["Maximum amplitude"] == pytest.approx(0.5, abs=0.01)


@needs("sox", "espeak-ng")
def test_words_reach_the_loudspeaker(loudspeaker: Path) -> None:
    channel = SpeechChannel(find_engine())
    assert channel.available().ok
    assert channel.send(CLOSING) == SENT
    heard = measured(loudspeaker, 22_050, 3.0)
    assert heard["RMS amplitude"] > 0.01


def test_a_machine_without_a_sound_device_says_so_and_keeps_the_screen_clean(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """The sound system's complaints go to file descriptor 2, where a screen may be."""
    config = tmp_path / "asound.conf"
    config.write_text("pcm.!default { type hw card 31 }\n")
    for name in ("PULSE_SERVER", "PIPEWIRE_REMOTE", "PULSE_RUNTIME_PATH"):
        monkeypatch.setenv(name, "/no/such/server")
    monkeypatch.setenv("ALSA_CONFIG_PATH", str(config))
    channel = SoundChannel()
    if channel.available().ok:
        pytest.skip("this machine's sound can't be hidden")
    assert "no sound device" in channel.available().sentence
    outcome = channel.send(CLOSING)
    assert not outcome.ok
    assert outcome.note == "no sound device"
    assert capfd.readouterr() == ("", "")


@pytest.fixture
def service() -> Iterator[str]:
    """A push service's address."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            self.rfile.read(int(self.headers["Content-Length"]))
            self.send_response(200)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True).start()
    yield f"json://127.0.0.1:{server.server_address[1]}/"
    server.shutdown()
    server.server_close()


CHECKUP = """
    import os, pathlib, sys
    from benchmate.remind.channels.command import CommandChannel
    from benchmate.remind.channels.message import MessageChannel
    from benchmate.remind.channels.sound import SoundChannel
    from benchmate.remind.channels.speech import SpeechChannel, find_engine
    from benchmate.remind.channels.terminal import TerminalChannel
    from benchmate.remind.checkup import check_clock, check_terminal, checkup, exit_code, lines_of
    channels = [
        TerminalChannel(lambda reminder: None), SoundChannel(), SpeechChannel(find_engine()),
        DesktopChannel(), MessageChannel({address!r}), CommandChannel({command!r}),
    ]
    found = checkup(
        channels,
        {{"data": pathlib.Path({folder!r})}},
        check_terminal({{"TERM": "xterm-256color"}}, (80, 24), "utf-8", is_terminal=True),
        check_clock(2026, "Europe/London", through_sleep=True),
        aloud=True,
    )
    print(json.dumps([exit_code(found), lines_of(found)]))
    """


@needs("dbus-run-session", "espeak-ng")
def test_the_checkup_on_a_machine_with_everything(
    loudspeaker: Path, service: str, tmp_path: Path
) -> None:
    code = CHECKUP.format(
        address=service,
        command=[sys.executable, "-c", "import sys; sys.stdin.read()"],
        folder=str(tmp_path / "data"),
    )
    (code_said, lines), _ = in_session(code, tmp_path / "told")
    assert code_said == 0, lines
    assert sum("Trial sent" in line for line in lines) == 6
    assert not [line for line in lines if line.startswith("MISSING")]


def test_the_checkup_on_a_bare_machine(tmp_path: Path) -> None:
    """No sound, no bus, no engine, nothing set: told what is missing, never broken."""
    config = tmp_path / "asound.conf"
    config.write_text("")
    code = """
import json, pathlib, sys
from benchmate.remind.channels.desktop import DesktopChannel
from benchmate.remind.channels.sound import SoundChannel
from benchmate.remind.channels.speech import SpeechChannel, find_engine
from benchmate.remind.channels.terminal import TerminalChannel
from benchmate.remind.checkup import checkup, exit_code, lines_of
channels = [TerminalChannel(None), SoundChannel(), SpeechChannel(find_engine()), DesktopChannel()]
found = checkup(channels, {"data": pathlib.Path(sys.argv[1])}, aloud=True)
print(json.dumps([exit_code(found), lines_of(found)]))
"""
    bare = {
        "PATH": str(tmp_path),
        "HOME": str(tmp_path),
        "PYTHONPATH": str(Path(__file__).parents[2]),
        "ALSA_CONFIG_PATH": str(config),
        "DBUS_SESSION_BUS_ADDRESS": "unix:path=/no/such/bus",
        "XDG_RUNTIME_DIR": str(tmp_path),
        "PULSE_SERVER": "/no/such/server",
    }
    if os.name != "posix" or sys.platform == "darwin":
        pytest.skip("this machine can't be made bare")
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "data")],
        env=bare,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    code_said, lines = json.loads(done.stdout)
    assert code_said == 2, lines
    missing = [line for line in lines if line.startswith("MISSING")]
    assert len(missing) == 3
    assert sum(line.strip().startswith("mend:") for line in lines) == 3
    assert done.stderr == ""
