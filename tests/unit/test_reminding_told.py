"""What went to whom, when, and whether it was heard; a phone that takes nothing is named."""

from __future__ import annotations

from pathlib import Path

from benchmate.bench.reminding.leaving import digest_of
from benchmate.bench.reminding.minding import minder_of
from benchmate.bench.reminding.reminding import hush
from benchmate.bench.reminding.told import DAY_S, silent_phones, told_lines
from benchmate.remind.channels.base import SENT, Outcome
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


def test_who_leaves_is_told_what_comes_before_the_shop_opens_again(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    assert digest_of(bench) is None
    start_plan(bench)
    mark(bench, MIX)
    found = digest_of(bench)
    assert found is not None
    assert found.text.startswith("Before Fri 18:30: 09:30 ")
    assert "too late after that: do it now" in found.text
