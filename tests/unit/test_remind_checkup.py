"""The check-up says plainly what works, how to mend what doesn't, and ends with a code for it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchmate.remind.channels.base import Availability, Outcome
from benchmate.remind.channels.terminal import TerminalChannel
from benchmate.remind.checkup import (
    ALL_WELL,
    NOT_REACHED,
    TO_MEND,
    Finding,
    check_channel,
    check_clock,
    check_folder,
    check_terminal,
    checkup,
    exit_code,
    lines_of,
    verdict,
)
from tests.remind_help import FakeChannel

GOOD_CLOCK = check_clock(2026, "Europe/London", through_sleep=True)
GOOD_TERMINAL = check_terminal(
    {"TERM": "xterm-256color", "COLORTERM": "truecolor"}, (120, 40), "utf-8", is_terminal=True
)


class Missing(FakeChannel):
    """A channel this machine hasn't got."""

    def available(self) -> Availability:
        return Availability(ok=False, sentence=f"{self.name}: not there.", mend="Get one.")


class Broken(FakeChannel):
    def available(self) -> Availability:
        raise RuntimeError("hunter2")


def test_with_everything_all_is_well(tmp_path: Path) -> None:
    channels = [FakeChannel("sound"), FakeChannel("speech"), FakeChannel("message:1")]
    found = checkup(channels, {"data": tmp_path / "data"}, GOOD_TERMINAL, GOOD_CLOCK, aloud=True)
    assert exit_code(found) == ALL_WELL
    assert not [f for f in found if not f.ok]
    assert [len(c.given) for c in channels] == [1, 1, 1]
    assert "only a trial" in channels[0].given[0].text


def test_on_a_bare_machine_nobody_can_be_reached_and_every_line_says_how_to_mend_it(
    tmp_path: Path,
) -> None:
    channels = [Missing("sound"), Missing("speech"), Missing("desktop")]
    found = checkup(channels, {"data": tmp_path}, [], GOOD_CLOCK)
    assert exit_code(found) == NOT_REACHED
    lines = lines_of(found)
    assert sum(line.startswith("MISSING") for line in lines) == 3
    assert sum("mend: Get one." in line for line in lines) == 3


@pytest.mark.parametrize(
    ("findings", "code"),
    [
        ([Finding("sound", True, ""), Finding("speech", False, "")], TO_MEND),
        ([Finding("message:1", True, "")], ALL_WELL),
        ([Finding("terminal", True, "")], NOT_REACHED),
        ([Finding("sound", True, ""), Finding("data", False, "", vital=True)], NOT_REACHED),
        ([Finding("sound", True, ""), Finding("size", False, "")], TO_MEND),
        ([], NOT_REACHED),
    ],
    ids=["part", "phone only", "screen only", "no folder", "small screen", "nothing"],
)
def test_the_exit_code_says_how_bad_it_is(findings: list[Finding], code: int) -> None:
    assert exit_code(findings) == code


@pytest.mark.parametrize(
    ("findings", "said"),
    [
        ([Finding("sound", True, "")], "All that is set up works."),
        (
            [
                Finding("sound", True, ""),
                Finding("message:2", True, ""),
                Finding("speech", False, ""),
            ],
            "Reminders reach you by sound, message; 1 thing is to mend.",
        ),
        ([Finding("terminal", True, "")], "No reminder reaches you away from an open bench"),
        (
            [Finding("sound", True, ""), Finding("journal", False, "", vital=True)],
            "No reminder can be relied on before this is mended: journal.",
        ),
    ],
    ids=["all", "part", "screen only", "no journal"],
)
def test_it_all_comes_to_a_sentence(findings: list[Finding], said: str) -> None:
    assert verdict(findings).startswith(said)


def test_what_is_not_set_up_is_named_once_and_is_no_fault(tmp_path: Path) -> None:
    def unset(*channels: FakeChannel, off: tuple[str, ...] = ()) -> list[str]:
        found = checkup(channels, {}, switched_off=off, set_where="settings.toml")
        assert all(f.ok for f in found)
        return [f.subject for f in found if f.subject.startswith("unset:")]

    assert unset(FakeChannel("sound")) == ["unset:message", "unset:command"]
    assert unset(FakeChannel("message:1"), off=("command",)) == []


def test_only_aloud_is_anything_sent() -> None:
    channel = FakeChannel("sound")
    assert check_channel(channel, aloud=False).ok
    assert channel.given == []


def test_a_trial_that_fails_is_said_with_its_reason() -> None:
    channel = FakeChannel("sound", lambda r: Outcome(ok=False, note="no sound device"))
    found = check_channel(channel, aloud=True)
    assert not found.ok
    assert "no sound device" in found.sentence


def test_a_trial_that_fell_back_says_so() -> None:
    channel = FakeChannel("sound", lambda r: Outcome(ok=True, note="rang the bell"))
    assert "Trial sent (rang the bell)." in check_channel(channel, aloud=True).sentence


def test_a_channel_that_breaks_is_a_finding_without_its_secrets() -> None:
    found = check_channel(Broken("message:1"), aloud=True)
    assert not found.ok
    assert "RuntimeError" in found.sentence
    assert "hunter2" not in found.sentence


def test_that_no_bench_is_open_is_no_fault_but_a_screen_alone_is_not_enough() -> None:
    found = check_channel(TerminalChannel(None), aloud=True)
    assert found.ok
    assert exit_code([found]) == NOT_REACHED


def test_what_is_switched_off_is_named_not_tried_and_no_fault() -> None:
    channels = [Broken("speech"), FakeChannel("sound")]
    found = checkup(channels, {}, switched_off={"speech"}, aloud=True)
    assert all(f.ok for f in found)
    assert "switched off" in found[0].sentence
    assert channels[0].given == []
    assert exit_code(found) == ALL_WELL


def test_what_is_switched_off_reaches_nobody() -> None:
    assert exit_code(checkup([FakeChannel("sound")], {}, switched_off={"sound"})) == NOT_REACHED


class TestFolders:
    def test_a_folder_that_can_be_written_is_left_as_it_was(self, tmp_path: Path) -> None:
        folder = tmp_path / "new"
        assert check_folder("data", folder).ok
        assert list(folder.iterdir()) == []
        assert folder.stat().st_mode & 0o777 == 0o700

    def test_a_folder_that_cant_be_made_is_said_with_the_reason(self, tmp_path: Path) -> None:
        (tmp_path / "file").touch()
        found = check_folder("data", tmp_path / "file" / "folder")
        assert not found.ok
        assert found.vital
        assert "BENCHMATE_HOME" in found.mend

    @pytest.mark.skipif(os.name != "posix", reason="this machine lacks POSIX permissions")
    def test_a_folder_that_others_can_look_into_gets_a_hint(self, tmp_path: Path) -> None:
        tmp_path.chmod(0o755)
        found = check_folder("data", tmp_path)
        assert found.ok
        assert "chmod 700" in found.mend


class TestTerminal:
    @pytest.mark.parametrize(
        ("environment", "words"),
        [
            ({"TERM": "xterm", "COLORTERM": "truecolor"}, "all colours"),
            ({"TERM": "xterm-256color"}, "256 colours"),
            ({"TERM": "vt100"}, "a few colours"),
            ({"TERM": "xterm", "NO_COLOR": ""}, "switched off"),
        ],
    )
    def test_colours(self, environment: dict[str, str], words: str) -> None:
        found = check_terminal(environment, (80, 24), "utf-8", is_terminal=True)
        assert all(f.ok for f in found)
        assert words in found[1].sentence

    @pytest.mark.parametrize(
        ("environment", "size", "encoding", "subject"),
        [
            ({"TERM": "dumb"}, (80, 24), "utf-8", "colours"),
            ({}, (80, 24), "utf-8", "colours"),
            ({"TERM": "xterm"}, (79, 24), "utf-8", "size"),
            ({"TERM": "xterm"}, (80, 23), "utf-8", "size"),
            ({"TERM": "xterm"}, (80, 24), "ascii", "characters"),
        ],
    )
    def test_what_is_lacking_is_said_with_a_mend(
        self, environment: dict[str, str], size: tuple[int, int], encoding: str, subject: str
    ) -> None:
        found = check_terminal(environment, size, encoding, is_terminal=True)
        (bad,) = [f for f in found if not f.ok]
        assert bad.subject == subject
        assert bad.mend

    def test_a_pipe_is_no_terminal_and_no_fault(self) -> None:
        (found,) = check_terminal({}, (0, 0), "ascii", is_terminal=False)
        assert found.ok


class TestClock:
    def test_a_good_clock(self) -> None:
        assert all(f.ok and not f.mend for f in GOOD_CLOCK)

    @pytest.mark.parametrize(
        ("year", "zone", "through_sleep", "subject"),
        [
            (1970, "Europe/London", True, "wall clock"),
            (2026, None, True, "time zone"),
            (2026, "Europe/London", False, "running clock"),
        ],
    )
    def test_a_bad_clock_is_said_with_a_mend(
        self, year: int, zone: str | None, subject: str, *, through_sleep: bool
    ) -> None:
        found = check_clock(year, zone, through_sleep=through_sleep)
        (bad,) = [f for f in found if not f.ok]
        assert bad.subject == subject
        assert bad.mend

    def test_a_dead_clock_battery_is_not_to_be_relied_on(self) -> None:
        found = check_clock(1970, "Europe/London", through_sleep=True)
        assert exit_code([*found, Finding("sound", True, "")]) == NOT_REACHED
