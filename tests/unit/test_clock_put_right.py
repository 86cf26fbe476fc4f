"""A wall clock that was wrong at the start and is put right by the network a minute later."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.air.recording import record_air
from benchmate.bench.next_line import clock_of
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.words.phrases import bound_text
from benchmate.moment import Moment
from benchmate.refusal import NotNow
from benchmate.settings import Settings, find_folders
from tests.tui.benches import MIX, Shop
from tests.unit.airing_help import Glueing

NS = 1_000_000_000
H = 3600.0


def booted(wall_s: float, boot_s: float, boot: str = "second boot") -> Moment:
    return Moment(round(wall_s * NS), boot, round(boot_s * NS))


@pytest.mark.parametrize("wrong_s", [-5 * H, 7 * H, -40 * 365 * 24 * H], ids=["back", "on", "1986"])
def test_windows_stand_where_they_stood_once_the_time_is_right(
    tmp_path: Path, wrong_s: float
) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    mixed_s = shop.clock.now().wall_s
    shop.bench.close()
    # Switched off for ten minutes; the clock of the new start is wrong, for one minute.
    start_s = mixed_s + 600.0
    clock = SetClock(booted(start_s + wrong_s, 20.0))
    bench = Bench.open(find_folders(tmp_path), Settings(), clock=clock)
    clock.moment = booted(start_s + 60.0, 80.0)
    said = bench.mind_clock()
    assert "put right just after its start" in said
    (view,) = (v for v in bench.agenda().windows if v.address.startswith(MIX))
    assert view.closes is not None
    assert view.closes.at - bench.now_s() == pytest.approx(1800.0 - 660.0, abs=1.0)
    assert bench.wall_at(view.closes.at) == pytest.approx(mixed_s + 1800.0, abs=1.0)
    bench.close()
    again = Bench.open(find_folders(tmp_path), Settings(), clock=clock)
    (view,) = (v for v in again.agenda().windows if v.address.startswith(MIX))
    assert view.closes is not None
    assert again.wall_at(view.closes.at) == pytest.approx(mixed_s + 1800.0, abs=1.0)
    again.close()


def test_air_that_was_read_while_the_clock_was_wrong_moves_along(tmp_path: Path) -> None:
    shop = Glueing(tmp_path)
    shop.air(15.0)
    start_s = shop.bench.now().wall_s + 600.0
    shop.bench.close()
    clock = SetClock(booted(start_s - 5 * H, 20.0))
    bench = Bench.open(find_folders(tmp_path), Settings(), clock=clock)
    record_air(bench, "shop", 19.0, None)
    clock.moment = booted(start_s + 60.0, 80.0)
    bench.mind_clock()
    running = [(bench.wall_at(r.t_s), r.temperature_c) for r in bench.shop.air_of("shop").readings]
    assert running == [(start_s - 600.0, 15.0), (start_s, 19.0)]
    bench.close()
    again = Bench.open(find_folders(tmp_path), Settings(), clock=clock)
    assert running == [
        (again.wall_at(r.t_s), r.temperature_c) for r in again.shop.air_of("shop").readings
    ]
    again.close()


def test_a_clock_that_is_put_right_late_can_be_said_to_have_been_wrong_from_the_start(
    tmp_path: Path,
) -> None:
    """After 20 minutes a set clock is taken for a shift; the maker knows better, or doesn't."""
    shop = Shop(tmp_path).small()
    shop.mix()
    mixed_s = shop.clock.now().wall_s
    with pytest.raises(NotNow, match="wasn't set"):
        shop.bench.undo_clock()
    shop.bench.close()
    clock = SetClock(booted(mixed_s + 600.0 - 5 * H, 20.0))
    bench = Bench.open(find_folders(tmp_path), Settings(), clock=clock)
    clock.moment = booted(mixed_s + 1800.0, 1220.0)
    assert "`benchmate undo --clock`" in bench.mind_clock()

    def closes_in_s() -> float:
        (view,) = (v for v in bench.agenda().windows if v.address.startswith(MIX))
        assert view.closes is not None
        return view.closes.at - bench.now_s()

    shifted = closes_in_s()
    assert "put right just after its start" in bench.undo_clock()
    assert closes_in_s() == pytest.approx(0.0, abs=1.0)
    assert "as if the time had been right" in bench.undo_clock()
    assert closes_in_s() == pytest.approx(shifted, abs=1.0)
    bench.close()


def test_what_is_set_long_after_the_start_is_a_shift_as_before(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    before = next(iter(shop.bench.agenda().windows)).closes
    now = shop.clock.now()
    assert now.boot_ns is not None
    shop.clock.moment = Moment(now.wall_ns + 3600 * NS, now.boot_id, now.boot_ns)
    assert "set forward" in shop.bench.mind_clock()
    after = next(iter(shop.bench.agenda().windows)).closes
    assert before is not None
    assert after is not None
    assert after.at == before.at
    shop.bench.close()


def test_an_opening_that_is_likely_says_since_when_and_what_would_settle_it(
    tmp_path: Path,
) -> None:
    """Nobody has read the air for days: the range is wide, its middle is past."""
    shop = Glueing(tmp_path)
    shop.joint("epoxy")
    shop.air(18.5)
    while (act := shop.bench.agenda().next) is not None:
        shop.mark(act.address.partition("/")[2], anyway=True)
    (act,) = shop.bench.agenda().later[:1]
    view = act.waits_for
    assert view is not None
    assert view.opens is not None
    assert view.opens.middle < view.opens.at
    shop.clock.tick((view.opens.middle + view.opens.at) / 2 - shop.bench.now_s())
    act = shop.bench.agenda().later[0]
    said = bound_text(act, clock_of(shop.bench))
    assert said.startswith("likely ready since ")
    assert "read the air to settle it" in said
    (job,) = shop.bench.shop.live
    with pytest.raises(NotNow, match=r"it has likely been ready for .* Read the air to settle it"):
        shop.bench.do(job.job, cmd.MarkDone(address=act.address))
    shop.bench.do(job.job, cmd.MarkDone(address=act.address, anyway=True))
