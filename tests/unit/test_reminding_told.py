"""What went to whom, when, and whether it was heard; a phone that takes nothing is named."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec import structs

from benchmate.bench import Bench
from benchmate.bench.reminding.leaving import Leaving
from benchmate.bench.reminding.minding import minder_of
from benchmate.bench.reminding.reminding import hush
from benchmate.bench.reminding.told import DAY_S, silent_phones, told_lines
from benchmate.remind.channels.base import SENT, Outcome
from benchmate.settings import Hours, Reminding
from tests.minding_help import MIN, MIX, mark, open_bench, start_plan, tick
from tests.remind_help import FakeChannel, InStepSender


def test_each_round_says_when_what_by_which_ways_and_if_heard(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    start_plan(bench)
    mark(bench, MIX)
    works = [False]
    phone = FakeChannel(
        "message:1", lambda _: SENT if works[0] else Outcome(ok=False, note="no network")
    )
    minder = minder_of(bench, InStepSender(FakeChannel("sound"), phone))
    bench.settings = type(bench.settings)(
        reminders=type(bench.settings.reminders)(quiet="", addresses=("set",))
    )
    tick(bench, 22 * MIN)
    while minder.tick().given:
        pass
    assert any("phone 1 failed: no network" in line for line in told_lines(bench, 0.0))
    (silent,) = silent_phones(bench)
    assert silent.startswith("Phone 1 took no message at 09:22: no network")
    works[0] = True
    tick(bench, 5 * MIN)
    while minder.tick().given:
        pass
    assert silent_phones(bench) == []
    hush(bench, "bench")
    told = told_lines(bench, bench.now_s() - DAY_S)
    assert told[-1].startswith("09:2")
    assert "mix 1, pot life, closing: sound" in told[0]
    assert any("OK’d (bench)" in line for line in told)


PHONE_SET = Reminding(addresses=("set",))


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """A cup is mixed; the clamps of tomorrow are far."""
    made = open_bench(tmp_path)
    made.settings = structs.replace(made.settings, reminders=PHONE_SET)
    start_plan(made)
    mark(made, MIX)
    yield made
    made.close()


def left(bench: Bench, phone: FakeChannel, urgent: FakeChannel | None = None) -> Leaving:
    """What tells the phone: the bench was left."""
    made = Leaving(bench, [phone, *([urgent] if urgent else [])])
    made.tell()
    made.wait(10.0)
    return made


def test_who_leaves_is_told_once_what_comes_before_the_shop_opens_again(bench: Bench) -> None:
    phone, urgent = FakeChannel("message:1"), FakeChannel("message:urgent 1")
    again = left(bench, phone, urgent)
    again.tell()
    again.wait(10.0)
    left(bench, phone)
    (told,) = phone.given
    assert told.text.startswith("Before Fri 18:30: 09:30 ")
    assert "too late after that: do it now" in told.text
    assert urgent.given == [], "that phone hears only of what spoils"
    assert any("While you are away" in line for line in told_lines(bench, 0.0))
    tick(bench, 5 * MIN)
    mark(bench, "t/A/block/pour#1")
    left(bench, phone)
    assert len(phone.given) == 2, "there is something new"


def test_a_phone_that_took_nothing_is_named_and_told_at_the_next_leaving(bench: Bench) -> None:
    left(bench, FakeChannel("message:1", lambda _: Outcome(ok=False, note="no network")))
    assert silent_phones(bench) == ["Phone 1 took no message at 09:00: no network."]
    phone = FakeChannel("message:1")
    left(bench, phone)
    assert len(phone.given) == 1


@pytest.mark.parametrize(
    ("hours", "idle_min", "count"),
    [("09:00-09:20", 0, 1), ("09:00-10:00", 0, 0), ("", 0, 0), ("09:00-09:30", 12, 0)],
)
def test_who_is_there_when_the_hours_that_were_set_end_soon_is_told(
    bench: Bench, hours: str, idle_min: int, count: int
) -> None:
    wanted = Hours(thu=(hours,)) if hours else Hours()
    bench.settings = structs.replace(bench.settings, hours=wanted)
    tick(bench, 10 * MIN)
    mark(bench, "t/A/block/pour#1")
    tick(bench, idle_min * MIN)
    phone = FakeChannel("message:1")
    made = Leaving(bench, [phone])
    made.look()
    made.look()
    made.wait(10.0)
    assert len(phone.given) == count


def test_where_it_is_switched_off_or_nothing_comes_nobody_is_told(bench: Bench) -> None:
    phone = FakeChannel("message:1")
    off = structs.replace(bench.settings.reminders, digest=False)
    bench.settings = structs.replace(bench.settings, reminders=off)
    left(bench, phone)
    assert phone.given == []
