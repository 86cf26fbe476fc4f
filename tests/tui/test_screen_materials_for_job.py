"""Which material serves each role, chosen by keys at a job's start; begun and cups by their
keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import describe_material, with_label
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.plan.plan import Plan
from benchmate.shelf import Material
from benchmate.tui.pages.shelf import ShelfScreen
from benchmate.tui.pages.starting.materials_for_job import MaterialsForJob
from benchmate.tui.pages.starting.start import StartScreen
from tests.tui.screen_help import Hands, open_bench, opened

GLUE = "yellow wood glue"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    bench = open_bench(tmp_path)
    for name, text in (("PVA", "6 min at 20 °C"), ("slow PVA", "12 min at 20 °C")):
        material = Material(
            name=name, family=GLUE, kind="wood glue", opened_on="2026-01-0" + str(len(name))
        )
        describe_material(bench, with_label(material, {"open time": text, "amount": "1 g"}))
    return bench


def plan_of(bench: Bench) -> Plan:
    (job,) = bench.shop.live
    assert job.plan is not None
    return job.plan


def serving(bench: Bench, role: str = "glue") -> tuple[str, bool]:
    material = next(t for t in plan_of(bench).materials if t.role == role)
    return material.material, material.chosen


async def to_materials(hands: Hands) -> None:
    await hands.press("1", "f7")
    assert isinstance(hands.front, MaterialsForJob)


async def test_another_material_is_two_keys_and_its_open_time_is_in_the_plan(bench: Bench) -> None:
    async with opened(bench, StartScreen(), (120, 70)) as hands:
        await to_materials(hands)
        assert "slow PVA: 1 value from its label" in hands.text("page-body")
        await hands.press("3")
        assert "procedure: yellow wood glue" in hands.text("question")
        assert "slow PVA, yellow wood glue, 1 g of 1 g left" in hands.text("options")
        await hands.press("2")
        assert "PVA, as you chose: 1 value from its label" in hands.text("page-body")
        detail = hands.text("page-detail")
        assert "open time 6 min at 20 °C (label of PVA)" in " ".join(detail.split())
        assert "PVA runs out: the plan takes" in " ".join(detail.split())
        await hands.press("escape")
        assert "PVA, as you chose" in hands.text("page-detail")
        await hands.press("f2")
        await _start_all_the_same(hands)
    assert serving(bench) == ("PVA", True)
    windows = [w for s in plan_of(bench).steps for w in s.windows if w.name == "open time"]
    assert {(w.closes_s, w.source) for w in windows} == {(360.0, "label of PVA")}


async def _start_all_the_same(hands: Hands) -> None:
    """Past what the proofreader doubts, where it does."""
    if not isinstance(hands.front, StartScreen) and hands.front.query("#question"):
        await hands.press("2")


async def test_the_procedures_own_materials_are_one_key_away(bench: Bench) -> None:
    async with opened(bench, StartScreen(), (120, 70)) as hands:
        await to_materials(hands)
        await hands.press("3", "2", "f4")
        assert "as you chose" not in hands.text("page-body")
        await hands.press("3", "1", "escape")
        await hands.press("f2")
        await _start_all_the_same(hands)
    assert serving(bench) == ("slow PVA", False)


async def test_the_step_shown_can_be_timed_from_now(bench: Bench) -> None:
    job = start_job(bench, "matched-bookends")
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("escape", "t", "1")
        assert "Started; timed from now." in hands.text("act")
    state = bench.job(job)
    assert state is not None
    assert [a.rpartition("/")[2] for a in state.begun] == ["weigh-blanks#1"]


async def test_what_is_left_in_the_cup_is_asked_and_the_card_shows_it(
    bench: Bench,
) -> None:
    job = start_free(bench, "Lid")
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("escape", "o", "3")
        assert "No cup has been mixed yet." in hands.text("act")
        await hands.press("m")
        hands.front.mark(("family", "slow casting epoxy"))
        await hands.press("enter", "1", "o", "3")
        assert "Mix of Lid, slow casting epoxy: grams left in the cup?" in hands.text("question")
        await hands.type("mixed 52, left 2")
        await hands.press("enter")
        assert "Recorded: 52 g mixed, 2 g left in the cup (3.8 %)." in hands.text("act")
        await hands.press("j")
        assert "52 g mixed, 2 g left in the cup" in hands.text("page-body")
    state = bench.job(job)
    assert state is not None
    assert [d.left_g for d in state.done.values()] == [2.0]
