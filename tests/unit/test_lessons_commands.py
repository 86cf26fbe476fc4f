"""Starting, lessons, charts over the records, and what was really used, by commands."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.summary import final_weighing
from tests.unit.desk_help import Desk
from tests.unit.loop_help import PAIR, QUARTER_S, Worked
from tests.unit.teaching_help import PACKING, teach


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    return Desk(Worked(tmp_path), monkeypatch)


@pytest.fixture
def taught(taught_home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A desk in a copy of that home."""
    home = shutil.copytree(taught_home, tmp_path / "home")
    return Desk(Worked(home, later_s=QUARTER_S), monkeypatch)


class TestStart:
    def test_says_once_what_the_scale_cant_see(self, desk: Desk) -> None:
        desk.says("scale", "parcel", "--division", "5g")
        desk.shop.start()
        said = desk.says("start", PAIR.stem)
        assert said.count("can never show that a piece is within ± 2.0 g") == 1
        assert "It can see ± 10 g" in said

    def test_lists_what_earlier_jobs_taught_and_keeps_the_plan(self, taught: Desk) -> None:
        desk = taught
        said = desk.says("start", PAIR.stem)
        assert "Earlier jobs would change this; this job keeps its plan:" in said
        assert "  packing/block 0.603 → 0.585 ± " in said
        assert ", from 3 jobs: Shot for one block" in said
        job = desk.shop.bench.job("pair_of_bookends-4")
        assert job is not None
        assert job.plan is not None
        assert job.plan.learned == {}

    def test_with_learned_takes_all_of_it_over_first(self, taught: Desk) -> None:
        desk = taught
        said = desk.says("start", PAIR.stem, "--learned")
        assert "In use from now on: packing/block 0.603 → 0.585" in said
        assert "Planned with what earlier jobs taught: packing/block 0.585" in said
        job = desk.shop.bench.job("pair_of_bookends-4")
        assert job is not None
        assert job.plan is not None
        assert job.plan.fills[0].packing == pytest.approx(0.585)
        said = desk.says("start", PAIR.stem)
        assert "Earlier jobs would change this" not in said

    def test_another_like_this_one_so_much_smaller(self, desk: Desk) -> None:
        desk.shop.start(parameters={"coats": "2"})
        desk.says("start", "--like", desk.shop.job, "--bigger", "-10 %", "--id", "small")
        job = desk.shop.bench.job("small")
        assert job is not None
        assert job.plan is not None
        assert job.plan.pieces[0].target_g == 800.0, "what the smaller void comes to"
        assert job.plan.parameters["coats"] == "2"

    def test_what_is_set_wins_over_the_earlier_job(self, desk: Desk) -> None:
        desk.shop.start(parameters={"coats": "2"})
        desk.says("start", "--like", desk.shop.job, "--set", "coats=3", "--id", "more")
        job = desk.shop.bench.job("more")
        assert job is not None
        assert job.plan is not None
        assert job.plan.parameters["coats"] == "3"

    @pytest.mark.parametrize(
        "words",
        [
            (),
            (PAIR.stem, "--like", "x"),
            (PAIR.stem, "--bigger", "20"),
            ("--like", "nobody-9"),
            ("--like", "pair_of_bookends-1", "--bigger", "-100"),
        ],
        ids=" ".join,
    )
    def test_what_cant_be_meant_is_refused(self, desk: Desk, words: tuple[str, ...]) -> None:
        desk.shop.start()
        assert desk.refuses("start", *words)


class TestLessons:
    def test_first_and_plain_the_last_jobs_side_by_side(self, taught: Desk) -> None:
        said = taught.says("procedure", "lessons", PAIR.stem).splitlines()
        assert said[0].split() == [f"pair_of_bookends-{n}" for n in (1, 2, 3)]
        assert said[1].startswith("started")
        assert any(row.startswith("bookend A, packing") for row in said)
        assert len({row.index("0.5") for row in said if "packing  " in row}) == 1

    def test_as_data(self, taught: Desk) -> None:
        data = json.loads(taught.says("procedure", "lessons", PAIR.stem, "--json"))
        assert data["jobs"] == [f"pair_of_bookends-{n}" for n in (1, 2, 3)]
        assert {o["key"] for o in data["offers"]} == {"packing/block", "loss/mix", "hands/pour"}
        assert data["in_use"] == []

    def test_one_value_is_taken_and_taken_back(self, taught: Desk) -> None:
        said = taught.says("procedure", "lessons", PAIR.stem, "--accept", "packing/block")
        assert said.startswith("In use from now on: packing/block 0.603 → 0.585 ± ")
        assert "In use: packing/block 0.585 (was 0.603, from 3 jobs)" in taught.says(
            "procedure", "lessons", PAIR.stem
        )
        said = taught.says("procedure", "lessons", PAIR.stem, "--back", "packing/block")
        assert said.startswith("By the file again: no longer packing/block 0.585")
        assert "packing/block" not in taught.says("procedure", "lessons", PAIR.stem)

    def test_two_ways_are_compared_or_said_to_be_too_few(self, taught: Desk) -> None:
        teach(taught.shop, 0.61, shot="steel 1 mm")
        said = taught.says(
            "procedure", "lessons", PAIR.stem, "--compare", "shot", "--of", "packing"
        )
        assert said == (
            "packing: Too few to say: 3 of steel 2 mm and 1 of steel 1 mm; at least "
            "3 of each are needed.\n"
        )
        (data,) = json.loads(
            taught.says(
                "procedure", "lessons", PAIR.stem, "--compare", "shot", "--of", "packing", "--json"
            )
        )
        assert data["n"] == [3, 1]
        assert data["outcome"] == "too few to say"

    def test_without_a_procedure_lists_those_with_ended_jobs(self, taught: Desk) -> None:
        assert taught.says("procedure", "lessons") == "pair_of_bookends  3 jobs ended\n"

    @pytest.mark.parametrize(
        "words",
        [
            ("nothing-like-it",),
            (PAIR.stem, "--take", "packing/lid"),
            (PAIR.stem, "--back", "packing/lid"),
            (PAIR.stem, "--compare", "glue"),
        ],
        ids=" ".join,
    )
    def test_what_isnt_there_is_refused(self, taught: Desk, words: tuple[str, ...]) -> None:
        assert taught.refuses("procedure", "lessons", *words)

    def test_a_shop_without_ended_jobs_says_so(self, desk: Desk) -> None:
        desk.shop.start()
        assert desk.says("procedure", "lessons") == (
            "No job has ended yet. Lessons come from jobs that are finished or stopped.\n"
        )
        assert (
            desk.says("procedure", "lessons", PAIR.stem)
            == "No job of pair_of_bookends has ended yet.\n"
        )


class TestCharts:
    def test_the_shops_own_records_are_charted(self, taught: Desk) -> None:
        desk = taught
        data = json.loads(desk.says("logbook", "chart", "--of", "packing", "--json"))
        assert len(data["points"]) == 3
        assert data["centre"] == pytest.approx(PACKING, abs=0.001)
        assert data["said"][0].startswith("3 in order")
        said = desk.says("logbook", "chart", "--of", "gains", "--procedure", PAIR.stem)
        assert said.startswith("gains in g, pair_of_bookends\n")
        assert "3 in order, about the target" in said
        assert "no options but" in desk.refuses("logbook", "chart", "--type", "ewma")

    def test_a_file_and_the_records_dont_mix(self, desk: Desk) -> None:
        desk.shop.start()
        said = desk.refuses("logbook", "chart", "--of", "gains", "--data", "x.csv", "--column", "y")
        assert "not both" in said

    def test_nothing_recorded_is_said(self, desk: Desk) -> None:
        desk.shop.start()
        assert "No job has recorded a finished weight" in desk.refuses("logbook", "chart")


class TestMark:
    def test_what_was_really_used_and_what_stayed_are_kept(self, desk: Desk) -> None:
        desk.shop.start()
        act = desk.shop.until("A/all/spread#1", kind="do")
        desk.says("done", act.address, "--used", "glue=2.4 g")
        assert desk.shop.state.done[act.address].used == {"glue": 2.4}

    def test_the_only_material_needs_no_name(self, desk: Desk) -> None:
        desk.shop.start()
        act = desk.shop.until("A/all/spread#1", kind="do")
        desk.says("done", act.address, "--used", "2.4 g")
        assert desk.shop.state.done[act.address].used == {"glue": 2.4}

    def test_another_material_is_refused(self, desk: Desk) -> None:
        desk.shop.start()
        act = desk.shop.until("A/all/spread#1", kind="do")
        assert "it has: glue" in desk.refuses("done", act.address, "--used", "oil=2 g")


class TestFinish:
    def test_takes_a_weight_that_no_step_asked_for(self, desk: Desk) -> None:
        desk.says("start", "matched-bookends")
        assert "still to do" in desk.refuses("job", "finish", "well", "--weight", "A=851 g")
        shop = desk.shop.bench
        for step in list(shop.shop.jobs["matched-bookends-1"].steps.values()):
            shop.do("matched-bookends-1", cmd.Skip(address=step.address, reason="a rehearsal"))
        assert "A=850g" in desk.refuses("job", "finish", "well", "--weight", "851 g")
        said = desk.says("job", "finish", "well", "--weight", "A=851 g", "--weight", "B=849 g")
        assert "`benchmate start --like matched-bookends-1`" in said
        job = shop.job("matched-bookends-1")
        assert job is not None
        assert [f.net_g for p in "AB" if (f := final_weighing(job, p))] == [851.0, 849.0]
        assert "weighed finished piece: 851 g" in desk.says("logbook", "list")


class TestWishes:
    def test_are_listed_taken_into_the_file_once_seen_and_forgotten(self, desk: Desk) -> None:
        desk.says("start", "matched-bookends")
        desk.says("note", "tap longer", "--next-time", "pour")
        desk.says("note", "warm the resin", "--next-time", "tape")
        name = "matched-bookends"
        assert "1  at “pour”: tap longer" in desk.says("procedure", "lessons", name)
        assert "Next time, you said, at “pour”: tap longer" in desk.says("start", name)
        asked = desk.says("procedure", "lessons", name, "--into-file", "1")
        assert '+change.pour.note = "tap longer"' in asked
        own = desk.shop.bench.folders.procedures / f"{name}.toml"
        assert not own.exists(), "nothing is written without being asked for"
        done = desk.says("procedure", "lessons", name, "--into-file", "1", "--keep")
        assert f"Your own copy has it: {own}." in done
        assert "taken into" in desk.says("logbook", "list")
        assert "Forgotten: warm the resin" in desk.says(
            "procedure", "lessons", name, "--forget", "1"
        )
        assert "Next time:" not in desk.says("procedure", "lessons", name)
        assert desk.says("procedure", "check", name) == "Nothing is wrong.\n"
