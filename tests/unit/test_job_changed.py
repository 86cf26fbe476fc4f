"""A running job is changed in each way, shown first, and then finished: nothing done is lost."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from benchmate.bench.history.logbook import entries
from benchmate.bench.starting.changing import Change, Wish, change_of, take_change
from benchmate.bench.starting.wish_typed import change_wished
from benchmate.cli.group import cli
from benchmate.job.state.shop import JOB
from benchmate.plan.missed import with_missed
from benchmate.refusal import Refused, UnknownAddress
from tests.unit.loop_help import PAIR, Worked


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    """A pair of bookends whose first two layers are poured."""
    worked = Worked(tmp_path)
    worked.start()
    worked.do(worked.until("A/block/pour#2"))
    yield worked
    worked.bench.close()


def change(shop: Worked, wish: Wish, reason: str = "the maker wished it") -> Change:
    found = change_of(shop.bench, shop.state, wish)
    take_change(shop.bench, shop.state, found, reason)
    return found


def kept_and_finished(shop: Worked, before: dict[int, float]) -> None:
    """Every weighing of before is there, the job comes to its end, and a fresh bench agrees."""
    assert before.items() <= {v: w.net_g for v, w in shop.state.weighings.items()}.items()
    done = shop.finish()
    assert done.status == "finished"


def weighed(shop: Worked) -> dict[int, float]:
    return {v: w.net_g for v, w in shop.state.weighings.items()}


class TestWays:
    def test_another_target_moves_what_is_said_and_offered(self, shop: Worked) -> None:
        before = weighed(shop)
        found = change(shop, Wish(target_g=840.0))
        assert {d.kind for d in found.differences} == {"target"}
        assert [p.target_g for p in shop.state.plan.pieces] == [840.0, 840.0]  # type: ignore[union-attr]
        kept_and_finished(shop, before)

    def test_one_pieces_target_and_a_tolerance(self, shop: Worked) -> None:
        change(shop, Wish(target_g=846.0, tolerance_g=5.0, piece="B"))
        plan = shop.state.plan
        assert plan is not None
        assert [(p.target_g, p.tolerance_g) for p in plan.pieces] == [(850.0, 8.0), (846.0, 5.0)]

    def test_another_material_brings_its_clocks_and_leaves_what_was_done(
        self, shop: Worked
    ) -> None:
        before = weighed(shop)
        poured = {s.address: s for s in shop.state.steps.values() if s.address in shop.state.done}
        found = change(shop, Wish(materials={"glue": "white wood glue"}))
        kinds = {d.kind for d in found.differences}
        assert "material" in kinds
        assert any(kind.startswith("clock") for kind in kinds)
        assert {a: shop.state.steps[a] for a in poured} == poured
        kept_and_finished(shop, before)

    def test_one_more_piece_starts_at_its_blank(self, shop: Worked) -> None:
        before = weighed(shop)
        found = change(shop, Wish(pieces=3))
        assert ("piece added", "C") in {(d.kind, d.address) for d in found.differences}
        assert shop.until("C/block/weigh-blanks#1").kind == "weigh"
        shop.until("C/block/pour#2")
        assert before.items() <= weighed(shop).items()
        assert {"A", "B", "C"} <= {w.address.split("/")[1] for w in shop.state.weighings.values()}

    def test_a_begun_piece_is_scrapped_and_not_left_out(self, shop: Worked) -> None:
        with pytest.raises(Refused, match="begun"):
            change_of(shop.bench, shop.state, Wish(pieces=1))

    def test_an_edited_file_is_taken_over_from_here_on(self, shop: Worked, tmp_path: Path) -> None:
        before = weighed(shop)
        edited = tmp_path / "edited.toml"
        text = PAIR.read_text(encoding="utf-8")
        edited.write_text(text.replace("Sand the outer faces.", "Sand the outer faces to 240."))
        found = change(shop, Wish(file=str(edited)))
        assert "step" in {d.kind for d in found.differences}
        assert shop.state.text == edited.read_text()
        assert "240" in shop.step("A/all/outside#1").do
        kept_and_finished(shop, before)

    def test_a_step_is_added_moved_and_left_out(self, shop: Worked) -> None:
        before = weighed(shop)
        cured = shop.step("A/block/cured#1").address
        change(shop, Wish(add=(cured, "Sign the underside", 300.0)))
        added = shop.step("sign-the-underside#1").address
        assert list(shop.state.steps).index(added) == list(shop.state.steps).index(cured) + 1
        outside = shop.step("A/all/outside#1").address
        change(shop, Wish(move=(added, outside)))
        assert outside in shop.step("sign-the-underside#1").after
        change(shop, Wish(leave_out=added))
        assert added not in shop.state.steps
        kept_and_finished(shop, before)

    def test_another_amount(self, shop: Worked) -> None:
        step = shop.step("B/all/spread#1")
        found = change(shop, Wish(amount=(step.address, "", 2.5)))
        assert [(a.address, a.new) for a in found.amounts] == [(step.address, 2.5)]

    def test_what_was_changed_before_stays_when_the_plan_is_made_anew(self, shop: Worked) -> None:
        before = weighed(shop)
        change(shop, Wish(target_g=846.0, piece="B"))
        spread = shop.step("B/all/spread#1").address
        change(shop, Wish(amount=(spread, "", 2.5)))
        change(shop, Wish(add=(shop.step("A/block/cured#1").address, "Sign the underside", 300.0)))
        gone = shop.step("B/all/weigh-sanded#1").address
        change(shop, Wish(leave_out=gone))
        found = change(shop, Wish(materials={"glue": "white wood glue"}))
        assert "material" in {d.kind for d in found.differences}
        plan = shop.state.plan
        assert plan is not None
        assert [p.target_g for p in plan.pieces] == [850.0, 846.0]
        assert shop.step(spread).amounts[0].amount == 2.5
        assert shop.step("sign-the-underside#1")
        assert gone not in shop.state.steps
        kept_and_finished(shop, before)

    @pytest.mark.parametrize("piece", ["A", "C"])
    def test_what_is_asked_for_beside_a_plan_made_anew_stays_too(
        self, shop: Worked, piece: str
    ) -> None:
        spread, gone = (shop.step(f"B/all/{n}#1").address for n in ("spread", "weigh-sanded"))
        cured = shop.step("A/block/cured#1").address.replace("/A/", f"/{piece}/")
        wish = Wish(add=(cured, "Sign it", 300.0), amount=(spread, "", 2.5), leave_out=gone)
        found = change(shop, replace(wish, pieces=3))
        # Of the third piece it is said that it comes, and not each of its steps.
        added = [d.new for d in found.differences if d.kind == "step added" and d.by_hand]
        assert added == ["Sign it"]
        assert not any("C/block/pour" in line for line in found.lines())
        change(shop, Wish(materials={"glue": "white wood glue"}))
        assert shop.step("sign-it#1")
        assert shop.step(spread).amounts[0].amount == 2.5
        assert gone not in shop.state.steps

    def test_what_earlier_pieces_missed_stays_known(self, shop: Worked, tmp_path: Path) -> None:
        plan = shop.state.plan
        assert plan is not None
        job = replace(shop.state, plan=with_missed(plan, 3.2))
        for wish in (Wish(pieces=3), Wish(materials={"glue": "white wood glue"})):
            found = change_of(shop.bench, job, wish)
            assert {p.missed_g for p in found.plan.pieces} == {3.2}

    def test_a_moved_step_stays_moved_when_the_plan_is_made_anew(
        self, shop: Worked, tmp_path: Path
    ) -> None:
        whole = shop.step("B/all/weigh-sanded#1").address
        spread = shop.step("A/all/spread#1").address
        first = change(shop, Wish(move=(spread, shop.step("B/block/cured#1").address)))
        assert [d.kind for d in first.differences] == ["order"]
        assert "comes behind" in first.lines()[0]
        change(shop, Wish(move=(shop.step("A/all/outside#1").address, whole)))
        change(shop, Wish(pieces=3))
        assert shop.step("B/block/cured#1").address in shop.step(spread).after
        order = list(shop.state.steps)
        assert order.index(whole) < order.index(shop.step("A/all/outside#1").address)
        edited = tmp_path / "edited.toml"
        edited.write_text(PAIR.read_text(encoding="utf-8").replace("weigh sanded", "weigh smooth"))
        found = change(shop, Wish(file=str(edited)))
        assert shop.step("B/block/cured#1").address in shop.step(spread).after
        lost = [d for d in found.differences if d.kind == "move gone"]
        assert [(d.address, d.old, d.new) for d in lost] == [
            (shop.step("A/all/outside#1").address, whole, whole)
        ]


class TestRefusals:
    @pytest.mark.parametrize(
        ("wish", "says"),
        [
            (Wish(), "nothing"),
            (Wish(target_g=850.0), "nothing"),
        ],
    )
    def test_what_changes_nothing(self, shop: Worked, wish: Wish, says: str) -> None:
        with pytest.raises(Refused, match=says):
            change(shop, wish)

    def test_what_was_done_stays(self, shop: Worked) -> None:
        done = next(iter(shop.state.done))
        with pytest.raises(Refused, match="done or begun"):
            change_of(shop.bench, shop.state, Wish(leave_out=done))

    def test_a_step_whose_clock_others_wait_for_is_skipped_instead(self, shop: Worked) -> None:
        clamp = shop.step("A/all/clamp#1").address
        with pytest.raises(Refused, match="skip it"):
            change_of(shop.bench, shop.state, Wish(leave_out=clamp))

    def test_nothing_is_moved_behind_what_waits_for_it(self, shop: Worked) -> None:
        spread, clamp = (shop.step(f"A/all/{n}#1").address for n in ("spread", "clamp"))
        with pytest.raises(Refused, match="move that one first"):
            change_of(shop.bench, shop.state, Wish(move=(spread, clamp)))

    def test_a_file_whose_plan_cannot_be_made(self, shop: Worked, tmp_path: Path) -> None:
        edited = tmp_path / "edited.toml"
        text = PAIR.read_text(encoding="utf-8")
        edited.write_text(text.replace('wall  = "at least 4', 'wall  = "at least 24'))
        for file in (str(edited), str(tmp_path / "none.toml")):
            with pytest.raises(Refused, match=r"edited\.toml:|can't be read"):
                change_wished(shop.bench, shop.state, Wish(file=file))

    def test_names_that_there_are_not(self, shop: Worked) -> None:
        with pytest.raises(UnknownAddress):
            change_of(shop.bench, shop.state, Wish(target_g=800.0, piece="Z"))
        with pytest.raises(UnknownAddress):
            change_of(shop.bench, shop.state, Wish(materials={"varnish": "hard oil"}))

    def test_a_reason_is_asked_for(self, shop: Worked) -> None:
        with pytest.raises(Refused, match="why"):
            change(shop, Wish(target_g=840.0), reason=" ")


def test_the_logbook_tells_it_in_words_made_of_facts(shop: Worked) -> None:
    change(shop, Wish(target_g=840.0), reason="the shelf is weak")
    last = list(entries(shop.bench, JOB + shop.job))[-1].text
    assert "840" in last
    assert "the shelf is weak" in last


def run(shop: Worked, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(shop.home), "job", "change", shop.job, *words])


class TestCommand:
    def test_shows_first_and_takes_with_yes(self, shop: Worked) -> None:
        shop.bench.close()
        shown = run(shop, "--target", "840 g")
        assert shown.exit_code == 0, shown.output
        assert "850 → 840" in shown.output
        assert "Nothing is changed." in shown.output
        taken = run(shop, "--target", "840 g", "--keep", "--reason", "lighter")
        assert "The plan is changed." in taken.output

    def test_as_data(self, shop: Worked) -> None:
        shop.bench.close()
        data = json.loads(run(shop, "--target", "B=840 g", "--tolerance", "1 %", "--json").output)
        assert data["taken"] is False
        kinds = {(d["kind"], d["address"]) for d in data["differences"]}
        assert ("target", "B") in kinds
        assert {w["piece"] for w in data["weights"]} == {"bookend A", "bookend B"}

    def test_a_wrong_word_is_a_sentence(self, shop: Worked) -> None:
        shop.bench.close()
        for words in (["--target", "heavy"], ["--material", "glue"], ["--move", "A/all/oil#1"]):
            result = run(shop, *words)
            assert result.exit_code == 2, result.output
            assert "Traceback" not in result.output
