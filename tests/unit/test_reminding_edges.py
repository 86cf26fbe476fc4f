"""Which edges reminders are about, and how grave each is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from benchmate.bench.reminding.edges import ahead, edges_of
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.job.state.shop import Shop
from benchmate.job.state.state import JobState, Recorded
from benchmate.remind.rules.edges import EdgeAhead, Gravity
from benchmate.remind.rules.quiet import NIGHT
from benchmate.remind.rules.routing import ONCE, route
from benchmate.remind.rules.settings import RemindSettings
from benchmate.remind.rules.stages import stage_times
from tests.remind_help import now_at
from tests.unit.shop_of_tests import MIN, START_S, around, moment, plan

HOUR = 3600.0
MIX, CURE = "t/all/all/mix#1", "t/A/block/cap#1:cure"
POT_LIFE = f"{MIX}:pot life:closes"


def job_after(*made: ev.JobEvent) -> JobState:
    started = ev.JobStarted(
        happened=moment(), recorded=moment(), job="t", title="Bookends", plan=plan(), text=""
    )
    return fold_all([Recorded(n, e) for n, e in enumerate([started, *made], start=1)])


def done(address: str, at_s: float) -> ev.Done:
    return ev.Done(happened=moment(at_s), recorded=moment(at_s), address=address)


def edges_after(at_s: float, *made: ev.JobEvent, **changed: object) -> dict[str, EdgeAhead]:
    job = replace(job_after(*made), **changed)  # type: ignore[arg-type]
    shop = Shop(timeline=around().timeline, jobs={"t": job})
    return {e.key: e for e in edges_of(shop, START_S + at_s)}


def test_a_running_cup_closes_gravely_and_needs_the_hands_of_all_that_is_still_to_pour() -> None:
    edge = edges_after(5 * MIN, done(MIX, 0.0))[POT_LIFE]
    assert (edge.edge, edge.at_s, edge.begun_s) == ("closes", START_S + 30 * MIN, START_S)
    assert edge.gravity is Gravity.SPOILS
    assert edge.hands_s == 4 * 2 * MIN
    assert edge.action == "Shot for layer 1, then resin to the line."
    assert edge.words == "the mix gels"


def test_what_has_been_poured_needs_no_hands_any_more() -> None:
    made = [done(MIX, 0.0), done("t/A/block/pour#1", MIN), done("t/B/block/pour#1", 2 * MIN)]
    edge = edges_after(5 * MIN, *made)[POT_LIFE]
    assert edge.hands_s == 2 * 2 * MIN
    assert edge.action == "Shot for layer 2, then resin to the line."


def test_a_missed_window_says_what_saves_it_and_asks_what_became_of_it() -> None:
    missed = edges_after(35 * MIN, done(MIX, 0.0))[POT_LIFE]
    assert missed.action == "What happened?"
    spread = "t/A/cover/spread#1"
    late = edges_after(6 * MIN, done(spread, 0.0))[f"{spread}:open time:closes"]
    assert late.action == "Scrape off and spread anew. What happened?"


class TestOpenings:
    made = (
        *[done(a, 0.0) for a in (MIX, *[f"t/A/block/pour#{n}" for n in (1, 2)])],
        done("t/A/block/cap#1", 0.0),
    )

    def test_one_that_a_step_waits_for_is_told_before_and_at_the_edge_and_never_insists(
        self,
    ) -> None:
        edge = edges_after(HOUR, *self.made)[f"{CURE}:opens"]
        assert edge.gravity is Gravity.WORK
        assert edge.action == "Spread the glue."
        assert not edge.spoils
        settings = RemindSettings(quiet=NIGHT)
        stages = stage_times(edge, settings, now_at(START_S + HOUR))
        routes = [route(s.stage, edge.gravity, at_bench=True, has_phone=False) for s in stages]
        assert [s.stage.value for s in stages] == ["soon", "opens"]
        assert [r.shop for r in routes] == [ONCE, ONCE]

    def test_nobody_is_told_that_a_window_is_full_where_no_step_waits_for_that(self) -> None:
        assert f"{CURE}:full" not in edges_after(HOUR, *self.made)

    def test_one_that_nobody_is_the_user_of_tells_all_its_edges_and_none_is_grave(self) -> None:
        found = edges_after(HOUR, *self.made, users={})
        mine = [e for key, e in found.items() if key.startswith(CURE)]
        assert [e.edge for e in mine] == ["opens", "full"]
        assert {e.gravity for e in mine} == {Gravity.NOTHING}

    def test_once_the_step_is_done_the_window_has_no_edges_any_more(self) -> None:
        after = (*self.made, done("t/A/cover/spread#1", 25 * HOUR))
        assert not [key for key in edges_after(26 * HOUR, *after) if key.startswith(CURE)]


class TestWeights:
    poured = (done(MIX, 0.0), done("t/A/block/pour#1", MIN))
    key = "t/A/block/pour#1:weight"

    def test_one_that_is_owed_is_spoken_of_a_minute_after_its_act(self) -> None:
        edge = edges_after(5 * MIN, *self.poured)[self.key]
        assert (edge.edge, edge.at_s) == ("weigh", START_S + 2 * MIN)
        assert edge.label == "bookend A, layer"
        assert edge.gravity is Gravity.WORK
        assert not edge.spoils

    def test_it_is_no_matter_once_the_next_layer_covers_it(self) -> None:
        covered = (*self.poured, done("t/A/block/pour#2", 3 * MIN))
        found = edges_after(5 * MIN, *covered)
        assert self.key not in found
        assert "t/A/block/pour#2:weight" in found

    def test_nor_once_it_is_recorded(self) -> None:
        weighed = ev.Weighed(
            happened=moment(90.0), recorded=moment(90.0), address="t/A/block/pour#1", net_g=128.0
        )
        assert self.key not in edges_after(5 * MIN, *self.poured, weighed)


def test_a_paused_jobs_edges_are_marked_so_and_a_weight_is_not_asked_for() -> None:
    made = (done(MIX, 0.0), done("t/A/block/pour#1", MIN))
    found = edges_after(5 * MIN, *made, status="paused")
    assert {e.paused for e in found.values()} == {True}
    assert found[POT_LIFE].at_s == START_S + 30 * MIN
    assert not [key for key in found if key.endswith(":weight")]


@pytest.mark.parametrize("status", ["stopped", "finished"])
def test_a_job_that_has_ended_has_no_edges(status: str) -> None:
    assert edges_after(5 * MIN, done(MIX, 0.0), status=status) == {}


def test_what_lies_ahead_is_sorted_and_leaves_out_what_is_past_or_paused() -> None:
    edges: Iterable[EdgeAhead] = edges_after(5 * MIN, done(MIX, 0.0)).values()
    one = next(iter(edges))
    later, past = replace(one, at_s=one.at_s + 60), replace(one, at_s=START_S)
    paused = replace(one, paused=True)
    assert ahead([later, past, one, paused], START_S + 5 * MIN) == [one, later]
