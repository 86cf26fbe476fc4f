"""Joints and coats as steps, windows and amounts."""

import pytest

from tests.unit.language_help import FILLED, JOINT, plan_of, step

# Joints ----------------------------------------------------------------------------------------


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
    windows = step(plan, "A/all/clamp#1").windows
    (clamp,) = (w for w in windows if w.name == "clamp time")
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
        "oil#1",
        "wipe#1",
        "oil#2",
        "wipe#2",
        "oil#3",
        "wipe#3",
    ]
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
