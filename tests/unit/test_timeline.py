"""Moments on one time line: through sleep, restarts and clocks that people set."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.clock import PacedClock, SetClock, SystemClock
from benchmate.job.deciding import commands as cmd
from benchmate.moment import Moment, Timeline
from benchmate.settings import Settings, find_folders
from tests.unit.shop_of_tests import MIN, START_S, plan

H = 3600.0


def at(wall_s: float, boot: str | None, up_s: float | None) -> Moment:
    return Moment(round(wall_s * 1e9), boot, None if up_s is None else round(up_s * 1e9))


def line_of(*boots: Moment) -> Timeline:
    line = Timeline()
    for moment in boots:
        base, shift = line.boot_base(moment)
        assert moment.boot_id is not None
        line = line.saw_boot(moment.boot_id, base, shift).passed(line.at(moment))
    return line


def test_within_a_boot_the_boot_clock_counts_whatever_the_wall_does() -> None:
    line = line_of(at(1000, "a", 10))
    before, after = at(1000, "a", 10), at(99_000, "a", 70)
    assert line.elapsed(before, after) == pytest.approx(60.0)


def test_across_boots_the_wall_counts() -> None:
    first, second = at(1000, "a", 500), at(1000 + 9 * H, "b", 20)
    assert line_of(first, second).elapsed(first, second) == pytest.approx(9 * H)


def test_a_noticed_shift_is_taken_off_across_boots() -> None:
    first = at(1000, "a", 500)
    line = line_of(first).saw_shift(H)  # somebody set the wall an hour forward
    second = at(1000 + 3 * H, "b", 20)
    base, shift = line.boot_base(second)
    line = line.saw_boot("b", base, shift)
    assert line.elapsed(first, second) == pytest.approx(2 * H)


def test_a_wall_that_went_back_over_a_restart_never_makes_time_run_backwards() -> None:
    first = at(100_000, "a", 500)
    second = at(50_000, "b", 20)  # a dead clock battery
    line = line_of(first, second)
    assert line.elapsed(first, second) == pytest.approx(0.0)
    assert line.elapsed(first, at(50_060, "b", 80)) == pytest.approx(60.0)


def test_without_a_boot_clock_the_wall_alone_counts() -> None:
    line = Timeline()
    assert line.elapsed(at(10, None, None), at(70, None, None)) == 60.0


def test_a_moment_before_this_boot_may_have_a_negative_boot_time() -> None:
    now = at(10_000, "a", 120)
    line = line_of(now)
    assert line.elapsed(now.shifted(-600), now) == pytest.approx(600)


def test_the_wall_time_of_an_edge_follows_the_wall_as_it_is_set_now() -> None:
    now = at(10_000, "a", 120)
    line = line_of(now)
    edge = line.at(now) + 300
    assert line.wall_at(edge, at(13_600 + 60, "a", 180)) == pytest.approx(13_600 + 300)


def test_drift_is_what_the_wall_has_moved_and_nobody_has_noted() -> None:
    line = line_of(at(10_000, "a", 120))
    moved = at(10_000 + 60 + 500, "a", 180)
    assert line.drift_of(moved) == pytest.approx(500)
    assert line.saw_shift(500).drift_of(moved) == pytest.approx(0)


def _bench(home: Path, clock: SetClock) -> Bench:
    return Bench.open(find_folders(home), Settings(), clock=clock)


def _close_at(bench: Bench) -> float:
    (view,) = bench.agenda().windows
    assert view.closes is not None
    return view.closes.at - bench.now_s()


@pytest.mark.parametrize("shift_s", [3600.0, -3600.0, 86_400.0], ids=["hour on", "back", "day on"])
def test_setting_the_wall_clock_moves_no_edge(shift_s: float, tmp_path: Path) -> None:
    clock = SetClock(at(START_S, "boot-1", 5000))
    bench = _bench(tmp_path, clock)
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    bench.do("t", cmd.MarkDone(address="mix"))
    clock.tick(5 * MIN)
    moved = clock.moment
    clock.moment = Moment(moved.wall_ns + round(shift_s * 1e9), moved.boot_id, moved.boot_ns)
    assert "was set" in bench.mind_clock()
    assert _close_at(bench) == pytest.approx(25 * MIN)
    bench.close()
    again = _bench(tmp_path, clock)
    assert _close_at(again) == pytest.approx(25 * MIN)
    again.close()


def test_a_restart_with_the_wall_shifted_before_it_moves_no_edge(tmp_path: Path) -> None:
    clock = SetClock(at(START_S, "boot-1", 5000))
    bench = _bench(tmp_path, clock)
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    bench.do("t", cmd.MarkDone(address="mix"))
    clock.moment = at(START_S + 60 + 7200, "boot-1", 5060)
    bench.mind_clock()
    bench.close()
    clock.moment = at(START_S + 7200 + 10 * MIN, "boot-2", 12)  # ten minutes since the mix
    again = _bench(tmp_path, clock)
    assert _close_at(again) == pytest.approx(20 * MIN)
    again.close()


def test_a_wall_that_went_back_while_off_is_said(tmp_path: Path) -> None:
    clock = SetClock(at(START_S, "boot-1", 5000))
    bench = _bench(tmp_path, clock)
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    bench.close()
    clock.moment = at(START_S - 40 * 86_400, "boot-2", 12)
    again = Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(clock.moment))
    assert again.now_s() == pytest.approx(again.shop.timeline.at(at(START_S, "boot-1", 5000)))
    again.close()


def test_the_system_clock_has_a_boot_clock_here_that_runs_forward() -> None:
    clock = SystemClock()
    first, second = clock.now(), clock.now()
    assert first.boot_id == second.boot_id
    assert (first.boot_ns or 0) <= (second.boot_ns or 0)


def test_a_paced_clock_runs_so_many_times_as_fast() -> None:
    base = SetClock(at(START_S, "boot-1", 5000))
    paced = PacedClock(base, 60.0)
    base.tick(10)
    assert paced.now() == at(START_S + 600, "boot-1", 5600)
