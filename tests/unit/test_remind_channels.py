"""Sound, speech, the screen and a command of the maker's own: what they do and what they say."""

from __future__ import annotations

import json
import sys
import threading
import time
import wave
from io import BytesIO
from pathlib import Path

import pytest

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.channels.command import CommandChannel
from benchmate.remind.channels.desktop import DesktopChannel
from benchmate.remind.channels.player import NO_DEVICE, NO_LIBRARY, read_wav
from benchmate.remind.channels.playing import play, probe
from benchmate.remind.channels.sound import SoundChannel
from benchmate.remind.channels.speech import Engine, SpeechChannel, find_engine, speak, speakable
from benchmate.remind.channels.terminal import TerminalChannel
from benchmate.remind.channels.tones import as_wav, render_tone
from benchmate.remind.rules.edges import Reminder, Stage
from benchmate.remind.rules.settings import RemindSettings
from tests.remind_help import after, due, edge

THERE = Availability(ok=True, sentence="Sound: tones go to ALSA.")
NOT_THERE = Availability(ok=False, sentence="Sound: none.", mend="Plug one in.")
(CLOSING,) = due(
    [edge(action="Pour what is left; don't heat it.")], [], RemindSettings(), after(32)
)


def python(code: str) -> tuple[str, ...]:
    """A command that runs a little Python."""
    return (sys.executable, "-c", code)


class TestSound:
    def test_it_plays_the_stages_tone_at_the_set_volume(self) -> None:
        played: list[bytes] = []
        channel = SoundChannel(0.3, play=lambda wav: (played.append(wav), SENT)[1])
        assert channel.send(CLOSING) == SENT
        assert played == [as_wav(render_tone(Stage.CLOSING, 0.3))]

    def test_without_a_device_it_rings_the_bell_and_says_so(self) -> None:
        rung: list[bool] = []
        silent = Outcome(ok=False, note="no sound device")
        channel = SoundChannel(
            bell=lambda: rung.append(True), play=lambda wav: silent, probe=lambda: NOT_THERE
        )
        outcome = channel.send(CLOSING)
        assert outcome.ok
        assert outcome.note == "no sound device: rang the terminal's bell instead"
        assert rung == [True]
        assert channel.available().ok
        assert "bell rings instead" in channel.available().sentence

    def test_without_device_and_bell_it_fails_and_says_so(self) -> None:
        silent = Outcome(ok=False, note="no sound device")
        channel = SoundChannel(play=lambda wav: silent, probe=lambda: NOT_THERE)
        assert channel.send(CLOSING) == silent
        assert channel.available() == NOT_THERE

    @pytest.mark.parametrize(
        ("code", "note"),
        [
            ("import sys; sys.stdin.buffer.read()", ""),
            (f"raise SystemExit({NO_DEVICE})", "no sound device"),
            (f"raise SystemExit({NO_LIBRARY})", "no sound library"),
            ("import os; os.abort()", "the player broke off"),
        ],
        ids=["plays", "no device", "no library", "crashes"],
    )
    def test_the_player_may_fail_in_every_way_without_harm(self, code: str, note: str) -> None:
        outcome = play(b"RIFF", python(code))
        assert (outcome.ok, outcome.note) == (not note, note)

    @pytest.mark.parametrize(
        ("code", "ok", "words"),
        [
            ("print('ALSA')", True, "tones go to ALSA"),
            (f"raise SystemExit({NO_DEVICE})", False, "no sound device"),
            (f"raise SystemExit({NO_LIBRARY})", False, "miniaudio"),
        ],
        ids=["there", "no device", "no library"],
    )
    def test_the_probe_says_what_there_is(self, code: str, words: str, *, ok: bool) -> None:
        found = probe(python(code))
        assert found.ok is ok
        assert words in found.sentence
        assert bool(found.mend) is not ok

    def test_a_player_that_isnt_there_is_a_failure(self) -> None:
        assert not play(b"", ("/no/such/player",)).ok
        assert not probe(("/no/such/player",)).ok

    def test_the_player_reads_a_stream_whose_header_lies_about_its_length(self) -> None:
        tone = render_tone(Stage.SOON)
        whole = bytearray(as_wav(tone))
        whole[40:44] = (0x7FFFF000).to_bytes(4, "little")
        whole[4:8] = (0x7FFFF024).to_bytes(4, "little")
        assert read_wav(bytes(whole)) == (44_100, 1, tone.tobytes())

    def test_the_player_refuses_other_than_16_bits(self) -> None:
        buffer = BytesIO()
        with wave.open(buffer, "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(1)
            file.setframerate(8000)
            file.writeframes(b"\x80" * 10)
        with pytest.raises(OSError, match="16-bit"):
            read_wav(buffer.getvalue())


class TestSpeech:
    @pytest.mark.parametrize(
        ("platform", "programs", "name", "gives_wav"),
        [
            ("linux", {"espeak-ng", "espeak"}, "espeak-ng", True),
            ("linux", {"espeak"}, "espeak", True),
            ("darwin", {"say", "espeak-ng"}, "say", False),
            ("win32", {"powershell"}, "the system's voice", False),
        ],
    )
    def test_the_systems_engine_is_found(
        self, platform: str, programs: set[str], name: str, *, gives_wav: bool
    ) -> None:
        engine = find_engine(platform, lambda p: p if p in programs else None)
        assert engine is not None
        assert (engine.name, engine.gives_wav) == (name, gives_wav)

    def test_no_engine_is_said_plainly(self) -> None:
        assert find_engine("linux", lambda p: None) is None
        channel = SpeechChannel(None)
        assert not channel.available().ok
        assert "espeak-ng" in channel.available().mend
        assert not channel.send(CLOSING).ok

    def test_the_words_never_become_an_argument(self) -> None:
        engine = Engine("echo", python("import sys; print(sys.argv, sys.stdin.read())"), True)
        outcome, said = speak(engine, '-w /tmp/x "; rm -rf $HOME')
        assert outcome.ok
        assert said.decode().startswith("['-c'] -w /tmp/x")

    def test_commands_to_the_engine_inside_the_words_are_taken_apart(self) -> None:
        assert speakable("a [[slnc 900]]\nb\x1b[2J") == "a [ [slnc 900] ] b [2J"

    def test_what_the_engine_makes_is_played(self) -> None:
        played: list[bytes] = []
        engine = Engine("e", python("import sys; print('WAV', sys.stdin.read(), end='')"), True)
        channel = SpeechChannel(
            engine, play=lambda wav: (played.append(wav), SENT)[1], probe=lambda: THERE
        )
        assert channel.available().ok
        assert channel.send(CLOSING) == SENT
        assert played[0].startswith(b"WAV Bookend B, mix 2, pot life: eight minutes left")

    @pytest.mark.parametrize(
        ("engine", "note"),
        [
            (Engine("e", ("/no/such/engine",), True), "could not be started"),
            (Engine("e", python("raise SystemExit(1)"), True), "broke off"),
            (Engine("e", python("pass"), True), "broke off"),
        ],
        ids=["not there", "fails", "silent"],
    )
    def test_an_engine_that_fails_is_a_failure(self, engine: Engine, note: str) -> None:
        outcome = SpeechChannel(engine, play=lambda wav: SENT).send(CLOSING)
        assert not outcome.ok
        assert note in outcome.note

    def test_an_engine_without_loudspeaker_is_no_use_and_says_so(self) -> None:
        found = SpeechChannel(Engine("e", ("e",), True), probe=lambda: NOT_THERE).available()
        assert not found.ok
        assert "no sound device" in found.sentence


class TestCommand:
    def test_it_gets_the_text_and_the_facts_and_nothing_is_expanded(self, tmp_path: Path) -> None:
        told = tmp_path / "told"
        code = (
            "import sys, os, json; json.dump([sys.argv[1:], sys.stdin.read(), {k: v for k, v in "
            f"os.environ.items() if k.startswith('BENCHMATE_')}}], open({str(told)!r}, 'w'))"
        )
        channel = CommandChannel([*python(code), "$HOME; `id`", "*"])
        assert channel.send(CLOSING) == SENT
        argv, text, facts = json.loads(told.read_text())
        assert argv == ["$HOME; `id`", "*"]
        assert text == facts["BENCHMATE_TEXT"] == CLOSING.text
        assert facts["BENCHMATE_STAGE"] == "closing"
        assert facts["BENCHMATE_LABEL"] == "bookend B, mix 2, pot life"
        assert (facts["BENCHMATE_URGENT"], facts["BENCHMATE_AGAIN"]) == ("yes", "no")

    @pytest.mark.parametrize(
        ("argv", "note"),
        [
            (python("raise SystemExit(7)"), "ended with 7"),
            (("/no/such/lamp", "--key=SECRET"), "lamp could not be started"),
            ((), "could not be started"),
            (("a\0b",), "could not be started"),
        ],
        ids=["fails", "not there", "empty", "impossible name"],
    )
    def test_a_command_that_fails_is_a_failure_without_its_secrets(
        self, argv: tuple[str, ...], note: str
    ) -> None:
        outcome = CommandChannel(argv).send(CLOSING)
        assert not outcome.ok
        assert note in outcome.note
        assert "SECRET" not in outcome.note

    def test_a_command_that_overruns_is_ended_with_its_children(self, tmp_path: Path) -> None:
        alive = tmp_path / "alive"
        child = f"import time, pathlib; time.sleep(1); pathlib.Path({str(alive)!r}).touch()"
        code = f"import subprocess, sys; subprocess.run([sys.executable, '-c', {child!r}])"
        outcome = CommandChannel(python(code), timeout_s=0.3).send(CLOSING)
        assert "took over 0.3 s" in outcome.note
        time.sleep(1.0)
        assert not alive.exists()

    def test_whether_it_can_be_run_is_known_before(self) -> None:
        assert CommandChannel([sys.executable]).available().ok
        missing = CommandChannel(["/no/such/lamp"]).available()
        assert not missing.ok
        assert "executable" in missing.mend


def test_the_screen_shows_what_it_is_given() -> None:
    shown: list[Reminder] = []
    assert TerminalChannel(shown.append).send(CLOSING) == SENT
    assert shown == [CLOSING]
    assert TerminalChannel(shown.append).available().ok


def test_without_a_screen_the_terminal_is_no_channel() -> None:
    channel = TerminalChannel(None)
    assert not channel.available().ok
    assert not channel.send(CLOSING).ok


def test_a_machine_without_a_desktop_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/no/such/bus")
    before = threading.active_count()
    channel = DesktopChannel(timeout_s=5.0)
    found = channel.available()
    assert not found.ok
    assert "no notification service" in found.sentence
    assert not channel.send(CLOSING).ok
    channel.close()
    assert threading.active_count() <= before + 1, "no thread is left waiting for a desktop"


def test_a_lamp_is_told_the_gravest_stage_and_when_it_ends(tmp_path: Path) -> None:
    script, told = tmp_path / "lamp", tmp_path / "lamp.told"
    script.write_text(f'#!/bin/sh\nread -r text\necho "$BENCHMATE_STATE|$text" >> {told}\n')
    script.chmod(0o700)
    lamp = CommandChannel([str(script)])
    (closing,) = due([edge()], [], RemindSettings(), after(29))
    lamp.stand(())
    assert lamp.send(closing).ok
    lamp.stand((closing,))
    lamp.stand((closing,))
    lamp.stand(())
    states = [row.partition("|")[0] for row in told.read_text().splitlines()]
    assert states == ["none", "closing", "none"]
    assert told.read_text().splitlines()[2] == "none|"
