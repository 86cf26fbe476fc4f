"""Wall clocks that are moved: what is noted of it. `campaigns/times.py` has every mishap."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.reminding.reminding import edges_now, now_of
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.moment import Moment
from benchmate.settings import Reminding, Settings
from tests.minding_help import (
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
