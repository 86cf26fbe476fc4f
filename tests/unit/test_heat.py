"""The heat of a mix as a maker is told of it: from the plan, the material and the air."""

from __future__ import annotations

import json
import math
import time
from pathlib import Path

import msgspec
import pytest

from benchmate.bench.service import Bench
from benchmate.bench.shelf.heat import HeatNotes, HeatQuestion, heat_of, mix_step, question_of
from benchmate.bench.shelf.heat_voids import voids_of
from benchmate.bench.shelf.shelf import describe_material
from benchmate.bench.starting.starting import start_job
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.windows import edges_from
from benchmate.reckon.filling.metal import ELEMENTS, TRADE
from benchmate.reckon.heat.heat import EPOXY_HEAT_J_G
from benchmate.reckon.heat.pour_heat import pour_heat
from benchmate.refusal import Refused
from benchmate.shelf import Material
from tests.unit.airing_help import Glueing, H

_FILLED = """
name = "Weights"
makes = 2
[parts.block]
wood = "black walnut"
size = "120 x 90 x 54 mm"
[parts.block.void]
shape = "{shape}"
size  = "{size}"
cap   = "1.5 mm"
[materials]
shot  = "{shot}"
resin = "{resin}"
{first}
[[steps]]
use = "shot pour"
part = "block"
layers = 3
way = "{way}"
"""
GLUED = '[[steps]]\nid = "lay up"\ndo = "Glue it up."\nact = "clamped"\npart = "block"'
SLOT = {
    "shape": "slot",
    "size": "80 x 30 x 47 mm",
    "shot": "steel 2 mm",
    "resin": "slow casting epoxy",
    "way": "one mix",
    "first": GLUED,
}


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    return Glueing(tmp_path)


def filled(shop: Glueing, **other: str) -> JobState:
    folder = shop.home / "procedures"
    folder.mkdir(exist_ok=True)
    (folder / "weights.toml").write_text(_FILLED.format(**{**SLOT, **other}))
    name = start_job(shop.bench, "weights")
    return shop.bench.shop.jobs[name]


def asked(bench: Bench, job: JobState, address: str = "") -> HeatQuestion:
    found = question_of(bench, job, mix_step(job, address))
    assert found is not None
    return found


def test_the_question_is_the_plans_cup_at_the_airs_temperature(shop: Glueing) -> None:
    job = filled(shop)
    shop.air(17.2)
    found = asked(shop.bench, job)
    assert job.plan is not None
    mix = job.plan.mixes[0]
    assert found.address == mix.address
    assert found.cup.mass_g == mix.total_g
    assert (found.cup.pot_life_min, found.cup.label_c, found.cup.label_mass_g) == (45, 18, 150)
    assert found.cup.start_c == 17.0
    assert found.assumed == ()
    assert found.material == "slow casting epoxy"


def test_all_layers_of_one_cup_warm_as_one_with_their_cap(shop: Glueing) -> None:
    job = filled(shop)
    ((whose, void),) = asked(shop.bench, job).voids
    assert job.plan is not None
    fill = job.plan.fills[0]
    assert whose == "A"
    assert void.shot_g == pytest.approx(sum(layer.shot_g for layer in fill.layers))
    assert void.resin_g == pytest.approx(sum(layer.resin_g for layer in fill.layers) + fill.cap_g)
    assert void.volume_ml == pytest.approx(fill.void_ml, rel=0.01)
    assert void.shot_specific_heat_j_gk == TRADE["steel"].specific_heat_j_gk


def test_a_staged_layer_warms_alone(shop: Glueing) -> None:
    job = filled(shop, way="staged")
    ((_, void),) = asked(shop.bench, job).voids
    assert job.plan is not None
    layer = job.plan.fills[0].layers[0]
    assert (void.shot_g, void.resin_g) == pytest.approx((layer.shot_g, layer.resin_g))


@pytest.mark.parametrize(
    ("shape", "size", "width_mm"),
    [
        # A round void is its own equal; a slot loses no less than the round one of its mouth; a
        # ring's side area over its volume is that of a bore of twice its gap, exactly.
        ("bore", "40 x 40 mm", 40.0),
        ("slot", "80 x 30 x 47 mm", 2 * math.sqrt((50 * 30 + math.pi * 15**2) / math.pi)),
        ("ring", "60 x 40 x 40 mm", 20.0),
    ],
)
def test_a_void_is_reckoned_as_the_bore_that_loses_least(
    shop: Glueing, shape: str, size: str, width_mm: float
) -> None:
    job = filled(shop, shape=shape, size=size)
    ((_, void),) = asked(shop.bench, job).voids
    assert void.width_mm == pytest.approx(width_mm, rel=0.01)


def test_the_walls_wood_is_all_the_parts_wood(shop: Glueing) -> None:
    job = filled(shop, shape="bore", size="40 x 40 mm")
    ((_, void),) = asked(shop.bench, job).voids
    wood_mm3 = 120 * 90 * 54 - math.pi * 20**2 * 40
    assert void.wall_mm == pytest.approx(
        min(60.0, wood_mm3 / (math.pi * 40 * 40 + math.pi * 20**2))
    )


def test_an_older_plan_without_the_voids_size_is_reckoned_as_deep_as_wide(shop: Glueing) -> None:
    job = filled(shop)
    assert job.plan is not None
    fills = tuple(msgspec.structs.replace(f, gap_mm=None, deep_mm=None) for f in job.plan.fills)
    plan = msgspec.structs.replace(job.plan, fills=fills)
    old = JobState(job.job, job.title, job.started, plan=plan, steps=job.steps)
    ((_, void),) = voids_of(old, plan.mixes[0], 20.0)
    assert void.width_mm == pytest.approx((4 * fills[0].void_ml / math.pi) ** (1 / 3) * 10)


@pytest.mark.parametrize(
    ("shot", "heat_j_gk"),
    [
        ("steel 2 mm", ELEMENTS["iron"].specific_heat_j_gk),
        ("lead shot", ELEMENTS["lead"].specific_heat_j_gk),
        ("tungsten shot", ELEMENTS["tungsten"].specific_heat_j_gk),
        ("brass shot", ELEMENTS["copper"].specific_heat_j_gk),
    ],
)
def test_the_shots_metal_is_known_by_its_density(
    shop: Glueing, shot: str, heat_j_gk: float
) -> None:
    job = filled(shop, shot=shot)
    ((_, void),) = asked(shop.bench, job).voids
    assert void.shot_specific_heat_j_gk == heat_j_gk


def test_the_answer_is_the_reckoners(shop: Glueing) -> None:
    job = filled(shop)
    shop.air(21.0)
    question = asked(shop.bench, job)
    found = heat_of(question)
    want = pour_heat(question.cup, question.voids[0][1])
    assert found.cup.course == want.cup
    assert found.voids[0][1] == want
    assert found.voids[0][1].void.peak_c < found.voids[0][1].void_adiabatic_c
    assert all("rough" in c for c in found.cautions)
    assert found.cautions[0].startswith("A: In the void")
    assert found.advice == tuple(dict.fromkeys(found.advice))


def test_a_block_that_was_never_glued_is_only_held_to_what_wood_bears(shop: Glueing) -> None:
    shop.air(21.0)
    glued = asked(shop.bench, filled(shop)).voids[0][1]
    bare = asked(shop.bench, filled(shop, first="")).voids[0][1]
    assert (glued.what_bears, bare.what_bears) == ("glue lines nearby", "bare walls of wood")
    assert bare.bears_c > glued.bears_c


def test_a_small_cup_is_not_cried_over_at_every_mix(shop: Glueing) -> None:
    found = heat_of(asked(shop.bench, filled(shop)))
    assert found.question.cup.mass_g < found.question.cup.label_mass_g / 2
    assert found.cup.cautions
    assert not set(found.cup.cautions) & set(found.standing)


def test_a_heat_that_the_label_gives_counts_and_the_familys_is_rough(shop: Glueing) -> None:
    plain = asked(shop.bench, filled(shop))
    material = Material(name="cool resin", family="slow casting epoxy", heat_j_g=250.0)
    describe_material(shop.bench, material)
    cool = asked(shop.bench, filled(shop, resin="cool resin"))
    assert (cool.cup.heat_j_g, plain.cup.heat_j_g) == (250.0, None)
    assert not any("heat of cure" in r for r in heat_of(cool).cup.rough)
    assert f"heat of cure {EPOXY_HEAT_J_G:.0f} J/g: the family's, rough" in heat_of(plain).cup.rough
    assert heat_of(cool).cup.course.peak_c < heat_of(plain).cup.course.peak_c


@pytest.mark.parametrize("ago_s", [None, 4 * H], ids=["never read", "read hours ago"])
def test_without_a_fresh_reading_the_labels_temperature_is_taken_and_said(
    shop: Glueing, ago_s: float | None
) -> None:
    job = filled(shop)
    if ago_s is not None:
        shop.air(9.0, ago_s=ago_s)
    found = asked(shop.bench, job)
    assert found.cup.start_c == 21.0
    assert found.assumed == ("mix, shot and shop at 21 °C: nobody has read the air lately",)


def test_an_epoxy_for_a_joint_is_a_cup_without_a_void(shop: Glueing) -> None:
    shop.joint("epoxy")
    (job,) = shop.bench.shop.live
    found = asked(shop.bench, job)
    assert found.voids == ()
    assert heat_of(found).cautions == heat_of(found).cup.cautions


def test_what_mixes_nothing_has_no_heat(shop: Glueing) -> None:
    shop.joint("glue")
    (job,) = shop.bench.shop.live
    assert question_of(shop.bench, job, next(iter(job.steps.values()))) is None
    with pytest.raises(Refused, match="no mix still to come"):
        mix_step(job)


def test_notes_come_when_they_are_worked_out_and_anew_when_the_air_changes(shop: Glueing) -> None:
    job = filled(shop)
    shop.air(21.0)
    step = mix_step(job)
    act = Act(job.job, step.address, "do", step, (0, 0))
    notes = HeatNotes(shop.bench)
    first = _awaited(notes, act)
    assert first[0].startswith("A: In the void")
    assert notes.of(act) == first
    shop.clock.tick(H)
    shop.air(24.0)
    assert _awaited(notes, act) != first
    weigh = Act(job.job, step.address, "weigh", step, (0, 0))
    assert notes.of(weigh) == notes.of(None) == ()


def _awaited(notes: HeatNotes, act: Act) -> tuple[str, ...]:
    for _ in range(1000):
        found = notes.of(act)
        if found:
            return found
        time.sleep(0.01)
    raise AssertionError("the notes never came")


class TestTheCommand:
    """`benchmate calc heat`."""

    @pytest.fixture
    def open_shop(self, shop: Glueing, monkeypatch: pytest.MonkeyPatch) -> Glueing:
        filled(shop)
        shop.air(17.0)
        monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)
        return shop

    def test_it_says_cup_void_pot_life_and_what_was_assumed(self, open_shop: Glueing) -> None:
        done = open_shop.run("calc", "heat")
        assert done.exit_code == 0
        lines = done.stdout.splitlines()
        assert lines[0].endswith(" of slow casting epoxy, begun at 17 °C")
        assert "left in the cup" in lines[1]
        assert "if the resin is a lively one" in lines[1]
        assert "if no heat got out at all" in lines[2]
        assert "common practice is 45 min at 18 °C for 150 g" in lines[3]
        assert lines[-2].endswith("the family's, rough")
        assert lines[-1] == "  Rough figures: go by the maker's sheet and a small test."

    def test_a_cooler_start_is_asked_for_by_an_option(self, open_shop: Glueing) -> None:
        warm = json.loads(open_shop.run("calc", "heat", "--json", "--start", "25C").stdout)
        cool = json.loads(open_shop.run("calc", "heat", "--json", "--start", "12C").stdout)
        assert (warm["start_c"], cool["start_c"]) == (25.0, 12.0)
        assert cool["voids"][0]["peak_c"] < warm["voids"][0]["peak_c"]
        assert cool["pourable_min"] > warm["pourable_min"]

    def test_a_step_that_mixes_nothing_is_refused(self, open_shop: Glueing) -> None:
        done = open_shop.run("calc", "heat", "A/block/pour#1")
        assert done.exit_code == Exit.REFUSED
        assert "mixes nothing that heats up" in done.stderr


def test_the_cups_clock_and_its_heat_are_one_cup_and_the_careful_one_speaks(shop: Glueing) -> None:
    job = filled(shop)
    shop.air(14.0)
    question = asked(shop.bench, job)
    step = mix_step(job)
    life = next(w for w in step.windows if w.name == "pot life")
    anchor = shop.bench.now_s()
    closes = edges_from(life, shop.bench.shop.around, anchor)[2]
    assert closes is not None
    clock_min = (closes.middle - anchor) / 60.0
    assert question.clock_min == pytest.approx(clock_min, rel=1e-3)
    found = heat_of(question)
    assert found.pourable_min == min(found.cup.pourable_min, question.clock_min)
    assert found.pourable_min <= clock_min * 1.001
