"""Wall clocks that are moved, and zones whose clocks change: no edge of a real job moves."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from benchmate.bench import Bench
from benchmate.bench.reminding.reminding import calendar_entries, edges_now, now_of
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.localtime import show_when
from benchmate.moment import Moment
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

AROUND_THE_CLOCK = 26
"""Looks, one each ten minutes: past the cup's close and on."""


def set_wall(bench: Bench, seconds: float) -> None:
    """Somebody sets the wall clock; the boot clock runs on."""
    clock = bench.clock
    assert isinstance(clock, SetClock)
    now = clock.moment
    clock.moment = Moment(now.wall_ns + round(seconds * 1e9), now.boot_id, now.boot_ns)


def jig(bench: Bench) -> None:
    """A clamp whose clock nobody is the user of, and a cup that serves four pours."""
    start_plan(bench)
    mark(bench, MIX)
    start_clock(bench, find_material(bench, "yellow wood glue"), "clamped", name="jig")


def said_over_a_day(home: Path, moves: dict[int, float]) -> list[tuple[float, str, str]]:
    """What is said every ten minutes, with the wall moved before some looks (seconds)."""
    bench = open_bench(home, NO_QUIET)
    jig(bench)
    mind, found, begun_s = Minded(bench), [], bench.now_s()
    for look in range(AROUND_THE_CLOCK):
        tick(bench, 10 * MIN)
        if look in moves:
            set_wall(bench, moves[look])
        noted = bench.mind_clock()
        assert bool(noted) is (look in moves)
        found += [
            (round(bench.now_s() - begun_s, 3), r.edge.label, str(r.stage)) for r in mind.said()
        ]
    bench.close()
    return found


@pytest.mark.parametrize(
    "moves",
    [
        {1: 3 * HOUR},
        {1: -3 * HOUR},
        {1: 2 * DAY, 4: -2 * DAY},
        {0: -HOUR, 1: -HOUR, 2: 5 * HOUR, 9: -2 * HOUR},
        {2: 400 * DAY},
        {2: -400 * DAY},
    ],
    ids=["forward", "back", "there and back", "over and over", "a year ahead", "a year back"],
)
def test_a_wall_clock_that_is_moved_changes_nothing_that_is_said(
    tmp_path: Path, moves: dict[int, float]
) -> None:
    plain = said_over_a_day(tmp_path / "plain", {})
    assert len(plain) >= 5
    assert said_over_a_day(tmp_path / "moved", moves) == plain


def test_each_move_is_an_event_and_edges_keep_their_distance(tmp_path: Path) -> None:
    bench = open_bench(tmp_path, NO_QUIET)
    jig(bench)
    tick(bench, 5 * MIN)
    left = {e.key: e.at_s - bench.now_s() for e in edges_now(bench)}
    shown = {e.key: bench.wall_at(e.at_s) for e in edges_now(bench)}
    set_wall(bench, -2 * HOUR)
    assert {e.key: e.at_s - bench.now_s() for e in edges_now(bench)} == pytest.approx(left)
    assert "set back by 7200 s" in bench.mind_clock()
    assert {e.key: e.at_s - bench.now_s() for e in edges_now(bench)} == pytest.approx(left)
    # People see the wall as it is set now: two hours earlier, all of it.
    assert {e.key: bench.wall_at(e.at_s) for e in edges_now(bench)} == pytest.approx(
        {key: at - 2 * HOUR for key, at in shown.items()}
    )
    kinds = [ev.kind_of(ev.decode(row.data)) for row in bench.journal.read_stream("clock")]
    assert kinds == ["clock began", "clock shifted"]


def test_a_move_that_was_noted_holds_after_a_restart_in_the_same_boot(tmp_path: Path) -> None:
    bench = open_bench(tmp_path, NO_QUIET)
    jig(bench)
    set_wall(bench, 6 * HOUR)
    bench.mind_clock()
    left = {e.key: e.at_s - bench.now_s() for e in edges_now(bench)}
    now = bench.now()
    bench.close()
    again = open_bench(tmp_path, NO_QUIET, start=now)
    assert again.clock_note == ""
    assert {e.key: e.at_s - again.now_s() for e in edges_now(again)} == pytest.approx(left)


def test_a_move_while_the_machine_was_on_and_no_bench_open_is_noticed_on_opening(
    tmp_path: Path,
) -> None:
    bench = open_bench(tmp_path, NO_QUIET)
    jig(bench)
    tick(bench, 10 * MIN)
    set_wall(bench, 3 * HOUR)
    now = bench.now()
    bench.close()
    again = open_bench(tmp_path, NO_QUIET, start=now)
    assert "set forward by 10800 s" in again.clock_note
    (close,) = [e for e in edges_now(again) if e.key.startswith(MIX)]
    assert close.at_s - again.now_s() == pytest.approx(20 * MIN)


def test_quiet_hours_are_the_walls_and_move_with_it(tmp_path: Path) -> None:
    """The clamps may come off at half past nine; ten minutes before, the wall is set an hour on."""
    with zone("Etc/UTC"):
        bench = open_bench(tmp_path, Settings(reminders=Reminding(quiet="22:00-07:00")))
        tick(bench, 12 * HOUR)
        start_clock(bench, find_material(bench, "yellow wood glue"), "clamped", name="jig")
        mind = Minded(bench)
        tick(bench, 20 * MIN)
        set_wall(bench, HOUR)
        bench.mind_clock()
        said = [(mind.said(HOUR), now_of(bench).wall.hour) for _ in range(12)]
    assert [hour for found, hour in said if found] == [7]


# Zones ------------------------------------------------------------------------------------------


CHANGES = {
    "Europe/London": [(3, 28), (10, 24)],
    "America/New_York": [(3, 7), (10, 31)],
    "Australia/Lord_Howe": [(4, 4), (10, 3)],
}
"""The days of 2026 before each change of the clocks (IANA database)."""
CASES = [
    pytest.param(datetime(2026, month, day, 17, tzinfo=ZoneInfo(name)), id=f"{name} {month:02d}")
    for name, days in CHANGES.items()
    for month, day in days
]


@pytest.mark.parametrize("begun", CASES)
def test_a_cure_over_the_change_of_the_clocks_lasts_its_hours(
    tmp_path: Path, begun: datetime
) -> None:
    """Held against the standard library's zoneinfo: so many elapsed hours, the wall's own sum."""
    tz = begun.tzinfo
    assert isinstance(tz, ZoneInfo)
    with zone(tz.key):
        start = Moment(round(begun.timestamp() * 1e9), "boot-of-tests", 10**13)
        bench = open_bench(tmp_path, NO_QUIET, start=start)
        start_clock(bench, find_material(bench, "slow casting epoxy"), "poured", name="test cup")
        edges = {e.key.rpartition("#")[2]: e for e in edges_now(bench)}
        cure = edges["1:cure:opens"]
        length_s = cure.at_s - bench.now_s()
        assert length_s == pytest.approx(24 * HOUR)
        there = datetime.fromtimestamp(begun.timestamp() + length_s, tz)
        # By the wall a day later to the hour, but for the change: 16:00, 16:30, 17:30 or 18:00.
        assert there != begun + timedelta(days=1)
        shown = show_when(bench.wall_at(cure.at_s), bench.now().wall_s)
        assert shown.endswith(f"{there:%H:%M}")
        (entry,) = [e for e in calendar_entries(bench) if e.key == cure.key]
        assert entry.starts.timestamp() == int(there.timestamp())
        mind = Minded(bench)
        mind.said()
        tick(bench, length_s - 1.0)
        assert not [r for r in mind.said() if r.key == cure.key]
        assert [r.key for r in mind.said(1.0) if r.key == cure.key] == [cure.key]
        before = {e.key: e.at_s for e in edges_now(bench)}
        bench.close()
    # Another zone moves no edge at all: a maker travels, or sets the zone right.
    with zone("Asia/Kathmandu"):
        again = open_bench(tmp_path, NO_QUIET, start=start.shifted(length_s))
        assert {e.key: e.at_s for e in edges_now(again)} == before
