"""Reminders over a real bench: answering, pausing, the machine, what is remembered, the service."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.reminding.at_machine import LONGEST_S, is_at_machine, set_at_machine
from benchmate.bench.reminding.minding import Minding
from benchmate.bench.reminding.reminding import (
    answer,
    calendar_entries,
    edges_now,
    hush,
    log_of,
    settings_of,
    standing,
)
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.job.deciding import commands as cmd
from benchmate.journal import JournalError
from benchmate.refusal import Refused
from benchmate.remind.awake import KeepAwake
from benchmate.remind.rules.edges import Stage
from benchmate.settings import Reminding, Settings
from tests.minding_help import (
    DAY,
    HOUR,
    MIN,
    MIX,
    NO_QUIET,
    Minded,
    mark,
    open_bench,
    start_plan,
    tick,
    zone,
)
from tests.remind_help import FakeChannel, said_of

POT_LIFE = f"{MIX}:pot life:closes"
CURE_OPENS = "t/A/block/cap#1:cure:opens"
LAST_CALL_S = 12.5 * MIN
"""Four pours of two minutes, and 15 % of the half hour as a margin."""


def mixing(home: Path, settings: Settings = NO_QUIET) -> Bench:
    """A cup has just been mixed."""
    bench = open_bench(home, settings)
    start_plan(bench)
    mark(bench, MIX)
    return bench


def curing(home: Path, settings: Settings = NO_QUIET) -> Bench:
    """Bookend A's fill was capped at nine o'clock; its cure opens in a day."""
    bench = mixing(home, settings)
    for step in ("block/pour#1", "block/pour#2", "block/cap#1"):
        mark(bench, f"t/A/{step}")
    for step in ("block/pour#1", "block/pour#2", "block/cap#1"):
        mark(bench, f"t/B/{step}")
    hush(bench, "test")
    return bench


class TestAnswering:
    def test_what_is_acknowledged_in_one_place_is_quiet_in_all(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        other = open_bench(tmp_path, start=bench.now())
        mind, mind_too = Minded(bench), Minded(other)
        assert said_of(mind.said(30 * MIN - LAST_CALL_S)) == [(POT_LIFE, Stage.CLOSING)]
        tick(other, 30 * MIN - LAST_CALL_S)
        assert len(mind_too.tick().showing) == 1
        assert hush(other, "command") == 1
        assert mind_too.tick().showing == ()
        assert mind.tick().showing == ()
        assert mind.said(5 * MIN) == []

    def test_it_speaks_again_when_the_window_is_missed(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        mind = Minded(bench)
        mind.said(20 * MIN)
        hush(bench, "bench")
        assert said_of(mind.said(10 * MIN)) == [(POT_LIFE, Stage.MISSED)]

    def test_call_me_again_is_kept_by_every_process(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        mind = Minded(bench)
        mind.said(18 * MIN)
        assert hush(bench, "bench", again_in_s=5 * MIN) == 1
        assert standing(bench) == []
        assert mind.said(4 * MIN) == []
        assert said_of(mind.said(MIN)) == [(POT_LIFE, Stage.CLOSING)]

    def test_a_bench_that_is_opened_later_knows_what_was_answered(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        Minded(bench).said(16 * MIN)
        hush(bench, "bench")
        now = bench.now()
        bench.close()
        again = open_bench(tmp_path, start=now)
        assert standing(again) == []
        assert Minded(again).said(MIN) == []

    @pytest.mark.parametrize("seconds", [0.0, -60.0])
    def test_only_a_time_ahead_can_be_asked_for(self, tmp_path: Path, seconds: float) -> None:
        bench = mixing(tmp_path)
        mind = Minded(bench)
        with pytest.raises(Refused, match="How long until"):
            answer(bench, mind.said(16 * MIN), "bench", seconds)
        assert len(standing(bench)) == 1


class TestRemembering:
    def test_what_was_said_of_a_window_older_than_a_month_is_still_known(
        self, tmp_path: Path
    ) -> None:
        bench = mixing(tmp_path)
        mind = Minded(bench)
        mind.said(31 * MIN)
        hush(bench, "bench")
        tick(bench, 40 * DAY)
        assert log_of(bench).since(0.0)[1]
        assert standing(bench) == []
        assert Minded(bench).said() == []

    def test_what_was_said_of_windows_that_are_over_is_forgotten(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        Minded(bench).said(31 * MIN)
        bench.do("t", cmd.Stop(reason="enough"))
        tick(bench, 40 * DAY)
        assert log_of(bench).since(0.0)[1] == []


class TestPausing:
    def test_a_paused_job_says_nothing_while_its_windows_run_on(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        mind = Minded(bench)
        bench.do("t", cmd.Pause())
        assert mind.said(25 * MIN) == []
        assert mind.said(20 * MIN) == []
        assert mind.tick().showing == ()
        (view,) = bench.agenda().windows
        assert view.state == "missed"
        bench.do("t", cmd.Resume())
        assert mind.texts() == [
            "09:30 (15 min ago): mix 1, pot life: missed; it spoils the mix. What happened?"
        ]

    def test_pausing_quiets_what_is_being_said(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        mind = Minded(bench)
        assert mind.said(20 * MIN)
        bench.do("t", cmd.Pause())
        assert mind.tick().showing == ()
        assert mind.channel.withdrawn == [POT_LIFE]


class TestAtTheMachine:
    def test_it_holds_back_all_but_what_spoils_something_in_every_process(
        self, tmp_path: Path
    ) -> None:
        bench = curing(tmp_path)
        other = open_bench(tmp_path, start=bench.now())
        mind = Minded(bench)
        mind.said()
        tick(bench, DAY - MIN)
        tick(other, DAY - MIN)
        set_at_machine(other, running=True)
        assert mind.said(2 * MIN) == []
        set_at_machine(other, running=False)
        (both,) = mind.said()
        assert both.stage is Stage.OPENS
        assert len(both.also) == 1

    def test_what_spoils_something_calls_all_the_same(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        set_at_machine(bench, running=True)
        assert said_of(Minded(bench).said(20 * MIN)) == [(POT_LIFE, Stage.CLOSING)]

    def test_a_switch_that_was_forgotten_ends_by_itself(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        set_at_machine(bench, running=True)
        tick(bench, LONGEST_S - 1.0)
        assert is_at_machine(bench)
        tick(bench, 1.0)
        assert not is_at_machine(bench)

    def test_where_the_switch_cant_be_read_nothing_is_held_back(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def refuse(*_: object) -> None:
            raise JournalError("The disk is gone.")

        bench = mixing(tmp_path)
        set_at_machine(bench, running=True)
        monkeypatch.setattr(bench.journal.deliveries, "find", refuse)
        assert not is_at_machine(bench)

    def test_it_is_no_reminder_and_stands_in_no_list(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        set_at_machine(bench, running=True)
        assert standing(bench) == []
        assert log_of(bench).since(0.0)[1] == []


def test_what_opens_in_the_night_waits_for_the_morning_and_is_told_once(tmp_path: Path) -> None:
    """The job is a day's cure begun at half past eleven in the evening."""
    with zone("Europe/London"):
        _opens_in_the_night(tmp_path)


def _opens_in_the_night(tmp_path: Path) -> None:
    bench = open_bench(tmp_path, Settings(reminders=Reminding(quiet="22:00-07:00")))
    tick(bench, 14.5 * HOUR)
    start_plan(bench)
    for step in ("block/pour#1", "block/pour#2", "block/cap#1"):
        for address in (MIX, *(f"t/{p}/{step}" for p in "AB")):
            if address not in bench.shop.jobs["t"].done:
                mark(bench, address)
    mind = Minded(bench)
    mind.said()
    hush(bench, "test")
    opened = [mind.said(HOUR) for _ in range(48)]
    told = [(hour, said_of(found)) for hour, found in enumerate(opened, start=1) if found]
    assert told == [(32, [(CURE_OPENS.replace("/A/", f"/{p}/"), Stage.OPENS) for p in "AB"])]


@pytest.mark.parametrize(
    ("wanted", "off", "quiet"),
    [
        (Reminding(), set(), True),
        (Reminding(quiet=""), set(), False),
        (Reminding(speech=False), {"speech"}, True),
        (
            Reminding(channels=("sound",)),
            {"terminal", "speech", "desktop", "message", "command"},
            True,
        ),
    ],
    ids=["defaults", "no quiet hours", "no speech", "sound alone"],
)
def test_settings_become_rules(wanted: Reminding, off: set[str], quiet: bool) -> None:
    rules = settings_of(wanted)
    assert rules.switched_off == off
    assert (rules.quiet is not None) is quiet


class TestTheService:
    """`Minding` itself, in its threads."""

    def minding(self, bench: Bench, channel: FakeChannel, **more: object) -> Minding:
        awake = KeepAwake(holders=())
        return Minding(bench, channels=[channel], awake=awake, **more)  # type: ignore[arg-type]

    def test_it_speaks_hears_of_every_commit_and_gives_the_word_away(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        channel = FakeChannel("sound")
        minding = self.minding(bench, channel)
        minding.start()
        start_plan(bench)
        mark(bench, MIX)
        tick(bench, 20 * MIN)
        minding.poke()
        assert channel.called.wait(10.0)
        assert minding.holds_voice
        assert (tmp_path / "data" / "voice.lock").exists()
        minding.stop()
        other = self.minding(bench, FakeChannel("sound"))
        other.start()
        wait_for(lambda: other.holds_voice)
        other.stop()

    def test_a_commit_pokes_it(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        minding = self.minding(bench, FakeChannel("sound"))
        minding.start()
        assert bench.on_change is not None
        pokes = threading.Event()
        bench.on_change = pokes.set
        start_plan(bench)
        assert pokes.is_set()
        minding.stop()
        assert bench.on_change is None

    def test_what_was_being_said_when_it_ended_is_noted_and_not_said_again(
        self, tmp_path: Path
    ) -> None:
        bench = mixing(tmp_path)
        tick(bench, 20 * MIN)
        slow = FakeChannel("sound")
        given, slow.answer = slow.answer, lambda r: (time.sleep(0.2), given(r))[1]
        minding = self.minding(bench, slow)
        minding.start()
        assert slow.called.wait(10.0)
        minding.stop()
        assert [d.state for d in bench.journal.deliveries.since(0.0)] == ["sent"]
        assert Minded(bench).said() == []

    def test_a_call_that_outlasts_the_leaving_is_made_once_more_marked_again(
        self, tmp_path: Path
    ) -> None:
        bench = mixing(tmp_path)
        tick(bench, 20 * MIN)
        stuck, released = FakeChannel("sound"), threading.Event()
        stuck.answer = lambda r: (released.wait(20.0), FakeChannel("x").answer(r))[1]
        minding = self.minding(bench, stuck)
        minding.start()
        assert stuck.called.wait(10.0)
        minding.stop()
        released.set()
        after = Minded(bench)
        (said,) = after.said()
        assert said.again

    def test_a_journal_that_refuses_is_said_and_the_reminder_comes_all_the_same(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        bench = mixing(tmp_path)
        tick(bench, 20 * MIN)
        monkeypatch.setattr(
            bench.journal.deliveries, "record_all", lambda rows: 1 / 0
        )  # any error will do
        channel = FakeChannel("sound")
        minding = self.minding(bench, channel)
        minding.start()
        assert channel.called.wait(10.0)
        wait_for(lambda: "can't be recorded" in minding.trouble)
        minding.stop()

    def test_whether_the_machine_is_kept_awake_is_said(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        minding = self.minding(bench, FakeChannel("sound"))
        assert minding.is_kept_awake is False
        assert "may sleep" in minding.awake_sentence
        minding.start()
        wait_for(lambda: minding.is_kept_awake is None)
        assert "can't be kept awake" in minding.awake_sentence
        minding.stop()

    def test_an_answer_on_the_desktop_is_an_answer(self, tmp_path: Path) -> None:
        bench = mixing(tmp_path)
        minding = self.minding(bench, FakeChannel("sound"))
        (reminder,) = Minded(bench).said(20 * MIN)
        minding._heard_on_desktop(reminder)
        assert standing(bench) == []

    def test_without_a_screen_there_is_no_terminal_among_the_channels(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        assert "terminal" not in {c.name for c in Minding(bench)._channels}
        with_one = Minding(bench, show=lambda r: None, kinds=("terminal",))
        assert [c.name for c in with_one._channels] == ["terminal"]


def wait_for(what: Callable[[], object]) -> None:
    """Wait until something is so, for as long as it takes, within reason."""
    give_up = time.monotonic() + 20.0
    while not what():
        assert time.monotonic() < give_up
        time.sleep(0.01)


def test_what_was_said_of_a_cup_that_was_taken_back_says_nothing_of_the_next(
    tmp_path: Path,
) -> None:
    bench = mixing(tmp_path)
    mind = Minded(bench)
    first = mind.said(20 * MIN)
    hush(bench, "bench")
    bench.do("t", cmd.TakeBack())
    tick(bench, MIN)
    mark(bench, MIX)
    second = mind.said(20 * MIN)
    assert said_of(first) == said_of(second) == [(POT_LIFE, Stage.CLOSING)]


def test_the_calendar_has_the_hands_before_a_close_and_no_alarm_at_night_for_what_spoils_nothing(
    tmp_path: Path,
) -> None:
    bench = open_bench(tmp_path, Settings(reminders=Reminding(quiet="09:15-23:00")))
    start_plan(bench)
    mark(bench, MIX)
    start_clock(bench, find_material(bench, "yellow wood glue"), "clamped", name="lamp foot")
    found = {e.key: e for e in calendar_entries(bench)}
    edges = {e.key: e for e in edges_now(bench)}
    closes, opens = f"{MIX}:pot life:closes", next(k for k in edges if k.endswith(":opens"))
    ends_s = found[closes].starts.timestamp() + found[closes].lasts_s
    assert ends_s == pytest.approx(bench.wall_at(edges[closes].at_s), abs=1.0)
    assert found[closes].alarms_before_s, "a mix spoils by night too"
    assert found[opens].alarms_before_s == ()
