"""Adjustments: what to change so that pieces land."""

from dataclasses import replace

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from benchmate.landing.adjusting.adjustment import apply
from benchmate.landing.adjusting.alternatives import DenserShot
from benchmate.landing.adjusting.matching import (
    Adjustment,
    NotReachable,
    adjustment,
    within_doubt,
)
from benchmate.landing.course import LayerCourse, PieceCourse
from benchmate.landing.will_weigh import all_will_weigh, will_weigh
from tests.unit.landing_help import (
    GAIN_G,
    LAYER_ML,
    RESIN,
    STEEL,
    bookend,
    layer,
    poured,
)

ROOMY = tuple(
    layer(n, packing=0.6 if n < 4 else 0.5, by="line" if n < 4 else "weight") for n in range(1, 5)
)
"""Three layers to the line and a last one with shot held back: room both ways."""


def roomy(
    piece: str = "B", *, target_g: float | None = 951.6, tolerance_g: float | None = 9.5
) -> PieceCourse:
    return bookend(piece, *ROOMY, target_g=target_g, tolerance_g=tolerance_g)


def offered(course: PieceCourse, division_g: float = 1.0) -> Adjustment:
    found = adjustment([course], division_g)
    assert isinstance(found, Adjustment)
    return found


def test_a_light_piece_gets_shot_in_its_last_layer() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
    found = offered(course)
    (change,) = found.pieces[0].changes
    assert change.name == "layer 4"
    assert change.new_shot_g > change.old_shot_g + 2.0
    assert change.new_resin_g <= change.old_resin_g
    assert found.pieces[0].lands.g == pytest.approx(951.6, abs=0.6)
    assert found.sentence.startswith(
        "To bring B from the 949 g it is heading for to its 951.6 g: layer 4, weigh out "
    )
    assert "g more)" in found.sentence


def test_a_heavy_piece_has_shot_held_back() -> None:
    course = poured(roomy(), GAIN_G + 4.0, GAIN_G, GAIN_G + 4.0)
    (change,) = offered(course).pieces[0].changes
    assert change.new_shot_g < change.old_shot_g - 4.0
    assert change.new_resin_g >= change.old_resin_g
    assert not change.tapped


def test_nothing_is_offered_for_less_than_the_doubt() -> None:
    course = poured(roomy(), GAIN_G, GAIN_G, GAIN_G)
    aim = will_weigh(course).mass_g
    for off, offered_ in ((0.8, False), (4.0, False), (-4.0, False), (7.0, True)):
        # Known to ± 6.4 g (95 %), and allowed 9.5 g: with 4 g off it is almost surely inside.
        aimed = replace(course, target_g=aim + off)
        assert (adjustment([aimed], 1.0) is not None) is offered_
        said = within_doubt([aimed], 1.0, None)
        assert bool(said) is (abs(off) >= 1.0 and not offered_)
    assert within_doubt([replace(course, target_g=aim + 4.0)], 1.0, None) == (
        "Within the doubt: B 4 g light, known to ± 6 g. Nothing to correct."
    )


def test_a_piece_that_may_well_miss_is_corrected_by_less_than_its_doubt() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G, GAIN_G, GAIN_G)
    aim = will_weigh(course).mass_g
    assert adjustment([replace(course, target_g=aim + 4.0)], 1.0) is not None


def test_nothing_is_offered_for_less_than_the_scales_division() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G, GAIN_G, GAIN_G)
    course = replace(course, target_g=will_weigh(course).mass_g + 3.0)
    assert adjustment([course], 0.1) is not None
    assert adjustment([course], 5.0) is None


def test_a_small_correction_waits_while_weighings_will_still_move_the_heading() -> None:
    course = poured(roomy(), GAIN_G)
    course = replace(course, target_g=will_weigh(course).mass_g - 2.5)
    assert adjustment([course], 1.0) is None


def test_too_light_for_the_last_layer_alone_all_layers_share_it_while_there_is_room() -> None:
    course = bookend("B", *(layer(n) for n in range(1, 5)))
    course = poured(replace(course, target_g=975.0), GAIN_G - 3.0)
    found = offered(replace(course, target_g=will_weigh(course).mass_g + 6.0))
    changes = found.pieces[0].changes
    assert [c.name for c in changes] == ["layer 2", "layer 3", "layer 4"]
    assert all(c.tapped for c in changes)


def test_the_last_layer_is_weighed_out_even_when_its_amounts_are_right() -> None:
    course = poured(bookend(), GAIN_G, GAIN_G, GAIN_G)
    course = replace(course, target_g=will_weigh(course).mass_g)
    found = offered(course)
    before = will_weigh(course).u_g
    assert found.pieces[0].lands.u_g < before - 0.3
    (change,) = found.pieces[0].changes
    assert change.new_shot_g == pytest.approx(change.old_shot_g, abs=2.0)


def test_once_taken_it_is_not_offered_again() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
    taken = apply(course, offered(course).pieces[0].changes)
    assert adjustment([taken], 1.0) is None
    assert will_weigh(taken).mass_g == pytest.approx(offered(course).pieces[0].lands.g)


def test_a_piece_without_a_target_is_left_alone() -> None:
    course = poured(roomy(target_g=None, tolerance_g=None), GAIN_G - 9.0, GAIN_G, GAIN_G)
    assert adjustment([course], 1.0) is None


@settings(max_examples=80)
@example(gains=[134.25, 128.25], wish=973.0, division=0.1)
@given(
    gains=st.lists(st.floats(GAIN_G - 10.0, GAIN_G + 10.0), min_size=0, max_size=3),
    wish=st.floats(925.0, 975.0),
    division=st.sampled_from([0.1, 0.5, 1.0, 2.0]),
)
def test_amounts_fill_the_room_keep_to_the_scale_and_land_where_they_say(
    gains: list[float], wish: float, division: float
) -> None:
    course = poured(replace(roomy(), target_g=wish), *gains)
    found = adjustment([course], division)
    assume(found is not None)
    assert found is not None
    (piece,) = found.pieces
    for change in piece.changes:
        assert change.new_shot_g >= 0.0
        assert change.new_shot_g / division == pytest.approx(round(change.new_shot_g / division))
        full = change.new_shot_g / STEEL + change.new_resin_g / RESIN
        assert full == pytest.approx(LAYER_ML, abs=division / RESIN), "shot and resin fill it"
        packed = change.new_shot_g / STEEL / LAYER_ML
        assert packed <= 0.68, "denser than shot can be tapped"
        gaps_ml = change.new_shot_g / STEEL * (1.0 / max(packed, 0.57) - 1.0) if packed else 0.0
        assert change.new_resin_g / RESIN >= gaps_ml - division, "the shot is wetted"
    taken = will_weigh(apply(course, piece.changes))
    assert piece.lands.g == pytest.approx(taken.mass_g, abs=1e-6)
    assert piece.lands.u_g == pytest.approx(taken.u_g, abs=1e-6)
    if isinstance(found, Adjustment):
        assert abs(piece.lands.g - wish) < abs(piece.would_weigh_g - wish) + division
        assert abs(piece.lands.g - wish) <= 9.5


@settings(max_examples=40)
@given(
    a=st.lists(st.floats(GAIN_G - 6.0, GAIN_G + 6.0), min_size=3, max_size=3),
    b=st.lists(st.floats(GAIN_G - 6.0, GAIN_G + 6.0), min_size=3, max_size=3),
)
def test_a_pair_lands_together(a: list[float], b: list[float]) -> None:
    pair = [poured(roomy("A"), *a), poured(roomy("B"), *b)]
    found = adjustment(pair, 0.1, match_g=5.0)
    if isinstance(found, Adjustment):
        landed = all_will_weigh(
            [apply(c, p.changes) for c, p in zip(pair, found.pieces, strict=True)]
        )
        assert abs(landed[0].mass_g - landed[1].mass_g) <= 5.0
        assert all(abs(one.mass_g - 951.6) <= 9.5 for one in landed)
    if found is None:
        apart = [one.mass_g for one in all_will_weigh(pair)]
        assert abs(apart[0] - apart[1]) <= 5.0


def test_a_pair_whose_first_is_full_meets_at_its_weight_if_that_is_good_enough() -> None:
    full = poured(roomy("A"), GAIN_G, GAIN_G, GAIN_G, GAIN_G - 29.0)
    other = poured(roomy("B"), GAIN_G + 2.0, GAIN_G + 2.0, GAIN_G + 2.0)
    at = all_will_weigh([full, other])[0].mass_g
    found = adjustment([full, other], 0.1, match_g=5.0)
    assert isinstance(found, Adjustment)
    assert found.pieces[0].changes == ()
    assert found.aim_g == pytest.approx(at)
    assert found.pieces[1].lands.g == pytest.approx(at, abs=0.3)


def test_without_a_target_a_pair_meets_in_the_middle() -> None:
    pair = [
        poured(roomy("A", target_g=None, tolerance_g=None), GAIN_G, GAIN_G, GAIN_G + 3.0),
        poured(roomy("B", target_g=None, tolerance_g=None), GAIN_G, GAIN_G, GAIN_G - 3.0),
    ]
    masses = [one.mass_g for one in all_will_weigh(pair)]
    found = adjustment(pair, 0.1, match_g=2.0)
    assert isinstance(found, Adjustment)
    assert found.aim_g == pytest.approx(sum(masses) / 2.0, abs=0.2)


def unreachable() -> PieceCourse:
    """One layer to go and 40 g wanting."""
    course = poured(roomy(), GAIN_G - 14.0, GAIN_G - 14.0, GAIN_G - 14.0)
    return replace(course, target_g=will_weigh(course).mass_g + 45.0)


def test_what_cannot_be_reached_says_how_near_one_comes() -> None:
    course = unreachable()
    found = adjustment([course], 1.0)
    assert isinstance(found, NotReachable)
    (piece,) = found.pieces
    (change,) = piece.changes
    assert change.tapped
    assert piece.lands.g > will_weigh(course).mass_g + 10.0
    assert found.short_g[0] == pytest.approx(piece.lands.g - (course.target_g or 0.0), abs=1.0)
    short = f"{-found.short_g[0]:.0f} g light"
    assert found.sentence.startswith(f"B can be brought to {piece.lands.g:.0f} g ± ")
    assert f"{short} where {course.target_g:.1f} g ± 9.5 g was asked for: even tapped down" in (
        found.sentence
    )
    assert "For that: B, layer 4, weigh out" in found.sentence
    assert found.reason == f"{short} at best"


def test_denser_shot_in_the_last_layer_makes_up_the_rest_by_volume() -> None:
    course = unreachable()
    found = adjustment([course], 1.0, denser=[DenserShot("tungsten shot", 18.0)])
    assert isinstance(found, NotReachable)
    (dense,) = [a for a in found.alternatives if a.kind == "denser shot"]
    short = -found.short_g[0]
    assert dense.grams * (1.0 - STEEL / 18.0) == pytest.approx(short, rel=1e-9)
    (change,) = found.pieces[0].changes
    left = change.new_shot_g - dense.grams * STEEL / 18.0
    assert f"{left:.0f} g of shot" in dense.sentence
    assert "tungsten shot" in dense.sentence


@pytest.mark.parametrize("shot", [DenserShot("bronze shot", 8.0), DenserShot("glass beads", 2.5)])
def test_shot_that_is_not_dense_enough_is_not_proposed(shot: DenserShot) -> None:
    found = adjustment([unreachable()], 1.0, denser=[shot])
    assert isinstance(found, NotReachable)
    assert [a.kind for a in found.alternatives] == ["another target"]


def test_another_target_is_where_it_can_be_brought() -> None:
    found = adjustment([unreachable()], 1.0)
    assert isinstance(found, NotReachable)
    (other,) = [a for a in found.alternatives if a.kind == "another target"]
    assert other.grams == pytest.approx(found.pieces[0].lands.g)


def test_a_full_piece_that_is_too_heavy_can_lose_wood() -> None:
    full = poured(roomy(), GAIN_G + 5.0, GAIN_G + 5.0, GAIN_G + 5.0, GAIN_G)
    over = will_weigh(full).mass_g - 951.6
    found = adjustment([full], 1.0)
    assert isinstance(found, NotReachable)
    (wood,) = [a for a in found.alternatives if a.kind == "take wood off"]
    assert wood.grams == pytest.approx(over, abs=0.5)
    assert wood.sentence == f"Taking {over:.0f} g of wood off B would land it."


def test_a_full_pair_that_does_not_match_can_lose_wood_from_the_heavier() -> None:
    heavy = poured(roomy("A"), GAIN_G + 1.0, GAIN_G + 1.0, GAIN_G + 1.0, GAIN_G - 24.0)
    light = poured(roomy("B"), GAIN_G - 1.0, GAIN_G - 1.0, GAIN_G - 1.0, GAIN_G - 28.0)
    found = adjustment([heavy, light], 1.0, match_g=5.0)
    assert isinstance(found, NotReachable)
    assert "The pair can't match: A is full and stays at" in found.sentence
    assert "apart, where 5 g is allowed" in found.sentence
    assert "Each was to weigh 951.6 g ± 9.5 g." in found.sentence
    assert found.reason.endswith(" g apart at best, 5 g allowed")
    wood = [a for a in found.alternatives if a.kind == "take wood off"]
    apart = [one.mass_g for one in all_will_weigh([heavy, light])]
    assert [w.piece for w in wood] == ["A"]
    assert wood[0].grams == pytest.approx(apart[0] - apart[1])


def test_a_pair_says_which_twin_the_other_is_measured_against() -> None:
    full = poured(roomy("A"), GAIN_G, GAIN_G, GAIN_G, GAIN_G - 29.0)
    other = poured(roomy("B"), GAIN_G + 2.0, GAIN_G + 2.0, GAIN_G + 2.0)
    at = all_will_weigh([full, other])[0].mass_g
    found = adjustment([full, other], 0.1, match_g=5.0)
    assert isinstance(found, Adjustment)
    assert found.reason == f"to match A, already full, heading for {at:.0f} g"
    assert found.sentence.startswith(f"T{found.reason[1:]}: B, layer 4, weigh out ")
    assert f"It should then weigh {at:.0f} g ± " in found.sentence
    assert f"not {found.pieces[1].would_weigh_g:.0f} g" in found.sentence


def off_pair(a_off_g: float, b_off_g: float) -> list[PieceCourse]:
    """Both with one layer to go, so much off in each of the three before."""
    return [
        poured(roomy(name), *[GAIN_G + off] * 3) for name, off in (("A", a_off_g), ("B", b_off_g))
    ]


def test_a_pair_brought_to_its_target_says_so_the_smaller_correction_first() -> None:
    found = adjustment(off_pair(-5.0, 1.0), 0.1, match_g=5.0)
    assert isinstance(found, Adjustment)
    assert found.sentence.startswith("To bring the pair to the planned 951.6 g: ")
    moved = {p.piece: abs(p.lands.g - p.would_weigh_g) for p in found.pieces}
    assert moved["B"] < moved["A"]
    assert found.sentence.index("B, layer 4,") < found.sentence.index("A, layer 4,")


def test_a_pair_whose_one_piece_cannot_reach_the_target_says_where_it_can_meet() -> None:
    pair = off_pair(-11.0, -1.0)
    found = adjustment(pair, 0.1, match_g=5.0)
    assert found is not None
    assert found.aim_g is not None
    off = f"{951.6 - found.aim_g:.0f} g light"
    if isinstance(found, Adjustment):
        assert f"the pair can match at {found.aim_g:.0f} g, {off}" in found.reason
    else:
        assert f"The pair can match at {found.aim_g:.0f} g, " in found.sentence
    assert "A" in found.sentence


def test_a_pair_too_far_apart_is_brought_together_by_denser_shot_wood_or_a_wider_match() -> None:
    pair = off_pair(-18.0, 2.0)
    pair[1] = poured(pair[1], *[GAIN_G + 2.0] * 3, GAIN_G)
    found = adjustment(pair, 1.0, match_g=5.0, denser=[DenserShot("tungsten shot", 18.0)])
    assert isinstance(found, NotReachable)
    light, heavy = found.pieces
    apart = heavy.lands.g - light.lands.g
    dense, wood, other = found.alternatives
    assert dense.grams * (1.0 - STEEL / 18.0) == pytest.approx(apart), "it makes up the whole gap"
    assert dense.sentence.endswith("would match B.")
    assert wood.grams == pytest.approx(apart)
    assert "of wood off B would match it to A at" in wood.sentence
    assert wood.sentence.endswith(" light.")
    assert other.sentence.startswith(f"Or let them differ by {apart:.0f} g: A ")


def test_a_pair_that_meets_too_low_is_told_what_denser_shot_brings_each_to_the_target() -> None:
    pair = [replace(course, target_g=1000.0) for course in off_pair(-4.0, -1.0)]
    found = adjustment(pair, 1.0, match_g=5.0, denser=[DenserShot("tungsten shot", 18.0)])
    assert isinstance(found, NotReachable)
    assert found.reason.startswith("both ")
    dense = {a.piece: a for a in found.alternatives if a.kind == "denser shot"}
    assert set(dense) == {"A", "B"}
    assert dense["B"].grams < dense["A"].grams, "the heavier twin isn't first made as light"
    for other in dense.values():
        assert other.sentence.endswith("would bring it to 1000 g.")
        steel_g = float(other.sentence.partition(" and ")[2].partition(" g")[0])
        assert other.grams / 18.0 + steel_g / STEEL <= 0.68 * LAYER_ML, "it goes in"


def test_shot_to_add_goes_into_every_layer_weighed_out_anyway_and_nothing_is_lost_by_rounding() -> (
    None
):
    weighed = tuple(layer(n, packing=0.57, by="weight") for n in range(1, 5))
    course = bookend("B", *weighed)
    course = replace(course, target_g=will_weigh(course).mass_g + 6.0)
    (piece,) = offered(course).pieces
    assert piece.changes[0].name == "layer 1"
    more = [c.new_shot_g - c.old_shot_g for c in piece.changes]
    assert max(more) - min(more) <= 1.0 + 1e-6, "alike but for the scale's division"
    assert piece.lands.g - piece.would_weigh_g == pytest.approx(6.0, abs=0.5)


def test_resin_is_said_in_steps_and_by_the_same_words() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
    sentence = offered(course, 0.1).sentence
    assert sentence.count("It should then weigh") == 1
    assert " g of shot (" in sentence
    assert " g of resin" in sentence


def test_a_changed_layer_is_poured_by_weight_and_the_rest_stays() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
    changes = offered(course).pieces[0].changes
    taken = apply(course, changes)
    last = taken.stages[3]
    assert isinstance(last, LayerCourse)
    assert last.by == "weight"
    assert last.shot_g == changes[0].new_shot_g
    assert taken.stages[:3] == course.stages[:3]
    assert apply(course, ()) == course
