"""What passed while nobody minded the shop is told first: how much, what it means, what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.reminding.away import last_minded_s, missed_while_away
from benchmate.job.deciding import commands as cmd
from tests.minding_help import (
    DAY,
    HOUR,
    MIN,
    MIX,
    START,
    Minded,
    mark,
    open_bench,
    start_plan,
    tick,
)

POURS = [f"t/{piece}/block/pour#{n}" for piece in "AB" for n in (1, 2)]


def test_a_cup_that_gelled_during_a_sleep_comes_first_with_by_how_much_and_what_to_do(
    tmp_path: Path,
) -> None:
    bench = open_bench(tmp_path)
    start_plan(bench)
    for address in (MIX, POURS[0], POURS[1], "t/A/block/cap#1"):
        mark(bench, address)
    asleep_s = bench.now_s()
    tick(bench, 25 * HOUR)
    found = missed_while_away(bench, asleep_s)
    assert [p.text for p in found] == [
        "Thu 09:30 (1 d ago): mix 1, pot life: missed; it spoils the mix. What happened?",
        "Since 09:00 (1 h): bookend A, cure. Spread the glue.",
    ]
    assert [p.is_missed for p in found] == [True, False]


def test_a_weight_that_is_owed_comes_last(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    start_plan(bench)
    mark(bench, MIX)
    mark(bench, POURS[0])
    asleep_s = bench.now_s()
    tick(bench, HOUR)
    assert [p.edge.edge for p in missed_while_away(bench, asleep_s)] == ["closes", "weigh"]
    assert missed_while_away(bench, asleep_s)[1].text == (
        "Since 09:01 (59 min): bookend A, layer: time to weigh. "
        "Weigh it before anything else is done to it."
    )


@pytest.mark.parametrize(
    ("slept_s", "labels"),
    [
        (29 * MIN, []),
        (31 * MIN, ["mix 1, pot life"]),
        (3 * DAY, ["mix 1, pot life"]),
    ],
    ids=["not yet", "just over", "days"],
)
def test_only_what_passed_in_between_is_told(
    tmp_path: Path, slept_s: float, labels: list[str]
) -> None:
    bench = open_bench(tmp_path)
    start_plan(bench)
    mark(bench, MIX)
    asleep_s = bench.now_s()
    tick(bench, slept_s)
    assert [p.edge.label for p in missed_while_away(bench, asleep_s)] == labels
    assert missed_while_away(bench, bench.now_s()) == []


def test_of_one_window_only_the_latest_edge_is_told(tmp_path: Path) -> None:
    """A clock of which nobody is the user has both: it opens after 24 h and is full after 48 h."""
    from benchmate.bench.shelf.shelf import find_material, start_clock

    bench = open_bench(tmp_path)
    start_clock(bench, find_material(bench, "yellow wood glue"), "clamped", name="jig")
    asleep_s = bench.now_s()
    tick(bench, HOUR)
    assert [p.edge.edge for p in missed_while_away(bench, asleep_s)] == ["opens"]
    tick(bench, 25 * HOUR)
    (passed,) = missed_while_away(bench, asleep_s)
    assert passed.edge.edge == "full"
    assert "full strength" in passed.text


def test_a_paused_job_is_silent_here_too(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    start_plan(bench)
    mark(bench, MIX)
    bench.do("t", cmd.Pause())
    asleep_s = bench.now_s()
    tick(bench, HOUR)
    assert missed_while_away(bench, asleep_s) == []
    bench.do("t", cmd.Resume())
    assert len(missed_while_away(bench, asleep_s)) == 1


class TestSince:
    """Since when nobody minded: the last act, or the last reminder that was given."""

    def test_a_shop_that_never_saw_anything_missed_nothing(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        assert missed_while_away(bench, last_minded_s(bench)) == []

    def test_after_a_restart_it_is_the_last_act(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        start_plan(bench)
        mark(bench, MIX)
        acted_s = bench.now_s()
        bench.close()
        again = open_bench(tmp_path, start=START.shifted(2 * HOUR))
        assert last_minded_s(again) == acted_s
        assert len(missed_while_away(again, last_minded_s(again))) == 1

    def test_what_somebody_was_told_is_no_news(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        start_plan(bench)
        mark(bench, MIX)
        mind = Minded(bench)
        assert "missed" in mind.texts(31 * MIN)[-1]
        mind.tick()
        tick(bench, 5 * HOUR)
        assert last_minded_s(bench) == pytest.approx(bench.now_s() - 5 * HOUR)
        assert missed_while_away(bench, last_minded_s(bench)) == []

    def test_a_reminder_that_no_channel_took_told_nobody(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path)
        start_plan(bench)
        before_s = last_minded_s(bench)
        bench.journal.deliveries.record_all([("k", "sound", "failed", bench.now_s() + 60, "")])
        assert last_minded_s(bench) == before_s


def test_a_dead_clock_battery_is_said_when_the_bench_opens(tmp_path: Path) -> None:
    """The wall went back over a restart: no time at all is the least that passed."""
    from benchmate.moment import Moment

    bench = open_bench(tmp_path)
    start_plan(bench)
    mark(bench, MIX)
    bench.close()
    dead = Moment(946_684_800_000_000_000, "boot-after-the-battery-died", 5_000_000_000)
    again = open_bench(tmp_path, start=dead)
    assert "went back while this machine was off" in again.clock_note
    left_s = again.agenda().windows[0].next_edge
    assert left_s is not None
    assert left_s[1] - again.now_s() == pytest.approx(30 * MIN)
