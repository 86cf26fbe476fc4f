"""What a frozen plan keeps of its parts' shapes, and what a dated plan needs of its steps."""

import msgspec
import pytest

from benchmate.fields.problem import Problem
from benchmate.plan.address import matches
from benchmate.plan.plan import Plan
from benchmate.procedure.finding import library
from benchmate.procedure.proofread import proofread_text
from benchmate.shelf import FAMILIES
from tests.unit.language_help import FILLED, JOINT, plan_of, refusal, step

POURED = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 3\n'


def shape_of(plan: Plan, name: str) -> msgspec.Struct:
    return next(p.shape for p in plan.parts if p.name == name and p.shape)


def problems_of(text: str) -> list[Problem]:
    return proofread_text(text, "test.toml", library(), materials={}, families=FAMILIES)


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
    assert "ach of 3 layers" in pour.each_of


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


# Several voids, and equal parts one by one ------------------------------------------------------

CHEEKS = """
name   = "Cheeks"
target = "700 g ± 20 g"
[parts.cheek]
called = ["left cheek", "right cheek"]
wood   = "sugar maple"
size   = "110 x 60 x 25 mm"
[parts.cheek.voids.pocket]
called = ["front pocket", "back pocket"]
shape  = "slot"
size   = "28 x 26 x 16 mm"
at     = ["8 mm from the front end", "8 mm from the back end"]
wall   = "at least 5 mm"
[materials]
shot  = "steel 1 mm"
resin = "slow casting epoxy"
glue  = "yellow wood glue"
[[steps]]
id    = "weigh blanks"
do    = "Weigh the {part}."
each  = "part"
part  = "cheek"
weigh = "blank"
[[steps]]
use    = "shot pour"
part   = "cheek"
layers = 2
[[steps]]
use = "wood-glue joint in clamps"
of  = "cheek"
"""


def test_equal_parts_are_weighed_and_filled_one_by_one_and_each_void_has_its_address() -> None:
    plan = plan_of(CHEEKS)
    assert [p.name for p in plan.parts] == ["left cheek", "right cheek"]
    assert [p.shape.alike for p in plan.parts if p.shape] == ["cheek", "cheek"]
    weighed = [s.address for s in plan.steps if s.file_step == "weigh-blanks"]
    assert weighed == ["j/A/left-cheek/weigh-blanks#1", "j/A/right-cheek/weigh-blanks#1"]
    pours = {s.address for s in plan.steps if s.file_step == "pour"}
    assert len(pours) == 8
    assert "j/A/left-cheek.front-pocket/pour#2" in pours
    assert len(plan.fills) == 4
    pour = step(plan, "right-cheek.back-pocket/pour#2")
    assert "ayer 2 of 2 in the back pocket of the right cheek" in pour.do
    assert "j/A/right-cheek.back-pocket/pour#1" in pour.after
    assert "j/A/left-cheek.back-pocket/pour#1" not in pour.after


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"right cheek"]', '"left cheek"]', "two parts are called “left cheek”"),
        ('"back pocket"]', '"front pocket"]', "two voids are called “front pocket”"),
        (
            '["8 mm from the front end", "8 mm from the back end"]',
            '["1 mm from the front end", "2 mm from the front end", "3 mm from the front end"]',
            "2 voids are called and 3 places are given; write one place for each",
        ),
    ],
    ids=["parts", "voids", "places"],
)
def test_names_and_places_of_equal_ones_are_held_to_each_other(
    old: str, new: str, said: str
) -> None:
    assert said in refusal(CHEEKS.replace(old, new))


def test_each_void_waits_for_its_own_cure() -> None:
    cured = step(plan_of(CHEEKS), "left-cheek.front-pocket/cured#1")
    assert cured.waits_full == ("j/A/left-cheek.front-pocket/cap#1:cure",)
    joint = step(plan_of(CHEEKS), "A/all/dry-run#1")
    assert len([a for a in joint.after if "/cured#1" in a]) == 4


def test_a_place_in_words_is_where_it_says() -> None:
    # The slot is 28 mm long: 8 mm of wood, then 14 mm to its middle, from 55 mm off the middle.
    front, back = shape_of(plan_of(CHEEKS), "left cheek").voids
    assert (front.name, front.across_mm) == ("front pocket", -33.0)
    assert (back.name, back.across_mm) == ("back pocket", 33.0)


@pytest.mark.parametrize(
    ("at", "off"),
    [
        ("12 mm left of the middle", (-12.0, 0.0)),
        ("1/2 in right of the middle and 3 mm from the front edge", (12.7, -14.0)),
        ("5 mm from the middle towards the back end", (5.0, 0.0)),
        ("middle", (0.0, 0.0)),
    ],
)
def test_a_place_is_said_either_way_from_the_middle(at: str, off: tuple[float, float]) -> None:
    text = FILLED.replace('cap   = "1.5 mm"', f'at = "{at}"').replace("90 x 54", "64 x 54")
    text += '[[steps]]\nuse = "shot pour"\npart = "block"\n'
    (void,) = shape_of(plan_of(text), "block").voids
    # From the front edge: 32 mm to the middle, less 3 mm of wood and half of 30 mm.
    assert (void.across_mm, void.up_mm) == pytest.approx(off)


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("somewhere", "is no place on a face; write at ="),
        ("5 mm from the top", "“top” is no edge of the top"),
        ("5 from the front end", "has no unit"),
    ],
)
def test_a_place_that_is_none_is_refused(at: str, said: str) -> None:
    text = FILLED.replace('cap   = "1.5 mm"', f'at = "{at}"')
    assert said in refusal(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n')


def test_what_opens_beside_a_hollow_is_filled_too() -> None:
    # Two bores of 20 x 30 mm hold twice pi/4 x 20² x 30 = 9.425 ml.
    text = FILLED.replace('shape = "slot"\nsize  = "80 x 30 x 47 mm"', TWO_BORES)
    plan = plan_of(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n')
    assert plan.fills[0].void_ml == pytest.approx(18.850, abs=0.001)
    assert plan.parts[0].volume_ml == pytest.approx(120 * 90 * 54 / 1000 - 18.850, abs=0.001)


TWO_BORES = (
    'shape = "bore"\nsize = "20 x 30 mm"\nplus = [{ shape = "bore", size = "20 x 30 mm", '
    'offset = "40 x 0 mm" }]\n'
)


def test_a_wall_is_held_to_the_void_beside_it() -> None:
    close = CHEEKS.replace('"8 mm from the back end"', '"36 mm left of the middle"')
    said = "; ".join(str(p) for p in problems_of(close))
    assert "there is no wall between the void and the back pocket" in said


# Addresses, as people type them -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("A/round over", True),
        ("round over", True),
        ("a/round-over#1", True),
        ("left cheek/round over", True),
        ("A/left cheek.front pocket/round over", False),
        ("B/round over", False),
        ("left cheek/A/round over", False),
        ("round over#2", False),
        ("over", False),
    ],
)
def test_an_address_may_be_typed_in_the_words_of_the_file(typed: str, means: bool) -> None:
    assert matches(typed, "hammer-1/A/left-cheek/round-over#1") is means


# Another wood, and the keys of the shot pour ----------------------------------------------------


def test_a_job_takes_another_wood_than_the_file_names() -> None:
    oak = plan_of(POURED, parameters={"block.wood": "white oak"})
    assert [p.wood for p in oak.parts if p.name == "block"] == ["white oak", "white oak"]
    assert [p.wood for p in oak.parts if p.name == "cover"] == ["black walnut", "black walnut"]
    assert oak.parameters == {"block.wood": "white oak"}
    assert plan_of(POURED).parameters == {}
    said = refusal(POURED, parameters={"blok.wood": "white oak"})
    assert 'no such parameter; the nearest is "block.wood"' in said
    assert "whit oak" in refusal(POURED, parameters={"block.wood": "whit oak"})


def test_pieces_share_a_cup_or_have_one_each() -> None:
    small = POURED.replace("x 47 mm", "x 20 mm") + 'time = "2 min"\n'
    assert [len(m.serves) for m in plan_of(small).mixes] == [8]
    each = plan_of(small + 'cups = "one each"\n')
    assert [len(m.serves) for m in each.mixes] == [4, 4]


def test_the_tape_is_pulled_at_gel_and_the_cap_has_its_tolerance() -> None:
    plan = plan_of(POURED + 'tape_off = "gelled"\ncap_tolerance = "0.5 g"\n')
    assert step(plan, "A/block/pull-tape#1").waits == ("j/A/block/cap#1:tacky",)
    assert "tape" not in step(plan, "A/block/cured#1").do
    cap = step(plan, "A/block/cap#1").weigh
    assert cap is not None
    assert cap.tolerance_g == 0.5


def test_a_tolerance_is_given_in_per_cent() -> None:
    text = POURED.replace("makes = 2", 'makes = 1\ntarget = "850 g ± 1 %"')
    text += '[[steps]]\nid = "end"\ndo = "Weigh it."\nweigh = { tolerance = "1 %" }\n'
    plan = plan_of(text)
    assert plan.pieces[0].tolerance_g == pytest.approx(8.5)
    weigh = step(plan, "end#1").weigh
    assert weigh is not None
    assert weigh.plan_g is not None
    assert weigh.tolerance_g == pytest.approx(weigh.plan_g / 100.0)


def test_what_was_said_for_next_time_is_kept_under_the_files_own_words() -> None:
    text = POURED + (
        '[[steps]]\nid = "weigh blanks"\ndo = "Weigh it."\n'
        '[next_time]\n"weigh blanks" = "Let them lie a day longer."\n'
    )
    assert plan_of(text).next_time == {"weigh-blanks": ("Let them lie a day longer.",)}


def test_each_void_may_have_a_fill_of_its_own() -> None:
    text = CHEEKS.replace('shot  = "steel 1 mm"', 'shot  = "steel 1 mm"\nheavy = "tungsten shot"')
    both = '[[steps]]\nuse    = "shot pour"\npart   = "cheek"\nlayers = 2\n'
    assert both in text
    front = both + 'void   = "front pocket"\n'
    back = both + 'void   = "back pocket"\nshot   = "heavy"\nid     = "fill back"\n'
    plan = plan_of(text.replace(both, front + back))
    shots = {(f.part, f.void): f.shot for f in plan.fills}
    assert shots == {
        ("left cheek", "front pocket"): "steel 1 mm",
        ("right cheek", "front pocket"): "steel 1 mm",
        ("left cheek", "back pocket"): "tungsten shot",
        ("right cheek", "back pocket"): "tungsten shot",
    }
    # All of a kind are meant by the name they share.
    assert len(plan_of(text.replace(both, both + 'void = "pocket"\n')).fills) == 4
    assert "no part here has a void “middle pocket”" in refusal(
        text.replace(both, both + 'void = "middle pocket"\n')
    )
