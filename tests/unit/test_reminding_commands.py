"""`quiet`, `checkup`, `logbook calendar` and `mind` by command, and the page that names them."""

from __future__ import annotations

import errno
import io
import json
import os
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from icalendar import Calendar

from benchmate.bench import Bench
from benchmate.bench.reminding.reminding import channels_of
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.cli.group import COMMANDS
from benchmate.cli.record import checkup as checking
from benchmate.cli.shop.minding import Watch
from benchmate.clock import SetClock
from benchmate.journal import JournalError
from benchmate.remind.voice import OneVoice
from benchmate.settings import Settings, find_folders, load
from tests.minding_help import (
    DAY,
    HOUR,
    MIN,
    MIX,
    START,
    mark,
    open_bench,
    start_plan,
    zone,
)
from tests.unit.reminding_help import mixed, run

DOCS = Path(__file__).parents[2] / "docs" / "minding.md"


@pytest.fixture(autouse=True)
def _in_greenwich() -> Iterator[None]:
    with zone("Etc/UTC"):
        yield


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> SetClock:
    made = SetClock(START)
    monkeypatch.setattr(opening, "make_clock", lambda: made)
    return made


class TestQuiet:
    def test_it_acknowledges_what_stands(self, tmp_path: Path, clock: SetClock) -> None:
        mixed(tmp_path)
        clock.tick(20 * MIN)
        listed = run(tmp_path, "remind", "list").stdout
        assert listed.startswith("Until 09:30 (10 min): mix 1, pot life, then the mix gels.")
        assert run(tmp_path, "remind", "ok").stdout == "1 reminder OK'd.\n"
        assert "No reminders" in run(tmp_path, "remind", "list").stdout
        assert run(tmp_path, "remind", "ok").stdout == "No reminders waiting.\n"

    def test_it_can_ask_to_be_called_again(self, tmp_path: Path, clock: SetClock) -> None:
        mixed(tmp_path)
        clock.tick(20 * MIN)
        said = run(tmp_path, "remind", "later", "4 min").stdout
        assert said == "1 reminder will come again in 4 min.\n"
        assert "No reminders" in run(tmp_path, "remind", "list").stdout
        clock.tick(4 * MIN)
        assert "Until 09:30 (6 min)" in run(tmp_path, "remind", "list").stdout

    @pytest.mark.parametrize("text", ["0 min", "soon", "-5 min"])
    def test_a_time_that_is_none_is_refused_and_nothing_is_noted(
        self, tmp_path: Path, clock: SetClock, text: str
    ) -> None:
        mixed(tmp_path)
        clock.tick(20 * MIN)
        refused = run(tmp_path, "remind", "later", text)
        assert refused.exit_code == Exit.REFUSED
        assert refused.stderr.count("\n") == 1
        assert run(tmp_path, "remind", "list").stdout


class TestCalendar:
    def test_the_edges_to_come_are_written_and_rewritten(
        self, tmp_path: Path, clock: SetClock
    ) -> None:
        mixed(tmp_path)
        target = tmp_path / "edges.ics"
        said = run(tmp_path, "logbook", "calendar", str(target)).stdout
        assert said == f"1 reminder is saved in {target}.\n"
        (event,) = Calendar.from_ical(target.read_bytes()).walk("VEVENT")
        assert event.decoded("dtstart").isoformat() == "2026-11-26T09:22:00+00:00"
        assert str(event["summary"]) == "mix 1, pot life: the mix gels"
        assert len(event.walk("VALARM")) == 3
        clock.tick(20 * MIN)
        run(tmp_path, "logbook", "calendar", str(target))
        (again,) = Calendar.from_ical(target.read_bytes()).walk("VEVENT")
        assert (again["uid"], again["sequence"]) == (event["uid"], 0)

    def test_only_a_close_that_loses_something_rings_before_it(
        self, tmp_path: Path, clock: SetClock
    ) -> None:
        bench = open_bench(tmp_path, Settings())
        start_plan(bench)
        for address in (MIX, *(f"t/A/block/{s}" for s in ("pour#1", "pour#2", "cap#1"))):
            mark(bench, address)
        bench.close()
        target = tmp_path / "edges.ics"
        run(tmp_path, "logbook", "calendar", str(target))
        events = Calendar.from_ical(target.read_bytes()).walk("VEVENT")
        assert [(str(e["summary"]), len(e.walk("VALARM"))) for e in events] == [
            ("mix 1, pot life: the mix gels", 3),
            ("bookend A, cure: opens", 1),
        ]
        assert "Spread the glue." in str(events[1]["description"])

    def test_a_summary_is_not_said_again_as_its_description(
        self, tmp_path: Path, clock: SetClock
    ) -> None:
        bench = open_bench(tmp_path, Settings())
        start_clock(bench, find_material(bench, "yellow wood glue"), "clamped", name="jig")
        bench.close()
        run(tmp_path, "logbook", "calendar", str(tmp_path / "edges.ics"))
        events = Calendar.from_ical((tmp_path / "edges.ics").read_bytes()).walk("VEVENT")
        assert str(events[0]["summary"]) == "jig, clamp time: clamps may come off"
        assert "description" not in events[0]

    @pytest.mark.parametrize("there", ["no folder", "no calendar"])
    def test_what_cant_be_written_is_said_and_left_alone(
        self, tmp_path: Path, clock: SetClock, there: str
    ) -> None:
        mixed(tmp_path)
        target = tmp_path / ("gone/edges.ics" if there == "no folder" else "notes.txt")
        if there == "no calendar":
            target.write_text("shopping list")
        done = run(tmp_path, "logbook", "calendar", str(target))
        assert done.exit_code == Exit.REFUSED
        assert done.stderr.count("\n") == 1
        assert there == "no folder" or target.read_text() == "shopping list"


class TestCheckup:
    """What the machine itself has is left to the reference tests: they take real trials."""

    @pytest.fixture(autouse=True)
    def _no_trials(self, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
        found = channels_of if "switched_off" in request.node.name else lambda wanted: []
        monkeypatch.setattr(checking, "channels_of", found)
        monkeypatch.setattr(checking.KeepAwake, "trial", lambda self, wait_s: "a test")

    def test_the_folders_it_makes_are_for_their_owners_eyes(self, tmp_path: Path) -> None:
        run(tmp_path / "home", "checkup")
        folders = find_folders(tmp_path / "home")
        assert {f.stat().st_mode & 0o777 for f in (folders.data, folders.procedures)} == {0o700}
        assert not (folders.data / "journal.db").exists()

    def test_what_is_switched_off_is_no_fault(self, tmp_path: Path) -> None:
        (tmp_path / "settings.toml").write_text(
            '[reminders]\nchannels = ["terminal"]\naddresses = ["json://127.0.0.1:9/abc"]\n'
        )
        lines = run(tmp_path, "checkup").stdout.splitlines()
        off = [line for line in lines if "switched off in the settings" in line]
        assert [line[:7] for line in off] == ["not set"] * 4
        assert not [line for line in lines if line.startswith("MISSING  Sound")]

    def test_a_settings_file_that_cant_be_read_is_a_finding(self, tmp_path: Path) -> None:
        (tmp_path / "settings.toml").write_text("units = [")
        done = run(tmp_path, "checkup")
        assert "MISSING  Settings:" in done.stdout
        assert done.exit_code in (Exit.FOUND, Exit.MISSING)

    def test_a_folder_that_is_a_file_is_said_and_is_vital(self, tmp_path: Path) -> None:
        (tmp_path / "data").touch()
        done = run(tmp_path, "checkup")
        assert "MISSING  Folder for data" in done.stdout
        assert done.exit_code == Exit.MISSING

    def test_a_damaged_journal_is_said_and_is_vital(self, tmp_path: Path) -> None:
        mixed(tmp_path)
        (tmp_path / "data" / "journal.db").write_bytes(b"not a journal")
        done = run(tmp_path, "checkup")
        assert "MISSING  Logbook:" in done.stdout
        assert done.exit_code == Exit.MISSING

    def test_what_nobody_set_up_is_no_fault_but_said_with_where_it_is_set(
        self, tmp_path: Path
    ) -> None:
        out = run(tmp_path, "checkup").stdout
        assert "not set  Messages: no address is set" in out
        assert f'hint: Write addresses = ["…"] under [reminders] in {tmp_path}' in out

    def test_it_ends_with_what_it_all_comes_to(self, tmp_path: Path) -> None:
        last = run(tmp_path, "checkup").stdout.splitlines()[-1]
        assert last.startswith("No reminder reaches you away from an open bench")

    def test_it_says_the_time_and_the_quiet_hours(self, tmp_path: Path) -> None:
        out = run(tmp_path, "checkup").stdout
        assert "Quiet hours: 22:00 to 07:00" in out
        assert re.search(r"Clock: it is \w{3} \d+ \w{3} \d{4}, \d\d:\d\d by the wall clock", out)
        (tmp_path / "settings.toml").write_text('[reminders]\nquiet = ""\n')
        assert "Quiet hours: none are set." in run(tmp_path, "checkup").stdout

    def test_another_program_can_read_it(self, tmp_path: Path) -> None:
        done = run(tmp_path, "checkup", "--json")
        found = json.loads(done.stdout)
        assert found["code"] == done.exit_code == Exit.MISSING
        assert found["verdict"].startswith("No reminder reaches you")
        data = next(f for f in found["findings"] if f["subject"] == "data")
        assert data == {
            "subject": "data",
            "ok": True,
            "vital": True,
            "mend": "",
            "sentence": f"Folder for data: {tmp_path / 'data'} can be written.",
        }

    def test_one_that_has_the_word_and_was_stopped_is_a_fault(self, tmp_path: Path) -> None:
        path = tmp_path / "data" / "voice.lock"
        voice = OneVoice(path)
        assert voice.take()
        os.utime(path, (1_700_000_000, 1_700_000_000))
        out = run(tmp_path, "checkup").stdout
        assert f"MISSING  Reminders: Process {os.getpid()} has the word but has not stirred" in out
        assert "mend: Bring it back" in out

    def test_it_names_the_process_that_reminds(self, tmp_path: Path) -> None:
        voice = OneVoice(tmp_path / "data" / "voice.lock")
        assert voice.take()
        assert f"process {os.getpid()} is giving them" in run(tmp_path, "checkup").stdout
        voice.release()
        assert "nothing is giving them just now" in run(tmp_path, "checkup").stdout


class TestMind:
    @pytest.fixture
    def bench(self, tmp_path: Path, clock: SetClock) -> Iterator[Bench]:
        mixed(tmp_path)
        settings = '[reminders]\nchannels = ["terminal"]\n'
        (tmp_path / "settings.toml").write_text(settings)
        folders = find_folders(tmp_path)
        made = Bench.open(folders, load(folders)[0], clock=clock)
        yield made
        made.close()

    def test_it_says_first_what_passed_since_the_shop_was_minded(
        self, bench: Bench, clock: SetClock, capsys: pytest.CaptureFixture[str]
    ) -> None:
        clock.tick(HOUR)
        watch = Watch(bench)
        watch.start()
        watch.stop()
        first, second = capsys.readouterr().out.splitlines()[:2]
        assert first.endswith("While you were away (since 09:00):")
        assert "09:30 (30 min ago): mix 1, pot life: missed; it spoils the mix." in second

    def test_after_a_sleep_it_says_what_was_missed_meanwhile(
        self, bench: Bench, clock: SetClock, capsys: pytest.CaptureFixture[str]
    ) -> None:
        watch = Watch(bench)
        watch.look()
        capsys.readouterr()
        clock.tick(DAY)
        watch.look()
        out = capsys.readouterr().out.splitlines()
        assert "This machine slept for 1 d." in out[0]
        assert out[0].endswith("While you were away (since Thu 09:00):")
        assert "Thu 09:30 (23 h 30 ago)" in out[1]
        watch.look()
        assert "slept" not in capsys.readouterr().out

    def test_a_journal_that_refuses_is_said_once_and_ends_nothing(
        self, bench: Bench, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def refuse() -> bool:
            raise JournalError("The disk is full.")

        watch = Watch(bench)
        monkeypatch.setattr(bench, "refresh", refuse)
        watch.look()
        watch.look()
        assert capsys.readouterr().out.count("The disk is full.") == 1

    def test_a_terminal_that_is_gone_ends_no_reminding(
        self, bench: Bench, clock: SetClock, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        class Gone(io.StringIO):
            def write(self, _: str) -> int:
                raise OSError(errno.EIO, "Input/output error")

        watch = Watch(bench)
        watch.look()
        clock.tick(DAY)
        monkeypatch.setattr(sys, "stdout", Gone())
        watch.look()
        assert watch.looks == 2

    def test_it_runs_so_long_and_ends(self, tmp_path: Path) -> None:
        (tmp_path / "settings.toml").write_text('[reminders]\nchannels = ["terminal"]\n')
        done = run(tmp_path, "remind", "run", "--for", "1")
        assert done.exit_code == Exit.OK
        assert "This process gives the reminders." in done.stdout


def test_every_command_that_the_docs_name_is_there_and_the_unit_runs_one() -> None:
    text = DOCS.read_text()
    named = set(re.findall(r"`benchmate ([a-z]+)", text))
    assert named == {"remind", "logbook", "checkup"}
    assert named <= COMMANDS.keys()
    unit = text.partition("```ini\n")[2].partition("```")[0]
    assert re.search(r"^ExecStart=\S*/benchmate remind run$", unit, re.MULTILINE)
