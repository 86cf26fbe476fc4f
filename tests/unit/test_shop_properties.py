"""Whatever a maker tries, in any order, at any time: what always holds of a job and its shop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from itertools import pairwise
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.air.log import AirLog
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.taking_back import counting
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.job.state.shop import JOB, Shop, grow
from benchmate.job.state.state import JobState
from benchmate.job.weights.drift import remarks
from benchmate.job.windows.agenda import Act, agenda
from benchmate.job.windows.windows import SHOP, Around, Edge, edges_from, view
from benchmate.moment import Timeline
from benchmate.plan.plan import Plan, Window
from tests.faults.campaign import scaled
from tests.hand_made import without_records
from tests.random_maker import COMMANDS, WORLD, RandomMaker
from tests.strategies import Move, airs, moves, plans, windows
from tests.unit import shop_of_tests

SOME_WINDOW = Window(name="recoat", address="t/A/all/coat#1:recoat", label="coat 1, recoat")
START_S = shop_of_tests.START_S
STATES = ("not begun", "shut", "open", "closing", "met", "missed")
ANY = moves("next act", *COMMANDS, *WORLD, least=8)
LOOKS_S = (-90_000.0, -60.0, 0.0, 1.0, 3600.0, 30 * 86_400.0, 4e8)
EXAMPLES = settings(max_examples=scaled(30, 600))


AHEAD = st.integers(0, 22)
"""How many acts were done as shown before anything else is tried."""


def begun(plan: Plan, ahead: int) -> RandomMaker:
    maker = RandomMaker(plan)
    for _ in range(ahead):
        maker.play(("next act", 0.0, 0.1, 30.0))
    return maker


def played(plan: Plan, ahead: int, tried: list[Move]) -> RandomMaker:
    maker = begun(plan, ahead)
    for move in tried:
        maker.play(move)
    return maker


@EXAMPLES
@given(plans(), AHEAD, ANY)
def test_folding_all_at_once_is_folding_one_by_one(
    plan: Plan, ahead: int, tried: list[Move]
) -> None:
    maker = played(plan, ahead, tried)
    assert fold_all(maker.state.records) == maker.state
    again = grow(Shop(), maker.rows)
    assert again.jobs == maker.shop.jobs
    for name, log in maker.shop.air.items():
        assert again.air[name].readings == log.readings
    assert replace(again, jobs={}, air={}) == replace(maker.shop, jobs={}, air={})


@EXAMPLES
@given(plans(), AHEAD, ANY)
def test_the_agenda_holds_at_any_time_of_any_job(plan: Plan, ahead: int, tried: list[Move]) -> None:
    maker = begun(plan, ahead)
    for move in tried:
        maker.play(move)
        for look_s in LOOKS_S:
            _check_agenda(maker, maker.now_s + look_s)


def _check_agenda(maker: RandomMaker, at: float) -> None:
    found = agenda([maker.state], maker.shop.around, at)
    ready, later = [_name(a) for a in found.ready], [_name(a) for a in found.later]
    assert not set(ready) & set(later)
    assert len({*ready, *later}) == len(ready) + len(later)
    assert all(a.ready_at <= at for a in found.ready)
    assert all(a.ready_at > at for a in found.later)
    for act in (*found.ready, *found.later):
        assert act.kind == "answer" or act.address in maker.state.steps
    for seen in found.windows:
        assert seen.is_live
    for remark in remarks(maker.state, maker.shop.around, at):
        assert remark.text


def _name(act: Act) -> tuple[str, str, str]:
    return act.address, act.kind, act.check.name if act.check else ""


@EXAMPLES
@given(plans(), AHEAD, ANY)
def test_a_window_s_edges_stand_in_order_and_its_state_is_one_of_six(
    plan: Plan, ahead: int, tried: list[Move]
) -> None:
    maker = played(plan, ahead, tried)
    for window in maker.state.windows.values():
        states = []
        for look_s in LOOKS_S:
            seen = view(maker.state, window, maker.shop.around, maker.now_s + look_s)
            if seen is not None:
                _check_edges(seen.window, seen.anchor, seen.edges)
                states.append(STATES.index(seen.state))
        # With no new act and no new reading a window only ever goes forward.
        assert all(a <= b or STATES[b] == "met" for a, b in pairwise(states))


@settings(max_examples=scaled(300, 5000))
@given(windows(SOME_WINDOW), airs(START_S))
def test_edges_stand_in_order_in_any_air(window: Window, air: AirLog) -> None:
    edges = edges_from(window, Around(Timeline(), {SHOP: air}), START_S)
    names = ("opens", "full", "closes")
    _check_edges(window, START_S, {n: e for n, e in zip(names, edges, strict=True) if e})


def _check_edges(window: Window, anchor: float, edges: Mapping[str, Edge]) -> None:
    for edge in edges.values():
        assert anchor <= edge.earliest <= edge.middle <= edge.latest
        assert edge.earliest <= edge.at <= edge.latest
    if window.hold_s is None and "opens" in edges:
        for later in ("full", "closes"):
            assert later not in edges or edges["opens"].at <= edges[later].at


@EXAMPLES
@given(plans(), AHEAD, ANY)
def test_no_act_lasts_less_than_no_time_or_comes_before_what_it_comes_after(
    plan: Plan, ahead: int, tried: list[Move]
) -> None:
    maker = begun(plan, ahead)
    for move in tried:
        before = maker.state
        for event in maker.play(move):
            assert event.recorded == maker.now
            if isinstance(event, ev.Done):
                _check_order(maker, before, event)


def _check_order(maker: RandomMaker, before: JobState, event: ev.Done) -> None:
    elapsed = maker.shop.timeline.elapsed
    if event.begun is not None:
        assert elapsed(event.begun, event.happened) >= 0
    assert elapsed(event.happened, event.recorded) >= 0
    for earlier in before.steps[event.address].after:
        if earlier in before.done:
            assert elapsed(before.done[earlier].done, event.happened) >= -1e-6


# A correction names its weighing by number, and done again a weighing has another number.
PLAIN = sorted(set(COMMANDS) - {"take back", "take back any", "see", "correct"})
REVERSIBLE = moves("next act", *PLAIN, most=6)


@EXAMPLES
@given(plans(), AHEAD, ANY, REVERSIBLE)
def test_what_is_taken_back_and_done_again_leaves_the_same_job(
    plan: Plan, ahead: int, tried: list[Move], more: list[Move]
) -> None:
    maker = played(plan, ahead, tried)
    start, kept = shape(maker.state), len(counting(maker.state))
    made = [event for move in more for event in maker.play(move)]
    end = shape(maker.state)
    while len(counting(maker.state)) > kept:
        assert maker.do(cmd.TakeBack(along=True))
    assert shape(maker.state) == start
    for event in made:
        maker.record(JOB + maker.job, event)
    assert shape(maker.state) == end


def shape(state: JobState) -> Any:
    """The state without when and as which event it was recorded."""
    plain = _bare(without_records(state))
    return {**plain, "weighings": list(plain["weighings"].values())}


def _bare(value: Any) -> Any:
    if is_dataclass(value):
        value = {f.name: getattr(value, f.name) for f in fields(value)}
    if isinstance(value, msgspec.Struct):
        value = {name: getattr(value, name) for name in value.__struct_fields__}
    if isinstance(value, Mapping):
        return {k: _bare(v) for k, v in value.items() if k not in ("version", "recorded")}
    if isinstance(value, tuple):
        return [_bare(v) for v in value if type(v) is not int]
    return value


@given(plans(), moves("next act", most=60))
@settings(max_examples=20)
def test_a_maker_who_does_what_is_shown_is_hardly_ever_refused(
    plan: Plan, tried: list[Move]
) -> None:
    """The agenda and the decisions follow the same rules: what is shown first can be done now."""
    maker = RandomMaker(plan)
    for _, pick, _, wait_s in tried:
        maker.play(("next act", pick / 2, 0.1, wait_s))
    assert maker.refusals == []


def test_the_random_maker_gets_far_enough_to_mean_something() -> None:
    """Else all of the above would hold of jobs in which nothing was ever done."""
    done: set[str] = set()
    refusals: set[str] = set()

    @settings(max_examples=40, database=None, derandomize=True)
    @given(plans(), AHEAD, ANY)
    def play(plan: Plan, ahead: int, tried: list[Move]) -> None:
        maker = played(plan, ahead, tried)
        done.update(ev.kind_of(r.event) for r in maker.state.records)
        refusals.update(r.partition(" ")[0] for r in maker.refusals)

    play()
    assert len(done) >= 15
    assert len(refusals) >= 6


@given(st.floats(-3 * 86_400, 3600))
def test_a_typed_time_is_kept_or_refused_but_never_lies_ahead(off_s: float) -> None:
    maker = RandomMaker(shop_of_tests.plan())
    made = maker.do(cmd.MarkDone(address="mix", at=maker.now.shifted(off_s)))
    if not made:
        assert "time" in maker.refusals[0]
        assert off_s > 1.0 or off_s < -86_400
        return
    assert maker.shop.timeline.elapsed(made[0].happened, maker.now) == pytest.approx(
        max(0.0, -off_s), abs=1e-6
    )
