"""Clocks that two benches mind, on a machine that sleeps."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import CLOCK
from benchmate.journal import Journal
from benchmate.moment import Moment
from benchmate.settings import Settings, find_folders
from tests.unit.shop_of_tests import MIN, moment
from tests.unit.two_benches import MIX, Benches


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    with Benches(tmp_path) as opened:
        yield opened


# Clocks ---------------------------------------------------------------------------------------


def clock_events(bench: Bench) -> list[str]:
    return [ev.kind_of(ev.decode(r.data)) for r in bench.journal.read_stream(CLOCK)]


def test_two_benches_note_one_shift_once(benches: Benches) -> None:
    was = benches.clock.tick(60.0)
    benches.clock.moment = Moment(was.wall_ns + 3_600_000_000_000, was.boot_id, was.boot_ns)
    said = [bench.mind_clock() for bench in (benches.one, benches.other)]
    assert ["was set forward by 3600 s" in s for s in said] == [True, False]
    assert clock_events(benches.one) == ["clock began", "clock shifted"]
    assert benches.one.shop.timeline.shift_s == benches.other.shop.timeline.shift_s == 3600.0


def test_two_benches_note_one_boot_once(benches: Benches, tmp_path: Path) -> None:
    """They look at the same empty stream before either of them writes to it."""
    folders = find_folders(tmp_path / "new")
    pair = [Bench(Journal.open(folders.data), benches.clock, Settings(), folders) for _ in range(2)]
    assert [bench.mind_clock() for bench in pair] == ["", ""]
    assert clock_events(pair[0]) == ["clock began"]
    for bench in pair:
        assert bench.shop.timeline.knows(bench.now())
        bench.close()


def test_a_bench_that_slept_moves_no_edge_and_notes_nothing(benches: Benches) -> None:
    """The lid was closed for nine hours between two ticks: both clocks went on."""
    bench = benches.one
    bench.do("t", cmd.MarkDone(address=MIX))
    benches.clock.tick(5 * MIN)
    bench.mind_clock()
    benches.clock.tick(9 * 3600.0)
    assert bench.mind_clock() == ""
    assert clock_events(bench) == ["clock began"]
    (seen,) = bench.agenda().windows
    assert seen.state == "missed"
    assert seen.closes is not None
    assert bench.now_s() - seen.closes.at == pytest.approx(9 * 3600.0 - 25 * MIN)
    assert bench.wall_at(seen.closes.at) == pytest.approx(moment(30 * MIN).wall_s)


def test_a_wall_clock_set_while_it_slept_is_told_apart_from_the_sleep(benches: Benches) -> None:
    bench = benches.one
    bench.do("t", cmd.MarkDone(address=MIX))
    slept = benches.clock.tick(9 * 3600.0)
    benches.clock.moment = Moment(slept.wall_ns - 3_600_000_000_000, slept.boot_id, slept.boot_ns)
    assert "was set back by 3600 s" in bench.mind_clock()
    (seen,) = bench.agenda().windows
    assert seen.closes is not None
    assert bench.now_s() - seen.closes.at == pytest.approx(8.5 * 3600.0)
