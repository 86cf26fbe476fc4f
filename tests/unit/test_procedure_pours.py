"""The shot pour's words as steps, cups and windows; a wish at its step."""

import pytest

from benchmate.shelf import LabelWindow, Material
from tests.unit.language_help import FILLED, plan_of, refusal, step


def test_one_mix_serves_all_layers_of_a_piece_with_one_cure_after_the_cap() -> None:
    plan = plan_of(FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 4\n')
    assert [len(m.serves) for m in plan.mixes] == [5, 5]
    cures = [w.address for s in plan.steps for w in s.windows if w.name == "cure"]
    assert cures == ["j/A/block/cap#1:cure", "j/B/block/cap#1:cure"]
    assert not [w for s in plan.steps for w in s.windows if w.name == "tacky" and s.act == "poured"]
    assert plan.fills[0].way == "one mix"


def test_shot_and_resin_go_in_turn_by_turn_within_the_cups_pot_life() -> None:
    plan = plan_of(FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 3\n')
    addresses = [s.address for s in plan.steps]
    mine = [a for a in addresses if "mix#1" in a or "/A/" in a][1:]
    assert mine[:5] == [
        "j/all/all/mix#1",
        "j/A/block/pour#1",
        "j/A/block/pour#2",
        "j/A/block/pour#3",
        "j/A/block/cap#1",
    ]
    pour = step(plan, "A/block/pour#2")
    assert pour.within == ("j/all/all/mix#1:pot-life",)
    assert "j/A/block/pour#1" in pour.after
    assert [a.what for a in pour.amounts] == ["shot", "resin"]


def test_staged_layers_wait_for_the_layer_below_and_have_their_own_cup() -> None:
    text = '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 3\nway = "staged"\n'
    plan = plan_of(FILLED + text)
    assert [m.serves[0].rpartition("/")[2] for m in plan.mixes] == [
        "pour#1",
        "pour#2",
        "pour#3",
        "cap#1",
    ]
    assert all(len(m.serves) == 2 for m in plan.mixes), "one layer of both pieces from one cup"
    second = step(plan, "B/block/pour#2")
    assert second.waits == ("j/B/block/pour#1:tacky",)
    assert set(second.within) == {"j/B/block/pour#1:tacky", "j/all/all/mix#2:pot-life"}
    mix = step(plan, "mix#2")
    assert set(mix.waits) == {"j/A/block/pour#1:tacky", "j/B/block/pour#1:tacky"}
    assert step(plan, "A/block/cap#1").waits == ("j/A/block/pour#3:tacky",)
    assert plan.fills[0].way == "staged"


def test_a_small_largest_mix_makes_more_cups() -> None:
    material = Material(name="my resin", family="slow casting epoxy", largest_mix_g=30.0)
    text = FILLED.replace('"slow casting epoxy"', '"my resin"')
    plan = plan_of(
        text + '[[steps]]\nuse = "shot pour"\npart = "block"\n', materials={"my resin": material}
    )
    assert all(m.total_g <= 30.0 for m in plan.mixes)
    assert len(plan.mixes) == 4
    first, second = (step(plan, f"mix#{n}") for n in (1, 2))
    assert first.after == ("j/A/block/tape#1",)
    assert plan.mixes[0].serves[-1] in second.after, "one cup is poured out before the next"


def test_a_short_pot_life_makes_more_cups() -> None:
    short = LabelWindow(name="pot life", act="mixed", closes_s=15 * 60.0)
    material = Material(name="my resin", family="slow casting epoxy", windows=(short,))
    text = FILLED.replace('"slow casting epoxy"', '"my resin"')
    plan = plan_of(
        text + '[[steps]]\nuse = "shot pour"\npart = "block"\n', materials={"my resin": material}
    )
    hands = {s.address: s.hands_s for s in plan.steps}
    assert all(sum(hands[a] for a in m.serves) <= 15 * 60 for m in plan.mixes)


def test_a_ratio_by_volume_becomes_grams_by_the_parts_densities() -> None:
    # RS-11 of the reference: 2:1 by volume of 1.15 and 0.97 g/cm³ is 2.37113 to 1 by weight.
    material = Material(
        name="my resin",
        family="slow casting epoxy",
        ratio=(2.0, 1.0),
        ratio_by="volume",
        density_a_g_cm3=1.15,
        density_b_g_cm3=0.97,
    )
    text = FILLED.replace('"slow casting epoxy"', '"my resin"')
    plan = plan_of(
        text + '[[steps]]\nuse = "shot pour"\npart = "block"\n', materials={"my resin": material}
    )
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
