"""Minding: what is recorded, what is said, who speaks, and what happens when things break."""

from __future__ import annotations

import threading
from collections.abc import Sequence

import pytest

from benchmate.remind.channels.base import SENT, Outcome
from benchmate.remind.dispatcher import Dispatcher
from benchmate.remind.minding import Minder, acknowledge, call_again
from benchmate.remind.rules.edges import EdgeAhead, Now, Stage
from benchmate.remind.rules.said import Delivery, Said
from benchmate.remind.rules.settings import RemindSettings
from benchmate.remind.rules.staying_awake import Wish
from benchmate.remind.rules.unheard import AUDIBLE, BELL, unheard
from tests.remind_help import (
    MIN,
    NOON_S,
    FakeChannel,
    InStepSender,
    MemoryLog,
    after,
    due,
    edge,
    line,
    now_at,
    said_of,
)


class FakeVoice:
    """A voice that is had or not, as told."""

    def __init__(self, *, had: bool) -> None:
        self.had = had

    def take(self) -> bool:
        return self.had


class FakeAwake:
    def __init__(self) -> None:
        self.wishes: list[bool] = []

    on_battery = False

    def want(self, wish: Wish) -> None:
        self.wishes.append(wish.awake)


class Bench:
    """A minder over edges and a clock that the test moves."""

    def __init__(
        self,
        *edges: EdgeAhead,
        log: MemoryLog | None = None,
        voice: FakeVoice | None = None,
        channels: Sequence[FakeChannel] = (),
    ) -> None:
        self.edges = list(edges)
        self.now: Now = after(0)
        self.log = log or MemoryLog()
        self.channels = list(channels) or [FakeChannel("sound"), FakeChannel("terminal")]
        self.awake = FakeAwake()
        self.settings = RemindSettings()
        self.minder = Minder(
            edges=lambda: self.edges,
            now=lambda: self.now,
            log=self.log,
            sender=InStepSender(*self.channels),
            settings=lambda: self.settings,
            voice=voice,
            awake=self.awake,
        )

    def at(self, minute: float) -> list[tuple[str, Stage]]:
        self.now = after(minute)
        return said_of(self.minder.tick().given)

    def states(self) -> list[tuple[str, str]]:
        return [(d.channel, d.state) for d in self.log.lines]


def test_a_call_is_announced_before_and_noted_after() -> None:
    bench = Bench(edge("opens", 40, "nothing"))
    bench.at(40)
    assert bench.states() == [("sound", "about to"), ("terminal", "about to")]
    bench.at(40.1)
    assert bench.states()[2:] == [("sound", "sent"), ("terminal", "sent")]
    assert len(bench.channels[0].given) == 1


def test_it_sleeps_until_the_next_edge() -> None:
    bench = Bench(edge())
    bench.now = after(3)
    assert bench.minder.tick().wake_s == NOON_S + 21 * MIN


def test_who_hasnt_the_voice_follows_along_and_takes_over() -> None:
    log = MemoryLog()
    one = edge("opens", 40, "nothing")
    speaker = Bench(one, log=log, voice=FakeVoice(had=True))
    listener_voice = FakeVoice(had=False)
    listener = Bench(one, log=log, voice=listener_voice)
    assert speaker.at(40) == [(one.key, Stage.OPENS)]
    assert listener.at(40) == []
    assert said_of(listener.minder.tick().showing) == [(one.key, Stage.OPENS)]
    speaker.at(40.1)
    listener_voice.had = True
    assert listener.at(41) == []


def test_a_listener_that_takes_over_gives_once_more_what_has_no_outcome() -> None:
    log = MemoryLog()
    one = edge("opens", 40, "nothing")
    Bench(one, log=log).at(40)  # killed before it noted the outcomes
    heir = Bench(one, log=log)
    heir.at(41)
    heir.at(41.1)
    assert [r.again for r in heir.channels[0].given] == [True]
    assert all(d.again for d in log.lines[2:])
    assert heir.at(42) == []


def test_acknowledging_anywhere_quiets_everywhere() -> None:
    log = MemoryLog()
    one = edge()
    here, there = Bench(one, log=log), Bench(one, log=log, voice=FakeVoice(had=False))
    here.at(29)
    here.at(29.1)
    (shown,) = there.minder.tick().showing or here.minder.tick().showing
    acknowledge(log, shown, NOON_S + 29.5 * MIN, "second bench")
    assert here.at(31) == []
    assert here.minder.tick().showing == ()
    assert log.lines[-1].channel == "second bench"


def test_called_again_in_ten_minutes() -> None:
    one = edge("opens", 40, "nothing")
    bench = Bench(one)
    bench.at(40)
    (shown,) = bench.minder.tick().showing
    call_again(bench.log, shown, NOON_S + 41 * MIN, 600, "bench")
    assert bench.at(45) == []
    assert bench.at(51) == [(one.key, Stage.OPENS)]


def test_calling_again_needs_a_time_ahead() -> None:
    bench = Bench(edge("opens", 40, "nothing"))
    bench.at(40)
    (shown,) = bench.minder.tick().showing
    with pytest.raises(ValueError, match="How long until the next"):
        call_again(bench.log, shown, NOON_S, 0, "bench")


def test_what_is_acknowledged_or_met_is_withdrawn() -> None:
    one = edge("opens", 40, "nothing")
    bench = Bench(one)
    bench.at(40)
    bench.edges = []
    bench.at(41)
    assert bench.channels[0].withdrawn == [one.key]
    bench.at(42)
    assert bench.channels[0].withdrawn == [one.key]


def test_all_channels_of_a_kind_are_used() -> None:
    channels = [FakeChannel("message:1"), FakeChannel("message:2")]
    bench = Bench(edge(), channels=channels)
    bench.at(29)
    assert [len(c.given) for c in channels] == [1, 1]


def test_without_any_channel_it_is_noted_and_tried_again() -> None:
    bench = Bench(edge("opens", 40, "nothing"), channels=[FakeChannel("lamp")])
    bench.at(40)
    assert bench.states() == [("none", "failed")]
    assert bench.at(40.5) == []
    assert len(bench.at(41)) == 1


def test_a_failure_is_noted_with_its_reason() -> None:
    broken = FakeChannel("sound", lambda r: Outcome(ok=False, note="no sound device"))
    bench = Bench(edge("opens", 40, "nothing"), channels=[broken])
    bench.at(40)
    bench.at(40.1)
    assert bench.log.lines[-1].state == "failed"
    assert bench.log.lines[-1].note == "no sound device"


class FullLog(MemoryLog):
    """A log whose disk is full for a while."""

    full = True

    def record(self, deliveries: Sequence[Delivery]) -> None:
        if self.full:
            raise OSError("the disk is full")
        super().record(deliveries)


def test_with_a_full_disk_it_is_said_once_all_the_same() -> None:
    log = FullLog()
    bench = Bench(edge("opens", 40, "nothing"), log=log)
    assert len(bench.at(40)) == 1
    assert "the disk is full" in bench.minder.trouble
    assert bench.at(41) == []
    assert len(bench.channels[0].given) == 1
    log.full = False
    bench.edges.append(edge("opens", 50, "nothing", label="other"))
    bench.at(50)
    assert bench.minder.trouble == ""


def test_the_machine_is_kept_awake_while_something_can_be_missed() -> None:
    bench = Bench(edge())
    bench.at(1)
    bench.at(41)
    assert bench.awake.wishes == [True, False]


def test_at_the_machine_is_heard_of_when_it_is_off() -> None:
    one = edge("opens", 40, "nothing")
    bench = Bench(one)
    bench.now = now_at(NOON_S + 40 * MIN, at_machine=True)
    assert bench.minder.tick().given == ()
    assert bench.at(45) == [(one.key, Stage.OPENS)]
    assert "(5 min" in bench.channels[0].given[0].text


class RunningBench:
    """A minder that runs in a thread over real channels' threads."""

    def __init__(self, edges: Sequence[EdgeAhead]) -> None:
        self.edges = list(edges)
        self.now = after(0)
        self.channel = FakeChannel("sound")
        self.broken = False
        self.stop = threading.Event()
        self.ticked = threading.Event()
        self.minder = Minder(
            edges=self._edges,
            now=lambda: self.now,
            log=MemoryLog(),
            sender=Dispatcher([self.channel]),
        )
        self.thread = threading.Thread(
            target=self.minder.run, args=(self.stop, lambda tick: self.ticked.set()), daemon=True
        )
        self.thread.start()

    def _edges(self) -> list[EdgeAhead]:
        if self.broken:
            raise RuntimeError("no journal")
        return self.edges

    def end(self) -> None:
        self.stop.set()
        self.minder.poke()
        self.thread.join(10)
        assert not self.thread.is_alive()


def test_the_running_minder_speaks_when_poked_and_ends_when_told() -> None:
    bench = RunningBench([edge("opens", 40, "nothing")])
    assert bench.ticked.wait(10)
    bench.now = after(40)
    bench.minder.poke()
    assert bench.channel.called.wait(10)
    bench.end()


def test_the_running_minder_outlives_what_its_sources_do() -> None:
    bench = RunningBench([])
    assert bench.ticked.wait(10)
    bench.broken = True
    bench.minder.poke()
    while not bench.minder.trouble:
        bench.ticked.wait(0.01)
    assert "no journal" in bench.minder.trouble
    bench.broken, bench.edges, bench.now = False, [edge("opens", 40, "nothing")], after(40)
    bench.minder.poke()
    assert bench.channel.called.wait(10)
    bench.end()


def test_what_waits_for_a_slow_channel_is_dropped_once_acknowledged() -> None:
    gate = threading.Event()
    slow = FakeChannel("speech", lambda r: (gate.wait(10), SENT)[1])
    one, other = edge(label="a"), edge(label="b")
    log = MemoryLog()
    sender = Dispatcher([slow])
    minder = Minder(lambda: [one, other], lambda: after(29), log, sender)
    given = minder.tick().given
    assert slow.called.wait(10)
    waiting = next(r for r in given if r.key != slow.given[0].key)
    acknowledge(log, waiting, NOON_S + 29 * MIN, "bench")
    minder.tick()
    gate.set()
    while len([d for d in log.lines if d.state in ("sent", "failed")]) < 2:
        minder.tick()
    assert len(slow.given) == 1
    dropped = [d for d in log.lines if d.state == "failed"]
    assert [d.key for d in dropped] == [waiting.key]
    assert "out of date" in dropped[0].note


def test_what_a_mute_holder_gives_is_left_to_an_open_bench_after_three_seconds() -> None:
    one, said = edge(), Said()
    reminder = due([one], said, RemindSettings(), after(29))[0]
    for name in ("none", "message:1"):
        said.add(line(one, Stage.CLOSING, "failed" if name == "none" else "sent", 29, name))
    assert list(unheard([reminder], said, RemindSettings(), NOON_S + 29 * MIN + 2)) == []
    assert list(unheard([reminder], said, RemindSettings(), NOON_S + 29 * MIN + 3)) == [reminder]
    silent = RemindSettings(switched_off=frozenset(AUDIBLE))
    assert list(unheard([reminder], said, silent, NOON_S + 29 * MIN + 3)) == [], "as it is set"
    said.add(line(one, Stage.CLOSING, "sent", 29.1, f"{BELL}123"))
    assert list(unheard([reminder], said, RemindSettings(), NOON_S + 30 * MIN)) == [], (
        "one bench rang"
    )


def test_what_the_phone_alone_was_told_is_no_silence() -> None:
    one, said = edge(), Said([line(edge(), Stage.CLOSING, "sent", 29, "message:1")])
    reminder = due([one], Said(), RemindSettings(), after(29))[0]
    assert list(unheard([reminder], said, RemindSettings(), NOON_S + 40 * MIN)) == []
