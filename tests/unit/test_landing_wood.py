"""The last adjustment is wood: how much to take off each piece once all is poured."""

from dataclasses import replace

import pytest

from benchmate.landing.adjusting.wood import wood_off
from benchmate.landing.course import CourseChange, PieceCourse, Weight
from benchmate.landing.words import say_in

# Weighed after the fill; then 6 g planned off, then 8 g of leather on.
SANDING = CourseChange("sand the outside", -6.0, 1.7, adjustable=True)
LEATHER = CourseChange("leather", 8.0, 0.3)


def filled(
    piece: str, stands_g: float, *later: CourseChange, target_g: float = 850.0
) -> PieceCourse:
    """A piece that stands filled on the scale."""
    return PieceCourse(
        piece=piece,
        blank=Weight(stands_g, 0.3),
        stages=later or (SANDING, LEATHER),
        target_g=target_g,
        tolerance_g=8.0,
        address=f"job/{piece}",
    )


def test_each_of_a_pair_is_told_what_brings_both_to_the_target() -> None:
    # 853 + 8 - 11 = 850 and 848 + 8 - 6 = 850: "take 11 g off A, 6 g off B".
    found = wood_off([filled("A", 853.0), filled("B", 848.0)], match_g=5.0)
    assert [round(off.take_g, 6) for off in found] == [11.0, 6.0]
    assert [off.lands_g for off in found] == pytest.approx([850.0, 850.0])
    assert found[0].sentence == (
        "A, sand the outside: take 11 g off in place of 6 g; it then weighs 850 g."
    )
    assert found[1].sentence == "B, sand the outside: take 6 g off; it then weighs 850 g."


def test_a_pair_meets_where_both_can_come() -> None:
    # A can lose 12 g at most (twice the plan): 868 + 8 - 12 = 864, and B 840 + 8 = 848 at best:
    # they can't meet, so each goes to the middle as far as it can.
    heavy, light = wood_off([filled("A", 868.0), filled("B", 840.0)], match_g=5.0)
    assert (heavy.take_g, light.take_g) == pytest.approx((12.0, 0.0))
    assert "it then weighs 864 g, 14 g heavy" in heavy.sentence
    assert "take no wood off in place of 6 g" in light.sentence


def test_a_finished_twin_sets_the_weight() -> None:
    weighed = replace(LEATHER, is_done=True, whole=Weight(846.0, 0.3))
    twin = filled("A", 844.0, replace(SANDING, is_done=True), weighed)
    found = wood_off([twin, filled("B", 850.0)], match_g=5.0)
    # A stands at 846 g; B is to come to that: 850 + 8 - 12.
    assert [(off.piece, off.take_g) for off in found] == [("B", pytest.approx(12.0))]


def test_nothing_is_said_where_the_plan_will_do_or_shot_can_still_go_in() -> None:
    from tests.unit.landing_help import bookend

    assert wood_off([filled("A", 848.2)], division_g=1.0) == ()
    assert wood_off([bookend()]) == ()
    assert wood_off([filled("A", 860.0, LEATHER)]) == ()
    assert wood_off([]) == ()


def test_it_is_said_in_ounces_too() -> None:
    (off,) = wood_off([filled("A", 853.0)], say=say_in("inch"))
    assert "0.39 oz off in place of 0.21 oz" in off.sentence
