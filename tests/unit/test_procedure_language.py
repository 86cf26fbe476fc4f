"""What a procedure's words come to: blocks, parameters, tins, rounds, cups and windows."""

from typing import Any

import pytest

from benchmate.job.plan import Plan, Step
from benchmate.procedure.acts import act_of
from benchmate.procedure.document import load
from benchmate.procedure.expanding.expand import expand
from benchmate.procedure.finding import library
from benchmate.procedure.problem import ProcedureError
from benchmate.stores import FAMILIES, LabelWindow, Tin

FILLED = """
name  = "Weights"
makes = 2
[parts.block]
wood = "black walnut"
size = "120 x 90 x 54 mm"
[parts.block.void]
shape = "slot"
size  = "80 x 30 x 47 mm"
cap   = "1.5 mm"
[parts.cover]
wood = "black walnut"
size = "120 x 90 x 6 mm"
[tins]
shot  = "steel 2 mm"
resin = "slow casting epoxy"
glue  = "yellow wood glue"
oil   = "hard oil"
"""


def plan_of(text: str, **rest: Any) -> Plan:
    document = load(text, "test.toml", library())
    return expand(document, **{"job_id": "j", "tins": {}, "families": FAMILIES, **rest})


def step(plan: Plan, tail: str) -> Step:
    found = [s for s in plan.steps if s.address.endswith(tail)]
    assert len(found) == 1, [s.address for s in plan.steps]
    return found[0]


def refusal(text: str, **rest: Any) -> str:
    with pytest.raises(ProcedureError) as caught:
        plan_of(text, **rest)
    return str(caught.value)


# The shot pour ---------------------------------------------------------------------------------


def test_one_mix_serves_all_layers_of_a_piece_with_one_cure_after_the_cap() -> None:
    plan = plan_of(FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 4\n')
    assert [len(m.serves) for m in plan.mixes] == [5, 5]
    cures = [w.address for s in plan.steps for w in s.windows if w.name == "cure"]
    assert cures == ["j/A/block/cap#1:cure", "j/B/block/cap#1:cure"]
    assert not [w for s in plan.steps for w in s.windows if w.name == "tacky"]
    assert plan.fills[0].way == "one mix"


def test_shot_and_resin_go_in_turn_by_turn_within_the_cups_pot_life() -> None:
    plan = plan_of(FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 3\n')
    addresses = [s.address for s in plan.steps]
    mine = [a for a in addresses if "mix#1" in a or "/A/" in a][1:]
    assert mine[:5] == [
        "j/all/all/mix#1", "j/A/block/pour#1", "j/A/block/pour#2", "j/A/block/pour#3",
        "j/A/block/cap#1",
    ]  # fmt: skip
    pour = step(plan, "A/block/pour#2")
    assert pour.within == ("j/all/all/mix#1:pot-life",)
    assert "j/A/block/pour#1" in pour.after
    assert [a.what for a in pour.amounts] == ["shot", "resin"]


def test_staged_layers_wait_for_the_layer_below_and_have_their_own_cup() -> None:
    text = '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 3\nway = "staged"\n'
    plan = plan_of(FILLED + text)
    assert [m.serves[0].rpartition("/")[2] for m in plan.mixes] == [
        "pour#1", "pour#2", "pour#3", "cap#1",
    ]  # fmt: skip
    assert all(len(m.serves) == 2 for m in plan.mixes), "one layer of both pieces from one cup"
    second = step(plan, "B/block/pour#2")
    assert second.waits == ("j/B/block/pour#1:tacky",)
    assert set(second.within) == {"j/B/block/pour#1:tacky", "j/all/all/mix#2:pot-life"}
    mix = step(plan, "mix#2")
    assert set(mix.waits) == {"j/A/block/pour#1:tacky", "j/B/block/pour#1:tacky"}
    assert step(plan, "A/block/cap#1").waits == ("j/A/block/pour#3:tacky",)
    assert plan.fills[0].way == "staged"


def test_a_small_largest_mix_makes_more_cups() -> None:
    tin = Tin(name="my resin", family="slow casting epoxy", largest_mix_g=30.0)
    text = FILLED.replace('"slow casting epoxy"', '"my resin"')
    plan = plan_of(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n', tins={"my resin": tin})
    assert all(m.total_g <= 30.0 for m in plan.mixes)
    assert len(plan.mixes) == 4
    first, second = (step(plan, f"mix#{n}") for n in (1, 2))
    assert first.after == ("j/A/block/tape#1",)
    assert plan.mixes[0].serves[-1] in second.after, "one cup is poured out before the next"


def test_a_short_pot_life_makes_more_cups() -> None:
    short = LabelWindow(name="pot life", act="mixed", closes_s=15 * 60.0)
    tin = Tin(name="my resin", family="slow casting epoxy", windows=(short,))
    text = FILLED.replace('"slow casting epoxy"', '"my resin"')
    plan = plan_of(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n', tins={"my resin": tin})
    hands = {s.address: s.hands_s for s in plan.steps}
    assert all(sum(hands[a] for a in m.serves) <= 15 * 60 for m in plan.mixes)


def test_a_ratio_by_volume_becomes_grams_by_the_parts_densities() -> None:
    # RS-11 of the reference: 2:1 by volume of 1.15 and 0.97 g/cm³ is 2.37113 to 1 by weight.
    tin = Tin(
        name="my resin", family="slow casting epoxy", ratio=(2.0, 1.0), ratio_by="volume",
        density_a_g_cm3=1.15, density_b_g_cm3=0.97,
    )  # fmt: skip
    text = FILLED.replace('"slow casting epoxy"', '"my resin"')
    plan = plan_of(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n', tins={"my resin": tin})
    assert plan.mixes[0].a_g / plan.mixes[0].b_g == pytest.approx(2.37113402)
    assert not any("mix ratio" in line for line in plan.rough)


def test_without_a_cap_the_last_layer_starts_the_cure() -> None:
    text = '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 2\ncap = "none"\n'
    plan = plan_of(FILLED + text)
    cures = [w.address for s in plan.steps for w in s.windows if w.name == "cure"]
    assert cures == ["j/A/block/pour#2:cure", "j/B/block/pour#2:cure"]
    assert plan.fills[0].cap_g == 0.0


def test_a_learned_packing_stands_before_the_reckoned_one() -> None:
    text = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\n'
    plan = plan_of(text, learned={"packing/block": 0.58, "loss/mix": 10.0, "hands/pour": 200.0})
    assert plan.fills[0].packing == 0.58
    assert step(plan, "A/block/pour#1").hands_s == 200.0
    steps = {s.address: s for s in plan.steps}
    taken = sum(a.amount for s in plan.mixes[0].serves for a in steps[s].amounts[-1:])
    assert plan.mixes[0].total_g == pytest.approx(taken / 0.9)
    assert "packing/block 0.58" in plan.learned.values()


def test_a_wish_for_next_time_stands_at_its_step() -> None:
    text = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\n'
    plan = plan_of(text, next_time={"pour": ("Tap the sides longer.",)})
    wished = [s.address for s in plan.steps if plan.next_time.get(s.file_step)]
    assert wished == [s.address for s in plan.steps if s.act == "poured"]


def test_a_wish_may_stand_in_the_file_and_names_a_step_that_is_there() -> None:
    text = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\n[next_time]\n'
    assert plan_of(text + 'pour = "Tap longer."\n').next_time == {"pour": ("Tap longer.",)}
    assert 'there is no step “poor”; the nearest is "pour"' in refusal(text + 'poor = "Tap."\n')


# Joints ----------------------------------------------------------------------------------------

JOINT = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\n[[steps]]\n' + (
    'use = "wood-glue joint in clamps"\nof = ["block", "cover"]\n'
)  # fmt: skip


def test_a_joint_is_a_chain_of_windows() -> None:
    plan = plan_of(JOINT)
    assert step(plan, "A/all/close#1").within == ("j/A/all/spread#1:open-time",)
    assert step(plan, "A/all/clamp#1").within == ("j/A/all/close#1:closed-assembly",)
    assert step(plan, "A/all/clamps-off#1").waits == ("j/A/all/clamp#1:clamp-time",)


def test_glue_is_counted_on_the_wood_around_the_void() -> None:
    # The face less the slot's mouth: rectangle and one full circle; 180 g/m², common practice.
    wood_mm2 = 120 * 90 - ((80 - 30) * 30 + 3.14159265 * 15**2)
    (glue,) = step(plan_of(JOINT), "A/all/spread#1").amounts
    assert glue.amount == pytest.approx(wood_mm2 / 1e6 * 180.0)


def test_the_dry_run_is_timed_against_open_and_closed_time_together() -> None:
    checks = {c.name: c for c in step(plan_of(JOINT), "A/all/dry-run#1").checks}
    assert (checks["dry run"].at_most, checks["dry run"].unit) == (25.0, "min")


def test_a_makers_own_rule_is_kept_beside_the_labels() -> None:
    plan = plan_of(JOINT + 'hold = "24 h"\n')
    (clamp,) = step(plan, "A/all/clamp#1").windows
    assert (clamp.opens_s, clamp.hold_s) == (2700.0, 86400.0)


def test_an_oily_wood_is_wiped_within_a_window_of_its_own() -> None:
    plan = plan_of(JOINT + 'surface = "wiped"\nfresh = "10 min"\n')
    assert step(plan, "A/all/wipe#1").windows[0].closes_s == 600.0
    assert step(plan, "A/all/spread#1").within == ("j/A/all/wipe#1:fresh-face",)


def test_clamps_are_needed_by_size_and_number() -> None:
    needs = {(n.what, n.size): n for n in plan_of(JOINT + "clamps = 6\n").needs}
    assert needs[("clamp", "150 mm")].count == 6
    assert needs[("clamp", "150 mm")].kind == "clamp"


def test_too_cold_for_the_glue_is_known_at_the_step() -> None:
    assert step(plan_of(JOINT), "A/all/spread#1").minimum_c == 10.0


def test_epoxy_bonds_pour_from_a_cup_of_their_own_piece() -> None:
    text = FILLED.replace("makes = 2", "makes = 7") + (
        'epoxy = "two-part epoxy glue"\n[[steps]]\nuse = "two-part epoxy bond"\n'
        'of = ["block", "cover"]\narea = "86 cm²"\n'
    )
    plan = plan_of(text)
    for mix in plan.mixes:
        for address in mix.serves:
            piece = address.split("/")[1]
            close = step(plan, f"/{piece}/all/close#1")
            assert close.within == (f"{mix.address}:pot-life",)
    assert len(plan.mixes) > 1


def test_a_wedged_tenon_in_wood_and_one_in_a_fill_differ_by_their_glue() -> None:
    wood = plan_of(FILLED + '[[steps]]\nuse = "wedged tenon"\nof = ["block", "cover"]\n')
    assert step(wood, "A/all/wedge#1").within == ("j/A/all/drive#1:closed-assembly",)
    assert not wood.mixes
    text = FILLED + 'epoxy = "two-part epoxy glue"\n[[steps]]\nuse = "wedged tenon"\n'
    filled = plan_of(text + 'of = ["block", "cover"]\nway = "epoxy"\nglue = "epoxy"\n')
    assert step(filled, "A/all/wedge#1").within == (f"{filled.mixes[0].address}:pot-life",)
    assert step(filled, "A/all/dry-fit#1").checks[0].at_most == 30.0


# Coats -----------------------------------------------------------------------------------------


def test_coats_go_round_by_round_each_within_the_recoat_window_of_the_one_before() -> None:
    plan = plan_of(FILLED + '[[steps]]\nuse = "wiped oil coats"\ncoats = 3\n')
    mine = [s.address for s in plan.steps if s.piece == "A"]
    assert [a.rpartition("/")[2] for a in mine] == [
        "oil#1", "wipe#1", "oil#2", "wipe#2", "oil#3", "wipe#3",
    ]  # fmt: skip
    assert step(plan, "A/all/oil#1").waits == ()
    second = step(plan, "A/all/oil#2")
    assert second.waits == second.within == ("j/A/all/oil#1:recoat",)
    assert second.after == ("j/A/all/wipe#1",)
    assert step(plan, "A/all/wipe#2").within == ("j/A/all/oil#2:wipe-off",)


def test_only_the_last_coat_grows_hard_for_anybody() -> None:
    plan = plan_of(FILLED + '[[steps]]\nuse = "wiped oil coats"\ncoats = 3\n')
    hard = [s.address for s in plan.steps for w in s.windows if w.name == "hard"]
    assert hard == ["j/A/all/oil#3", "j/B/all/oil#3"]


def test_a_coat_is_as_much_as_its_area_takes_and_leaves_what_stays() -> None:
    text = '[[steps]]\nuse = "wiped oil coats"\ncoats = 1\narea = "500 cm²"\n'
    oil = step(plan_of(FILLED + text), "A/all/oil#1")
    assert oil.amounts[0].amount == pytest.approx(0.05 * 40.0)
    assert oil.adds_g == pytest.approx(0.05 * 40.0 * 0.5)


def test_film_coats_are_scuffed_first_and_laid_on_in_time() -> None:
    text = FILLED + 'finish = "clear film finish, water-borne"\n[[steps]]\n'
    plan = plan_of(text + 'use = "film-finish coats"\ncoats = 2\n')
    assert step(plan, "A/all/scuff#2").waits == ("j/A/all/coat#1:recoat",)
    assert step(plan, "A/all/coat#2").within == ("j/A/all/coat#1:recoat",)
    assert step(plan, "A/all/scuff#2").after == ("j/A/all/coat#1",)


def test_every_block_that_ships_can_be_used_as_it_comes() -> None:
    tins = (
        'adhesive = "contact adhesive"\ntack = "cyanoacrylate"\npolish = "friction polish"\n'
        'finish = "shellac"\ncompound = "buffing compound"\nwax = "paste wax"\n'
        'epoxy = "two-part epoxy glue"\nfelt = "felt 2 mm"\n'
    )
    uses = {
        "shot pour": 'part = "block"', "wood-glue joint in clamps": 'of = ["block", "cover"]',
        "contact-adhesive bond": 'of = ["block", "cover"]',
        "two-part epoxy bond": 'of = ["block", "cover"]',
        "cyanoacrylate tack": 'of = ["block", "cover"]', "wedged tenon": 'of = ["block", "cover"]',
        "wiped oil coats": "", "staged buffing": "", "lathe-rubbed finish": "",
        "film-finish coats": "", "felt or leather on": 'part = "cover"',
    }  # fmt: skip
    assert sorted(u.replace("-", " ") for u in uses) == sorted(library().names)
    steps = "".join(f'[[steps]]\nuse = "{u}"\n{keys}\n' for u, keys in uses.items())
    plan = plan_of(FILLED + tins + steps)
    assert {s.block for s in plan.steps} == set(uses)


# Windows and order -----------------------------------------------------------------------------


def test_a_window_of_the_file_has_its_own_words() -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\ndo = "Clamp it."\n[[steps.windows]]\nname = "clamp time"\n'
        'from = "clamped"\nopens = "45 min at 21 °C"\nfull = "24 h at 21 °C"\n'
        'says = "clamps may come off"\nmissed = "nothing"\n'
    )
    (window,) = plan.steps[0].windows
    assert (window.opens_s, window.full_s, window.at_c) == (2700.0, 86400.0, 21.0)
    assert window.opens_text == "clamps may come off"
    assert window.source == "this procedure"


@pytest.mark.parametrize(
    ("said", "missed", "text"),
    [
        ("nothing", "nothing", ""), ("extra work: scuff first", "extra work", "scuff first"),
        ("spoils the joint", "spoils joint", ""), ("spoils the piece", "spoils piece", ""),
    ],
)  # fmt: skip
def test_a_missed_window_costs_what_the_file_says(said: str, missed: str, text: str) -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\ndo = "Brush it."\n[[steps.windows]]\nname = "wet"\n'
        f'closes = "10 min"\nmissed = "{said}"\n'
    )
    window = plan.steps[0].windows[0]
    assert (window.missed, window.missed_text) == (missed, text)


def test_a_window_may_begin_with_the_work() -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\ndo = "Brush it."\nwindows = [{ name = "wet", from = "begun", '
        'closes = "10 min" }]\n'
    )
    assert plan.steps[0].windows[0].anchor == "begun"


def test_steps_follow_each_other_unless_one_says_otherwise() -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\nid = "a"\ndo = "Cut."\n[[steps]]\nid = "b"\ndo = "Bore."\n'
        '[[steps]]\nid = "c"\ndo = "Turn."\nafter = "a"\n[[steps]]\nid = "d"\ndo = "Fit."\n'
        'after = ["b", "c"]\n[[steps]]\nid = "e"\ndo = "Sweep."\nafter = "nothing"\n'
    )
    after = {s.address.split("/")[3]: s.after for s in plan.steps}
    assert after == {
        "a#1": (), "b#1": ("j/A/all/a#1",), "c#1": ("j/A/all/a#1",),
        "d#1": ("j/A/all/b#1", "j/A/all/c#1"), "e#1": (),
    }  # fmt: skip


def test_a_step_of_the_whole_job_waits_for_all_pieces_and_they_for_it() -> None:
    plan = plan_of(
        'name = "x"\nmakes = 2\n[[steps]]\nid = "a"\ndo = "Cut."\n[[steps]]\nid = "b"\n'
        'do = "Sort them."\neach = "job"\n[[steps]]\nid = "c"\ndo = "Turn."\n'
    )
    assert step(plan, "all/all/b#1").after == ("j/A/all/a#1", "j/B/all/a#1")
    assert step(plan, "B/all/c#1").after == ("j/all/all/b#1",)


def test_pieces_may_have_names() -> None:
    plan = plan_of('name = "x"\npieces = ["left", "right"]\n[[steps]]\ndo = "Cut."\n')
    assert [s.piece for s in plan.steps] == ["left", "right"]


def test_a_step_is_named_by_its_words_where_it_has_no_id() -> None:
    plan = plan_of('name = "x"\n[[steps]]\ndo = "Sand the outer faces to 240."\n')
    assert plan.steps[0].address == "j/A/all/sand-the-outer#1"
    assert plan.steps[0].act == "sanded"


@pytest.mark.parametrize(
    ("do", "act"),
    [
        ("Sand the faces.", "sanded"), ("Weigh it.", "weighed"), ("Cut it.", "cut"),
        ("Glue it.", "glued"), ("Spread the glue.", "spread"), ("Two coats.", "done"),
        ("9 holes", "done"), ("Scrape it", "scraped"), ("Plug it.", "plugged"), ("Two", "done"),
    ],
)  # fmt: skip
def test_the_act_is_the_sentences_first_word(do: str, act: str) -> None:
    assert act_of(do) == act


# Parameters ------------------------------------------------------------------------------------

FAMILY = """
name = "Blocks"
makes = "{count}"
[parameters.count]
default = 2
at_most = 6
[parameters.length]
default  = "120 mm"
at_least = "80 mm"
at_most  = "200 mm"
per_piece = true
[parameters.wood]
choices = ["black walnut", "white oak"]
default = "black walnut"
[parts.block]
wood = "{wood}"
size = "{length} x 50 x 50 mm"
[[steps]]
do = "Cut the block to {length}."
part = "block"
"""


def test_a_family_of_pieces_shares_one_file() -> None:
    plan = plan_of(FAMILY, parameters={"count": "3", "length": "100 mm", "wood": "white oak"})
    assert len(plan.pieces) == 3
    assert plan.parts[0].volume_ml == pytest.approx(250.0)
    assert plan.parts[0].wood == "white oak"
    assert plan.steps[0].do == "Cut the block to 100 mm."
    assert plan.parameters == {"count": "3", "length": "100 mm", "wood": "white oak"}


def test_a_parameter_may_differ_from_piece_to_piece() -> None:
    plan = plan_of(FAMILY, parameters={"length": {"B": "160 mm"}})
    assert [p.volume_ml for p in plan.parts] == pytest.approx([300.0, 400.0])
    assert [s.do for s in plan.steps] == ["Cut the block to 120 mm.", "Cut the block to 160 mm."]
    assert plan.parameters["length (B)"] == "160 mm"


@pytest.mark.parametrize(
    ("parameters", "said"),
    [
        ({"lenght": "100 mm"}, 'no such parameter; the nearest is "length"'),
        ({"length": "20 mm"}, "out of its limits; it must be at least 80 mm"),
        ({"length": "20 g"}, "is a weight"),
        ({"wood": "ash"}, "is not one of the choices"),
        ({"count": "seven"}, "is not a whole number"),
        ({"length": {"Z": "100 mm"}}, "there is no piece “Z”"),
        ({"wood": {"A": "white oak"}}, "is one for all pieces; add per_piece = true"),
    ],
    ids=lambda v: str(v)[:30],
)
def test_a_wrong_parameter_is_refused(parameters: dict[str, Any], said: str) -> None:
    assert said in refusal(FAMILY, parameters=parameters)


# Tins ------------------------------------------------------------------------------------------


def test_a_family_takes_the_tin_on_the_shelf_that_was_opened_last() -> None:
    old = Tin(name="old", family="yellow wood glue", opened_on="2024-01-01", spread_g_m2=100.0)
    new = Tin(name="new", family="yellow wood glue", opened_on="2025-01-01", spread_g_m2=200.0)
    plan = plan_of(JOINT, tins={"new": new, "old": old})
    assert step(plan, "A/all/spread#1").amounts[0].tin == "new"


def test_labels_arent_rough_and_common_practice_is() -> None:
    label = LabelWindow(name="open time", act="spread", closes_s=480.0, at_c=20.0)
    tin = Tin(name="mine", family="yellow wood glue", windows=(label,))
    rough = plan_of(JOINT, tins={"mine": tin}).rough
    assert not [line for line in rough if "mine: open time" in line]
    assert [line for line in rough if "mine: clamp time" in line]


def test_a_steps_windows_come_with_its_tin_by_its_act() -> None:
    plan = plan_of(
        'name = "x"\n[tins]\nglue = "yellow wood glue"\n[[steps]]\ndo = "Spread it."\n'
        'tin = "glue"\n[[steps]]\ndo = "Close it."\nact = "closed"\ntin = "glue"\n'
        'within = "open time"\n'
    )
    assert [w.name for w in plan.steps[0].windows] == ["open time"]
    assert [w.name for w in plan.steps[1].windows] == ["closed assembly"]


def test_oily_rags_are_minded_wherever_the_tin_says_so() -> None:
    plan = plan_of(FILLED + '[[steps]]\ndo = "Coat it."\nact = "coated"\ntin = "oil"\n')
    assert plan.steps[0].rag
    assert "oily rags" in plan.cautions


def test_a_makers_file_reads_as_it_would_be_read_aloud() -> None:
    plan = plan_of(
        """
name   = "Matched bookends"
makes  = 2                          # pieces of one job
match  = "5 g"                      # and they must match
target = "850 g ± 8 g"              # the finished piece

[parts.block]
wood  = "black walnut"
size  = "120 x 90 x 60 mm"
grain = "long way"
void  = { shape = "slot", size = "80 x 30 x 45 mm", from = "inner face", wall = "at least 4 mm" }

[parts.cover]
wood  = "black walnut"
size  = "120 x 90 x 4 mm"

[tins]
shot  = "steel 2 mm"
resin = "slow casting epoxy"
glue  = "yellow wood glue"
oil   = "hard oil"

[[steps]]
use    = "shot pour"
part   = "block"
layers = 4
way    = "one mix"

[[steps]]
id      = "outside"
do      = "Sand the outer faces. The filled face is not sanded: its cap is 1.5 mm of clear resin."
after   = "shot pour"
hands   = "20 min"
takes   = "6 g ± 3 g"
check   = { wall = "at least 3 mm" }
caution = ["wood dust"]

[[steps]]
use  = "wood-glue joint in clamps"
of   = ["block", "cover"]
hold = "24 h"
"""
    )
    outside = step(plan, "A/all/outside#1")
    assert (outside.act, outside.hands_s, outside.takes_g) == ("sanded", 1200.0, 6.0)
    assert outside.after == ("j/A/block/cured#1",)
    assert plan.fills[0].cap_g > 0.0
    assert plan.match_g == 5.0


def test_a_pour_with_a_cap_needs_room_for_it() -> None:
    text = FILLED.replace('cap   = "1.5 mm"', 'cap = "0 mm"')
    said = refusal(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n')
    assert 'write cap = "none" at the pour, or cap = "1.5 mm" at the void' in said


@pytest.mark.parametrize(
    ("change", "act", "expected"),
    [
        (("", ""), "Sand it.", {"wood dust", "irritating wood"}),
        (("black walnut", "sugar maple"), "Sand it.", {"wood dust"}),
        (("steel 2 mm", "lead shot"), "Sand it.", {"wood dust", "irritating wood", "lead"}),
        (('part = "block"\n', 'part = "block"\ncap = "none"\n'), "Sand it.",
         {"wood dust", "irritating wood", "sparks"}),
        (('part = "block"\n', 'part = "block"\ncap = "none"\n'), "Blow it off.",
         {"wood dust", "irritating wood"}),
    ],
    ids=["walnut", "maple", "lead", "steel without a cap", "nothing cut"],
)  # fmt: skip
def test_what_a_part_is_made_of_brings_its_cautions(
    change: tuple[str, str], act: str, expected: set[str]
) -> None:
    text = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\n'
    text = text.replace(*change, 1) if change[0] else text
    text = text.replace("black walnut", change[1]) if "maple" in change[1] else text
    text += f'[[steps]]\nid = "last"\ndo = "{act}"\ncaution = "wood dust"\n'
    assert set(step(plan_of(text), "A/all/last#1").cautions) == expected
