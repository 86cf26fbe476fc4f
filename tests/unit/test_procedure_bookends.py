"""The shipped pair of bookends is physically possible, and its plan adds up."""

import math
from collections.abc import Iterator

import msgspec
import pytest

from benchmate.plan.plan import Plan, Step
from benchmate.procedure.finding import find, load_file
from benchmate.shelf import FAMILIES
from tests.plans import expand

STEEL_G_CM3 = (7.7, 7.86)
"""Steel shot's usual range (common practice, no source)."""


@pytest.fixture(scope="module")
def plan() -> Plan:
    found = find("matched-bookends")
    assert found is not None
    return expand(load_file(found.path), job_id="bookends-1", materials={}, families=FAMILIES)


def of_piece(plan: Plan, piece: str) -> list[Step]:
    return [s for s in plan.steps if s.piece == piece]


def finished_g(plan: Plan, piece: str) -> float:
    wood = sum(p.mass_g for p in plan.parts if p.piece == piece)
    fill = sum(la.shot_g + la.resin_g for f in plan.fills if f.piece == piece for la in f.layers)
    cap = sum(f.cap_g for f in plan.fills if f.piece == piece)
    return wood + fill + cap + sum(s.adds_g - s.takes_g for s in of_piece(plan, piece))


def test_the_plan_lands_on_its_target_without_help(plan: Plan) -> None:
    for piece in plan.pieces:
        assert piece.target_g == 850.0
        assert finished_g(plan, piece.name) == pytest.approx(piece.target_g, abs=2.0)


def test_the_last_weigh_point_is_what_wood_fill_and_finish_add_up_to(plan: Plan) -> None:
    for piece in plan.pieces:
        last = [s.weigh for s in of_piece(plan, piece.name) if s.weigh][-1]
        assert last.plan_g == pytest.approx(finished_g(plan, piece.name))
        assert last.weighed == "whole"


def test_the_void_is_the_slot_that_was_drawn(plan: Plan) -> None:
    # A slot with round ends: rectangle between the end arcs' centres, and one full circle.
    mouth_mm2 = (80 - 30) * 30 + math.pi * 15**2
    for fill in plan.fills:
        assert fill.void_ml == pytest.approx(mouth_mm2 * 48 / 1000)


def test_the_void_leaves_walls_all_round() -> None:
    # block 120 x 90 x 55, slot 80 x 30 x 48: ends 20, sides 30, behind 7 mm.
    assert min((120 - 80) / 2, (90 - 30) / 2, 55 - 48) >= 4


def test_shot_is_packed_about_as_poured_shot_packs(plan: Plan) -> None:
    # Poured shot in practice 0.58 to 0.61 (from memory; agrees with Benyahia and O'Neill 2005).
    for fill in plan.fills:
        assert 0.58 <= fill.packing <= 0.61
        assert STEEL_G_CM3[0] <= fill.shot_density_g_cm3 <= STEEL_G_CM3[1]


def test_shot_and_resin_of_all_layers_fill_the_void_and_no_more(plan: Plan) -> None:
    for fill in plan.fills:
        shot_ml = sum(la.shot_g for la in fill.layers) / fill.shot_density_g_cm3
        resin_ml = sum(la.resin_g for la in fill.layers) + fill.cap_g
        assert shot_ml + resin_ml / fill.resin_density_g_cm3 == pytest.approx(fill.void_ml)


def test_each_cup_holds_what_its_pours_take_and_the_loss(plan: Plan) -> None:
    steps = {s.address: s for s in plan.steps}
    for mix in plan.mixes:
        taken = sum(a.amount for s in mix.serves for a in steps[s].amounts if a.what == "resin")
        assert mix.total_g == pytest.approx(taken / 0.95)
        assert mix.a_g + mix.b_g == pytest.approx(mix.total_g)
        assert mix.a_g / mix.b_g == pytest.approx(100 / 30)


def test_a_cup_can_be_poured_before_it_gels(plan: Plan) -> None:
    steps = {s.address: s for s in plan.steps}
    for mix in plan.mixes:
        (pot_life,) = steps[mix.address].windows
        assert sum(steps[s].hands_s for s in mix.serves) < (pot_life.closes_s or 0.0)


def test_every_pour_from_a_cup_is_within_its_pot_life(plan: Plan) -> None:
    for mix in plan.mixes:
        for step in (s for s in plan.steps if s.address in mix.serves):
            assert step.mix == mix.address
            assert f"{mix.address}:pot-life" in step.within


def test_both_pieces_are_planned_alike(plan: Plan) -> None:
    a, b = ([s.do for s in of_piece(plan, p) if s.act != "poured"] for p in "AB")
    assert a == b
    assert plan.match_g == 5.0


def addresses(step: Step) -> Iterator[str]:
    yield from step.after
    yield from (w.rpartition(":")[0] for w in (*step.waits, *step.waits_full, *step.within))


def test_every_step_only_waits_for_what_stands_before_it(plan: Plan) -> None:
    before: set[str] = set()
    for step in plan.steps:
        assert set(addresses(step)) <= before, step.address
        before.add(step.address)


def test_every_window_named_is_there_once(plan: Plan) -> None:
    windows = [w.address for s in plan.steps for w in s.windows]
    assert len(windows) == len(set(windows))
    for step in plan.steps:
        assert {*step.waits, *step.waits_full, *step.within} <= set(windows)


def test_the_plan_survives_being_stored(plan: Plan) -> None:
    assert msgspec.json.decode(msgspec.json.encode(plan), type=Plan) == plan


def test_values_that_no_label_gave_are_marked(plan: Plan) -> None:
    assert any("mix ratio" in line for line in plan.rough)
    assert any("open time" in line for line in plan.rough)
    assert all("common practice, no source" in line for line in plan.rough)


def test_the_step_with_rags_says_so(plan: Plan) -> None:
    assert {s.act for s in plan.steps if s.rag} == {"coated", "wiped"}
    assert "oily rags" in plan.cautions
