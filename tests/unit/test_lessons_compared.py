"""Ended jobs compared, charted, and made again: two ways of doing a thing, another like this."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench.history.comparing import compare_ways, ways_of
from benchmate.bench.history.records import known_procedures, readings
from benchmate.bench.starting.proofing import proof_of
from benchmate.bench.starting.start_like import another_like
from benchmate.bench.starting.starting import find_document, plan_for, start_job
from benchmate.learning.compare import Outcome
from benchmate.quantities import parse_mass_g
from benchmate.refusal import Refused
from tests.unit.loop_help import PAIR, Worked
from tests.unit.teaching_help import teach


@pytest.fixture(scope="module")
def two_shots(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Worked]:
    shop = Worked(tmp_path_factory.mktemp("shots"))
    for off in (-0.002, 0.0, 0.002):
        teach(shop, 0.585 + off)
        teach(shop, 0.610 + off, shot="steel 1 mm")
    yield shop
    shop.bench.close()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    shop = Worked(tmp_path)
    yield shop
    shop.bench.close()


class TestComparing:
    def test_two_shots_that_lie_differently_are_told_apart(self, two_shots: Worked) -> None:
        (found,) = compare_ways(two_shots.bench, PAIR.stem, "shot", "packing")
        assert found.found.outcome is Outcome.DIFFER
        assert (found.found.n_a, found.found.n_b) == (3, 3)
        assert found.found.difference is not None
        assert abs(found.found.difference) == pytest.approx(0.025, abs=0.001)

    def test_what_was_the_same_both_ways_is_too_few_to_say(self, two_shots: Worked) -> None:
        (found,) = compare_ways(two_shots.bench, PAIR.stem, "shot", "loss")
        assert found.found.outcome is Outcome.TOO_FEW
        assert found.found.sentence.startswith("Too few to say")

    def test_without_a_measure_all_that_was_recorded_both_ways_is_compared(
        self, two_shots: Worked
    ) -> None:
        found = compare_ways(two_shots.bench, PAIR.stem, "shot")
        assert [c.of for c in found] == ["off target", "missed by", "packing", "loss"]

    def test_one_way_alone_cant_be_compared(self, two_shots: Worked) -> None:
        with pytest.raises(Refused, match="All 6 jobs had glue yellow wood glue"):
            compare_ways(two_shots.bench, PAIR.stem, "glue")

    @pytest.mark.parametrize(("by", "of"), [("shto", ""), ("shot", "weihgt")])
    def test_a_wrong_name_gets_the_nearest_right_one(
        self, two_shots: Worked, by: str, of: str
    ) -> None:
        with pytest.raises(Refused, match=r"the nearest is|write one of"):
            compare_ways(two_shots.bench, PAIR.stem, by, of)

    def test_pieces_of_one_job_may_go_different_ways(self, shop: Worked) -> None:
        shop.start(parameters={"depth": {"A": "47 mm", "B": "45 mm"}})
        plan = shop.state.plan
        assert plan is not None
        assert ways_of(plan, "depth") == {"A": "47 mm", "B": "45 mm"}
        assert ways_of(plan, "shot") == {"A": "steel 2 mm", "B": "steel 2 mm"}
        assert ways_of(plan, "glue") == {"A": "yellow wood glue", "B": "yellow wood glue"}


class TestReadings:
    @pytest.mark.parametrize(
        ("of", "count"), [("weights", 8), ("gains", 32), ("packing", 8), ("loss", 8)]
    )
    def test_every_record_counts_once(self, taught: Worked, of: str, count: int) -> None:
        found = readings(taught.bench, of, PAIR.stem)
        assert len(found) == count
        assert [r.at_s for r in found] == sorted(r.at_s or 0.0 for r in found)

    def test_a_running_job_counts_too(self, shop: Worked) -> None:
        shop.start()
        shop.until("A/block/pour#2")
        assert [r.target for r in readings(shop.bench, "gains")] == pytest.approx([129.1], abs=0.1)

    @pytest.mark.parametrize(
        ("of", "procedure", "said"),
        [
            ("weigths", "", 'nearest is "weights"'),
            ("weights", "pair", "No job of “pair” has been recorded"),
        ],
    )
    def test_unknown_names_are_refused(
        self, taught: Worked, of: str, procedure: str, said: str
    ) -> None:
        with pytest.raises(Refused, match=said):
            readings(taught.bench, of, procedure)

    def test_nothing_recorded_is_said(self, shop: Worked) -> None:
        shop.start()
        with pytest.raises(Refused, match="No job has recorded a finished weight"):
            readings(shop.bench, "weights")

    def test_procedures_are_counted_by_their_ended_jobs(self, taught: Worked) -> None:
        assert known_procedures(taught.bench) == {PAIR.stem: 5}


THIN = """
name = "Thin"
[parameters.deep]
default = "45 mm"
[parts.block]
wood = "black walnut"
size = "120 x 90 x 52 mm"
[parts.block.void]
shape = "slot"
size = "80 x 30 x {deep}"
wall = "at least 4 mm"
[materials]
shot = "steel 2 mm"
resin = "slow casting epoxy"
[[steps]]
use = "shot pour"
part = "block"
"""


class TestAnother:
    def test_takes_the_parameters_of_that_job(self, shop: Worked) -> None:
        shop.start(parameters={"depth": {"A": "47 mm", "B": "45 mm"}, "target": "840 g"})
        again = another_like(shop.bench, shop.job)
        assert again.procedure == PAIR.stem
        assert again.values == {
            "target": "840 g",
            "depth": {"A": "47 mm", "B": "45 mm"},
            "coats": "1",
            "reserve": "0 %",
            "shot": "steel 2 mm",
        }
        assert again.said == ()
        plan, _ = plan_for(shop.bench, again.procedure, again.values, "x")
        first = shop.state.plan
        assert first is not None
        assert [f.void_ml for f in plan.fills] == [f.void_ml for f in first.fills]

    def test_smaller_goes_by_what_each_parameter_measures(self, shop: Worked) -> None:
        shop.start()
        again = another_like(shop.bench, shop.job, -10.0)
        assert again.values["target"] == "800 g"  # not 850 × 0.9³: only the void shrinks
        document, _ = find_document(shop.bench, again.procedure)
        proof = proof_of(shop.bench, document, again.values)
        assert (proof.errors, proof.findings) == ((), ())
        assert proof.masses_g["A"] == pytest.approx(800.0, abs=2.5)
        assert again.values["depth"] == "42.5 mm"  # 47 × 0.9, to half a millimetre
        assert again.values["coats"] == "1"

    def test_what_would_pass_its_limit_stays_and_is_said(self, shop: Worked) -> None:
        shop.start(parameters={"depth": {"A": "47 mm", "B": "40 mm"}})
        again = another_like(shop.bench, shop.job, 20.0)
        assert again.values["depth"] == {"A": "47 mm", "B": "48 mm"}
        assert len(again.said) == 2
        assert "what the plan comes to (it was 850 g)" in again.said[1]
        assert again.said[0].startswith("As it was: depth would be 56.5 mm")

    def test_the_bookends_grow_every_way_and_the_target_is_what_the_plan_comes_to(
        self, shop: Worked
    ) -> None:
        """Outside check: all lengths × 1.2 is 1.2³ of the weight, less what doesn't grow (a cover
        of 6 mm, a cap of 1.5 mm, finish and felt), which can't be a tenth of it."""
        again = another_like(shop.bench, start_job(shop.bench, "matched-bookends"), 20.0)
        assert (again.values["face"], again.values["slot"]) == ("144 x 108 mm", "96 x 36 mm")
        assert (again.values["thickness"], again.values["depth"]) == ("66 mm", "57.5 mm")
        assert 0.95 < parse_mass_g(again.values["target"]) / (850.0 * 1.2**3) < 1.0
        document, _ = find_document(shop.bench, again.procedure)
        assert proof_of(shop.bench, document, again.values).findings == ()

    @pytest.mark.parametrize(
        ("procedure", "percent", "why"),
        [
            ("turned-lamp-base", 20.0, "depth would be 24.5 mm: it must be at most 24 mm"),
            ("matched-bookends", 60.0, "depth would be|target would be 3"),
            ("plane-setting-hammer", -10.0, "length would be 75.5 mm"),
        ],
    )
    def test_what_cannot_be_made_so_is_refused_with_the_reason(
        self, shop: Worked, procedure: str, percent: float, why: str
    ) -> None:
        with pytest.raises(Refused, match=f"can't be made .*{why}"):
            another_like(shop.bench, start_job(shop.bench, procedure), percent)

    def test_a_wall_that_would_be_too_thin_is_refused_with_the_wall(self, shop: Worked) -> None:
        own = shop.bench.folders.procedures / "thin.toml"
        own.parent.mkdir(exist_ok=True)
        own.write_text(THIN, encoding="utf-8")
        job = start_job(shop.bench, "thin")
        with pytest.raises(Refused, match=r"the wall .* is 2\.5 mm, less than 4 mm"):
            another_like(shop.bench, job, 10.0)

    def test_a_procedure_that_has_changed_is_said(self, shop: Worked) -> None:
        shop.start()
        mine = shop.bench.folders.procedures / PAIR.name
        mine.write_text(
            mine.read_text()
            .replace("[parameters.coats]", "[parameters.layers]")
            .replace('"{coats}"', '"{layers}"')
        )
        said = another_like(shop.bench, shop.job).said
        assert said[0] == "The procedure no longer has a parameter “coats”."
        assert "has changed since that job" in said[1]

    def test_a_job_without_a_procedure_has_no_like(self, shop: Worked) -> None:
        from benchmate.bench.starting.starting import start_free

        job = start_free(shop.bench, "odds and ends")
        with pytest.raises(Refused, match="procedure new NAME --job"):
            another_like(shop.bench, job)
