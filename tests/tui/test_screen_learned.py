"""What earlier jobs taught, offered by keys at a job's start, and gone back from by one key."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench.history.lessons import in_use, offers
from benchmate.bench.starting.starting import plan_for
from benchmate.tui.pages.starting.parameters import ParametersScreen
from tests.tui.screen_help import Hands, opened
from tests.unit.loop_help import PAIR, QUARTER_S, Worked


@pytest.fixture
def shop(taught_home: Path, tmp_path: Path) -> Iterator[Worked]:
    shop = Worked(shutil.copytree(taught_home, tmp_path / "home"), later_s=QUARTER_S)
    yield shop
    shop.bench.close()


def screen(shop: Worked) -> ParametersScreen:
    return ParametersScreen(shop.bench.folders.procedures / PAIR.name)


def packing(shop: Worked) -> float:
    (job,) = shop.bench.shop.live
    assert job.plan is not None
    return job.plan.fills[0].packing


async def start(hands: Hands) -> None:
    """F2, and the proofreader's doubts are waved away where it has any."""
    await hands.press("f2")
    if "The proofreader has" in hands.text():
        await hands.press("2")


async def test_one_list_is_offered_with_old_and_new(shop: Worked) -> None:
    async with opened(shop.bench, screen(shop), size=(100, 30)) as hands:
        await start(hands)
        said = hands.text()
        assert "Earlier jobs would change this plan." in said
        assert "packing/block 0.603 → 0.585 ± 0.008, from 3 jobs" in said
        assert "hands/pour 6 min → 9 min" in said
        await hands.press("1")
    assert packing(shop) == pytest.approx(0.585)
    assert str(hands.answer).startswith("Started: pair_of_bookends-4.")
    assert "Planned with what earlier jobs taught: packing/block 0.585" in str(hands.answer)


async def test_one_of_them_may_be_taken_alone(shop: Worked) -> None:
    async with opened(shop.bench, screen(shop), size=(100, 30)) as hands:
        await start(hands)
        await hands.press("4")
    assert [value.key for value in in_use(shop.bench, PAIR.stem)] == ["packing/block"]
    (job,) = shop.bench.shop.live
    assert job.plan is not None
    assert job.plan.learned == {"packing/block": "packing/block 0.585"}


@pytest.mark.parametrize(("key", "offered"), [("2", 3), ("3", 0)], ids=["not now", "never this"])
async def test_it_may_be_left_for_now_or_for_good(shop: Worked, key: str, offered: int) -> None:
    async with opened(shop.bench, screen(shop), size=(100, 30)) as hands:
        await start(hands)
        await hands.press(key)
    assert packing(shop) == pytest.approx(0.6033, abs=1e-4)
    assert in_use(shop.bench, PAIR.stem) == []
    assert len(offers(shop.bench, PAIR.stem)) == offered


async def test_leaving_the_question_starts_nothing(shop: Worked) -> None:
    async with opened(shop.bench, screen(shop), size=(100, 30)) as hands:
        await start(hands)
        await hands.press("escape")
        assert shop.bench.shop.live == ()
        assert hands.answer == "not yet"


async def test_a_value_in_use_is_gone_back_from_by_one_key(shop: Worked) -> None:
    from benchmate.bench.history.lessons import take

    take(shop.bench, PAIR.stem, offers(shop.bench, PAIR.stem))
    async with opened(shop.bench, screen(shop), size=(100, 30)) as hands:
        assert "3 values learned from earlier jobs: f6" in hands.text()
        await hands.press("f6")
        assert "By the file again: packing/block 0.585 (was 0.603, from 3 jobs)" in hands.text()
        await hands.press("1")
        assert "2 values learned from earlier jobs: f6" in hands.text()
    plan, _ = plan_for(shop.bench, PAIR.stem)
    assert plan.fills[0].packing == pytest.approx(0.6033, abs=1e-4)


async def test_f6_with_nothing_in_use_says_so(shop: Worked) -> None:
    async with opened(shop.bench, screen(shop), size=(100, 30)) as hands:
        await hands.press("f6")
        assert "go by its file: no learned value is in use." in hands.text()
