"""Where a reminder goes: every cell of the table, and what an unanswered lost mix comes to."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from benchmate.bench.reminding.presence import note_touch, now_of
from benchmate.bench.reminding.reminding import settings_of
from benchmate.remind.rules.edges import EdgeAhead, Gravity, Now, Stage
from benchmate.remind.rules.routing import (
    IF_UNHEARD,
    LOST,
    NEVER,
    ONCE,
    PHONE_UNTIL_HEARD,
    REPEATED,
    SILENT,
    UNTIL_HEARD,
    Rounds,
    Route,
    as_wished,
    route,
)
from benchmate.remind.rules.said import Delivery
from benchmate.remind.rules.settings import RemindSettings
from benchmate.settings import Reminding, Settings
from tests.minding_help import MIX, mark, open_bench, start_plan
from tests.remind_help import MIN, NOON_S, after, due, edge, line, next_wake_s

NOTHING, WORK, SPOILS = Gravity.NOTHING, Gravity.WORK, Gravity.SPOILS
SOON, OPENS, FULL, WEIGH, CLOSING, MISSED = Stage
SHOP_ONCE, PHONE_ONCE = Route(ONCE, NEVER), Route(NEVER, ONCE)

# At the bench, away, in quiet hours and away, in quiet hours and at the bench: written down by
# hand from the table in words, one row for each stage and consequence.
TABLE: dict[tuple[Stage, Gravity], tuple[Route, Route, Route, Route]] = {
    (SOON, NOTHING): (SILENT, SILENT, SILENT, SILENT),
    (SOON, WORK): (SHOP_ONCE, SILENT, SILENT, SILENT),
    (SOON, SPOILS): (SHOP_ONCE, PHONE_ONCE, SILENT, SHOP_ONCE),
    (OPENS, NOTHING): (SHOP_ONCE, SILENT, SILENT, SILENT),
    (OPENS, WORK): (Route(ONCE, IF_UNHEARD), PHONE_ONCE, SILENT, SILENT),
    (OPENS, SPOILS): (Route(ONCE, IF_UNHEARD), PHONE_ONCE, SILENT, SILENT),
    (FULL, NOTHING): (SHOP_ONCE, SILENT, SILENT, SILENT),
    (FULL, WORK): (Route(ONCE, IF_UNHEARD), PHONE_ONCE, SILENT, SILENT),
    (FULL, SPOILS): (Route(ONCE, IF_UNHEARD), PHONE_ONCE, SILENT, SILENT),
    (WEIGH, NOTHING): (SHOP_ONCE, SHOP_ONCE, SHOP_ONCE, SHOP_ONCE),
    (WEIGH, WORK): (Route(REPEATED, NEVER), Route(REPEATED, NEVER), SHOP_ONCE, SHOP_ONCE),
    (WEIGH, SPOILS): (
        Route(REPEATED, NEVER),
        Route(REPEATED, NEVER),
        SHOP_ONCE,
        Route(REPEATED, NEVER),
    ),
    (CLOSING, NOTHING): (SHOP_ONCE, SILENT, SILENT, SILENT),
    (CLOSING, WORK): (Route(REPEATED, IF_UNHEARD), PHONE_ONCE, SILENT, SILENT),
    (CLOSING, SPOILS): (
        Route(UNTIL_HEARD, PHONE_UNTIL_HEARD),
        Route(UNTIL_HEARD, PHONE_UNTIL_HEARD),
        Route(NEVER, PHONE_UNTIL_HEARD),
        Route(UNTIL_HEARD, PHONE_UNTIL_HEARD),
    ),
    (MISSED, NOTHING): (SHOP_ONCE, SILENT, SILENT, SILENT),
    (MISSED, WORK): (SHOP_ONCE, PHONE_ONCE, SILENT, SILENT),
    (MISSED, SPOILS): (Route(LOST, ONCE), PHONE_ONCE, PHONE_ONCE, Route(LOST, ONCE)),
}
PLACES = {
    "at the bench": (True, False),
    "away": (False, False),
    "quiet hours": (False, True),
    "quiet hours, at the bench": (True, True),
}


def test_the_table_has_a_cell_for_every_stage_and_consequence() -> None:
    assert set(TABLE) == {(stage, gravity) for stage in Stage for gravity in Gravity}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("stage", "gravity"), TABLE, ids=lambda v: str(getattr(v, "name", v)))
def test_every_cell(stage: Stage, gravity: Gravity, place: str) -> None:
    at_bench, quiet = PLACES[place]
    found = route(stage, gravity, at_bench=at_bench, quiet=quiet)
    assert found == TABLE[stage, gravity][list(PLACES).index(place)]


@pytest.mark.parametrize(("stage", "gravity"), TABLE, ids=lambda v: str(getattr(v, "name", v)))
def test_without_a_phone_the_shop_says_it_wherever_the_maker_is(
    stage: Stage, gravity: Gravity
) -> None:
    by_day = TABLE[stage, gravity][0].shop
    at_night = TABLE[stage, gravity][3].shop
    for at_bench in (True, False):
        day = route(stage, gravity, at_bench=at_bench, has_phone=False)
        night = route(stage, gravity, at_bench=at_bench, quiet=True, has_phone=False)
        assert day == Route(by_day, NEVER)
        assert night == Route(at_night, NEVER)


def test_rounds_know_the_gap_to_the_next() -> None:
    assert [LOST.gap_after(n) for n in (1, 2, 3)] == [120, 300, None]
    assert [UNTIL_HEARD.gap_after(n) for n in (1, 4, 5, 99)] == [60, 120, 300, 300]
    assert Rounds().gap_after(1) is None


def played(
    one: EdgeAhead,
    from_min: int,
    hours: float,
    touched_min: float | None,
    settings: RemindSettings | None = None,
) -> list[tuple[float, str]]:
    """When which of the two is called, in minutes after noon, if nobody ever answers."""
    lines: list[Delivery] = []
    calls: list[tuple[float, str]] = []
    wishes = settings or RemindSettings()
    for half in range(from_min * 2, round((from_min + hours * 60) * 2)):
        minute = half / 2
        now: Now = after(minute)
        if touched_min is not None:
            now = replace(now, touched_s=NOON_S + touched_min * MIN)
        for reminder in due([one], lines, wishes, now):
            lines += [
                line(one, reminder.stage, "sent", minute, name, reminder.round)
                for name in reminder.channels
            ]
            calls += [(minute, c) for c in ("sound", "message") if c in reminder.channels]
    return calls


def test_a_lost_mix_that_nobody_answers_rings_three_times_and_the_phone_once() -> None:
    # Twenty hours, with a night between, somebody at the bench when it is lost.
    calls = played(edge(), 40, 20, touched_min=40)
    assert calls == [(40, "sound"), (40, "message"), (42, "sound"), (47, "sound")]


def test_one_that_is_lost_with_nobody_there_reaches_the_phone_and_then_who_comes_back() -> None:
    assert played(edge(), 40, 2, touched_min=0) == [(40, "message")]
    told = [line(edge(), Stage.MISSED, "sent", 40, "message:1")]
    back = replace(after(120), touched_s=NOON_S + 120 * MIN)
    (reminder,) = due([edge()], told, RemindSettings(), back)
    assert "sound" in reminder.channels
    assert "message" not in reminder.channels


def test_an_opening_reaches_the_phone_at_once_away_and_after_three_minutes_unheard() -> None:
    opens = edge("opens", 45, "extra work")
    assert played(opens, 45, 8, touched_min=0) == [(45, "message")]
    assert played(opens, 45, 8, touched_min=44) == [(45, "sound"), (48, "message")]


def test_whoever_walks_off_hears_on_the_phone_what_was_only_said_in_the_shop() -> None:
    # Touched at 38: at the bench until 48, then away; the weight is never a phone's matter.
    missed = edge(consequence="extra work", hands_min=0)
    assert played(missed, 40, 2, touched_min=38) == [(40, "sound"), (48.5, "message")]
    owed = edge("weigh", 40, "extra work")
    assert {c for _, c in played(owed, 40, 2, touched_min=38)} == {"sound"}


def test_it_wakes_when_the_route_changes() -> None:
    told = [line(edge(consequence="extra work"), Stage.MISSED, "sent", 40, "sound")]
    now = replace(after(41), touched_s=NOON_S + 38 * MIN)
    wake_s = next_wake_s([edge(consequence="extra work")], told, RemindSettings(), now)
    assert wake_s == pytest.approx(NOON_S + 48 * MIN, abs=0.01)


def test_in_the_night_the_phone_is_told_once_and_the_shop_in_the_morning() -> None:
    lost = edge("closes", 11 * 60, "spoils piece", begun_min=10 * 60)
    calls = played(lost, 11 * 60, 9, touched_min=None, settings=RemindSettings())
    assert (11 * 60, "message") in calls
    away = played(lost, 11 * 60, 7, touched_min=0)
    assert away == [(11 * 60, "message")]


class TestPresence:
    """Who touched the bench, in the shop as the journal and the table have it."""

    def test_an_act_a_key_and_an_answer_say_that_somebody_is_there(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path, Settings())
        assert now_of(bench).touched_s is None
        start_plan(bench)
        mark(bench, MIX)
        acted_s = now_of(bench).touched_s
        assert acted_s == pytest.approx(bench.now_s())
        bench.touched_s = bench.now_s() + 500.0
        assert now_of(bench).touched_s == bench.touched_s
        bench.close()

    def test_a_key_here_is_known_to_another_process(self, tmp_path: Path) -> None:
        bench = open_bench(tmp_path, Settings())
        start_plan(bench)
        bench.touched_s = bench.now_s() + 500.0
        note_touch(bench)
        other = open_bench(tmp_path, Settings())
        assert now_of(other).touched_s == bench.touched_s
        # Once a minute is enough: the table isn't written at every key.
        bench.touched_s += 30.0
        note_touch(bench)
        assert now_of(other).touched_s == bench.touched_s - 30.0
        other.close()
        bench.close()

    def test_the_phone_is_used_only_where_one_is_set(self) -> None:
        assert not settings_of(Reminding()).has_phone
        assert settings_of(Reminding(addresses=("json://localhost",))).has_phone


@pytest.mark.parametrize(
    ("where", "shop", "phone"),
    [("shop", True, False), ("phone", False, True), ("both", True, True), ("none", False, False)],
)
def test_a_maker_may_say_where_a_stage_goes(where: str, shop: bool, phone: bool) -> None:
    for at_bench in (True, False):
        found = as_wished(
            route(Stage.OPENS, Gravity.WORK, at_bench=at_bench),
            route(Stage.OPENS, Gravity.WORK, at_bench=not at_bench),
            where,
        )
        assert (found.shop != NEVER, found.phone != NEVER) == (shop, phone)
