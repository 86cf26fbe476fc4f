"""What a frozen plan keeps of its parts' shapes, and what a dated plan needs of its steps."""

import msgspec
import pytest

from benchmate.plan.plan import Plan
from tests.unit.language_help import FILLED, JOINT, plan_of, step

POURED = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 3\n'


def shape_of(plan: Plan, name: str) -> msgspec.Struct:
    return next(p.shape for p in plan.parts if p.name == name and p.shape)


def test_a_part_keeps_its_sizes_and_its_void_outline_and_place() -> None:
    shape = shape_of(plan_of(POURED.replace("x 47 mm", 'x 47 mm"\nwall="at least 4 mm')), "block")
    assert shape.blank.kind == "block"
    assert shape.blank.size_mm == (120.0, 90.0, 54.0)
    assert shape.moisture_pct == 9.0
    (void,) = shape.voids
    assert (void.kind, void.size_mm, void.side) == ("slot", (80.0, 30.0, 47.0), "top")
    assert (void.cap_mm, void.wall_at_least_mm) == (1.5, 4.0)
    # (50 x 30 + pi/4 x 30²) x 47 / 1000 = 103.7 ml, and the mouth is that without the 47.
    assert void.volume_ml == pytest.approx(103.72, abs=0.01)
    assert void.mouth_mm2 == pytest.approx(2206.9, abs=0.1)


def test_a_turned_part_keeps_its_profile_and_bores() -> None:
    text = """
name = "Column"
[parts.column]
wood    = "sugar maple"
shape   = "turned"
profile = ["0 x 1 1/2 in", "4 x 1 in"]
minus   = [{ shape = "bore", size = "12 x 50 mm", down = "5 mm" }]
[[steps]]
do = "Look at it."
"""
    shape = shape_of(plan_of(text), "column")
    assert shape.unit == "in"
    assert shape.blank.profile_mm == ((0.0, 38.1), (101.6, 25.4))
    (bore,) = shape.hollows
    assert (bore.purpose, bore.side, bore.down_mm) == ("bore", "first end", 5.0)


def test_a_plan_of_before_opens_and_knows_no_shapes() -> None:
    plan = plan_of(POURED)
    assert plan.knows_shapes
    data = msgspec.to_builtins(plan)
    for part in data["parts"]:
        part.pop("shape")
    old = msgspec.convert(data, Plan)
    assert not old.knows_shapes
    assert old.steps == plan.steps


def test_clamps_are_held_until_they_come_off() -> None:
    clamp = step(plan_of(JOINT), "A/all/clamp#1")
    (held,) = clamp.holds
    assert (held.what, held.count) == ("clamp", 4)
    assert held.until.endswith("A/all/clamps-off#1")


def test_a_layer_has_a_title_and_a_sentence_for_all_of_them() -> None:
    pour = step(plan_of(POURED), "A/block/pour#2")
    assert pour.short == "pour layer 2"
    assert pour.each_of.startswith("Shot for each of 3 layers, then resin")


def test_dust_and_noise_follow_from_the_cautions_where_the_file_is_silent() -> None:
    text = FILLED + (
        '[[steps]]\ndo = "Sand it."\ncaution = ["wood dust"]\nmay_stop = true\nclean_up = "5 min"\n'
        '[[steps]]\ndo = "Scrape it."\ncaution = ["wood dust"]\ndusty = false\nnoisy = true\n'
    )
    sand, scrape = (s for s in plan_of(text).steps if s.piece == "A")
    assert (sand.dusty, sand.noisy, sand.may_stop, sand.clean_up_s) == (True, False, True, 300.0)
    assert (scrape.dusty, scrape.noisy) == (False, True)


def test_a_coat_is_wet_until_its_window_opens_but_for_six_hours_at_most() -> None:
    text = FILLED + '[[steps]]\nuse = "wiped oil coats"\ncoats = 2\n'
    plan = plan_of(text)
    assert step(plan, "A/all/oil#1").wet_s == 6 * 3600.0
    assert step(plan, "A/all/wipe#1").wet_s == 2 * 3600.0
