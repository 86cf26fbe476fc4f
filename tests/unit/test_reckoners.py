"""Properties and trade rules of the first reckoners."""

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchmate.reckon import Refused, answer
from benchmate.reckon.asking.rounding import guarded_ceil, guarded_floor
from benchmate.reckon.filling import trade
from benchmate.reckon.filling.fill import fill, mixed_density_g_cm3
from benchmate.reckon.filling.fill_height import fill_height
from benchmate.reckon.filling.mixing import split
from benchmate.reckon.filling.outline import Outline, read_outline
from benchmate.reckon.filling.packing import furnas_limit, furnas_mix, one_size, two_sizes, unmixed
from benchmate.reckon.wood.species import find_species
from benchmate.reckon.wood.wood import mass_at_moisture_g, size_change_mm, wood_density

packings = st.floats(0.05, 0.9)
densities = st.floats(2.0, 20.0)
volumes = st.floats(1.0, 5000.0)


@given(st.floats(0.3, 0.8), st.floats(0.0, 29.0), st.floats(5.0, 20.0))
def test_wetter_wood_is_heavier_in_water_and_larger_in_volume(
    basic_sg: float, moisture_pct: float, shrinkage_pct: float
) -> None:
    dry = wood_density(basic_sg, moisture_pct, shrinkage_pct)
    wet = wood_density(basic_sg, moisture_pct + 1.0, shrinkage_pct)
    assert wet.sg < dry.sg
    # One piece, same oven-dry mass: its volume is dry mass over sg, its weight follows moisture.
    assert wet.density_g_cm3 / wet.sg > dry.density_g_cm3 / dry.sg


@given(st.floats(1.0, 5000.0), st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_drying_and_wetting_again_gives_the_weight_back(
    mass_g: float, from_pct: float, to_pct: float
) -> None:
    there = mass_at_moisture_g(mass_g, from_pct, to_pct)
    assert mass_at_moisture_g(there, to_pct, from_pct) == pytest.approx(mass_g)


@given(st.floats(5.0, 500.0), st.floats(1.0, 12.0), st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_shrinking_and_swelling_again_gives_the_size_back(
    size_mm: float, shrinkage_pct: float, from_pct: float, to_pct: float
) -> None:
    there_mm = size_mm + size_change_mm(size_mm, shrinkage_pct, from_pct, to_pct)
    back_mm = there_mm + size_change_mm(there_mm, shrinkage_pct, to_pct, from_pct)
    assert back_mm == pytest.approx(size_mm, rel=1e-9)


@given(volumes, packings, densities, st.floats(0.9, 1.4), st.integers(1, 12), st.floats(0.0, 0.9))
def test_a_fills_volumes_add_up_to_the_void(
    void_ml: float, packing: float, shot: float, resin: float, layers: int, cap_part: float
) -> None:
    found = fill(void_ml, packing, shot, resin, layers, cap_part * void_ml)
    assert found.shot_g / shot + found.resin_ml == pytest.approx(void_ml)
    assert found.resin_g == pytest.approx(found.resin_ml * resin)
    assert len(found.layers) == layers


@given(volumes, packings, densities, st.floats(1.1, 9.0))
def test_a_larger_void_takes_more_in_proportion(
    void_ml: float, packing: float, shot: float, scale: float
) -> None:
    small = fill(void_ml, packing, shot, 1.1)
    large = fill(void_ml * scale, packing, shot, 1.1)
    assert large.total_g == pytest.approx(scale * small.total_g)


def test_the_layers_of_the_answer_add_up_with_the_cap_in_the_last() -> None:
    found = answer(
        "fill",
        {
            "void_ml": 108,
            "packing_fraction": 0.6,
            "shot_density_g_cm3": 7.8,
            "layers": 4,
            "cap_mm": 1.5,
            "cap_area_cm2": 24,
        },
    )
    rows: Any = found.results["per_layer"].value
    for key in ("shot_g", "resin_g", "resin_ml"):
        assert sum(row[key] for row in rows) == pytest.approx(found.number(key))
    assert [row["layer"] for row in rows] == [1, 2, 3, 4]
    assert rows[3]["cap_ml"] == pytest.approx(3.6)


outlines = st.lists(
    st.tuples(st.floats(0.5, 60.0), st.floats(10.0, 5000.0)), min_size=2, max_size=6
)


def outline_of(steps: list[tuple[float, float]]) -> Outline:
    """Return an outline from (thickness, area) steps."""
    points, depth_mm = [], 0.0
    for thick_mm, area_mm2 in steps:
        points.append((depth_mm, area_mm2))
        depth_mm += thick_mm
    return Outline(tuple(points))


@given(outlines, st.floats(0.0, 1.0))
def test_a_height_and_its_volume_are_each_others_inverse(
    steps: list[tuple[float, float]], part: float
) -> None:
    outline = outline_of(steps)
    volume_ml = part * outline.volume_ml
    height_mm = outline.height_of_mm(volume_ml)
    assert 0.0 <= height_mm <= outline.depth_mm * (1 + 1e-12)
    assert outline.volume_to_ml(height_mm) == pytest.approx(volume_ml, rel=1e-6, abs=1e-9)


@given(outlines, packings, densities, st.floats(0.0, 1.0))
def test_a_fill_to_the_height_weighs_the_target(
    steps: list[tuple[float, float]], packing: float, shot: float, part: float
) -> None:
    outline, packed = outline_of(steps), mixed_density_g_cm3(packing, shot, 1.1)
    assume(packed > 1.2)
    lightest_g, heaviest_g = outline.volume_ml * 1.1, outline.volume_ml * packed
    target_g = lightest_g + part * (heaviest_g - lightest_g)
    found = fill_height(outline, target_g, packed, 1.1)
    weight_g = found.void_ml * packed + (outline.volume_ml - found.void_ml) * 1.1
    assert weight_g == pytest.approx(target_g)


@pytest.mark.parametrize(
    ("outline", "says"),
    [
        ([[0, 5]], "a list of 2 to 1000 points"),
        ([[0, 5], [0, 5]], "encloses no volume"),
        ([[10, 5], [0, 5]], "must grow from the mouth down"),
        ([[0, 5], [10]], "outline[1] must be [depth_mm, area_cm2]"),
        ([[0, 5], [10, -1]], "outline[1].area_cm2 must be at least 0"),
        ({"bore_mm": 20}, "outline lacks depth_mm"),
        ({"bore": 20, "depth_mm": 9}, "no field “bore”; did you mean bore_mm?"),
        ("deep", "must be a list"),
    ],
)
def test_an_outline_that_is_none_is_refused(outline: object, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_outline(outline)
    assert says in str(refused.value)


def test_an_outlines_lengths_may_carry_units() -> None:
    found = read_outline({"bore_mm": "3/4 in", "depth_mm": "2 in"})
    assert found.depth_mm == pytest.approx(50.8)


@given(st.floats(0.2, 6.0), st.floats(1.6, 60.0), st.floats(1.01, 2.0))
def test_a_wider_void_packs_better(shot_mm: float, ratio: float, wider: float) -> None:
    narrow = one_size(shot_mm, ratio * shot_mm, "poured").fraction
    wide = one_size(shot_mm, ratio * wider * shot_mm, "poured").fraction
    assert 0.0 < narrow < wide < 0.611


@given(st.floats(0.5, 4.0), st.floats(20.0, 80.0), st.floats(1.05, 60.0), st.floats(0.0, 1.0))
def test_two_sizes_pack_between_no_gain_and_the_ideal(
    shot_mm: float, gap_mm: float, size_ratio: float, share: float
) -> None:
    found = two_sizes(shot_mm, shot_mm / size_ratio, gap_mm, "poured", share)
    assert found.no_gain is not None
    assert found.ideal is not None
    assert found.no_gain - 1e-12 <= found.fraction <= found.ideal + 1e-12
    assert found.u > 0.0


@given(st.floats(0.4, 0.7), st.floats(0.4, 0.7), st.floats(0.0, 1.0))
def test_no_mix_beats_furnas_ceiling(coarse: float, fine: float, share: float) -> None:
    ceiling, best = furnas_limit(coarse, fine)
    assert furnas_mix(coarse, fine, share) <= ceiling + 1e-12
    assert furnas_mix(coarse, fine, best) == pytest.approx(ceiling)
    assert unmixed(coarse, fine, share) <= furnas_mix(coarse, fine, share) + 1e-12


def test_tapped_shot_packs_better_than_poured() -> None:
    assert one_size(2, 30, "tapped").fraction > one_size(2, 30, "poured").fraction


@pytest.mark.parametrize(
    ("gap_mm", "says"),
    [
        (60, ""),
        (16, "walls cost 3 % of the packing."),
        (8, "finer shot packs better"),
        (120, "beyond the source"),
    ],
)
def test_a_narrow_void_carries_a_note(gap_mm: float, says: str) -> None:
    notes = answer("packing", {"shot_mm": 2, "gap_mm": gap_mm}).notes
    assert says in notes[0] if says else len(notes) == 1


@pytest.mark.parametrize(
    ("name", "typed", "says"),
    [
        ("packing", {"shot_mm": 2, "gap_mm": 1.9}, "doesn't go into the void"),
        ("packing", {"shot_mm": 2, "gap_mm": 2.9}, "no formula holds below 1.5"),
        ("packing", {"shot_mm": 2, "gap_mm": 30, "fine_mm": 3}, "swap them"),
        ("packing", {"shot_mm": 2, "gap_mm": 30, "coarse_share": 0.7}, "without fine_mm"),
        ("metal", {"name": "leed"}, "did you mean lead?"),
        ("metal", {}, "neither name nor alloy"),
        ("metal", {"alloy": {"lead": 0.96, "antimony": 4}}, "add up to 4.96"),
        ("metal", {"alloy": {"lead": 1.5, "tin": -0.5}}, "below zero"),
        ("metal", {"alloy": {"lead": "much"}}, "is not a plain number"),
        (
            "wood-density",
            {"species": "oak"},
            "fits white oak, northern red oak and European oak; say which",
        ),
        ("wood-density", {"species": "blak walnut"}, "did you mean black walnut?"),
        ("wood-density", {"species": "oak", "basic_sg": 0.6}, "both given"),
        (
            "resin-mix",
            {"resin_g": 90, "ratio": 2, "by": "weight", "pot_life_min": 8, "work_min_per_layer": 9},
            "pour thinner layers",
        ),
        ("resin-mix", {"resin_g": 90, "ratio": "2:1", "by": "volume"}, "from the data sheet"),
        ("resin-mix", {"resin_ml": 90, "ratio": "2:1", "by": "weight"}, "to become grams"),
        ("resin-mix", {"ratio": "2:1", "by": "weight"}, "neither resin_ml nor resin_g"),
        (
            "fill",
            {
                "void_ml": 10,
                "packing_fraction": 0.6,
                "shot_density_g_cm3": 8,
                "cap_mm": 9,
                "cap_area_cm2": 20,
            },
            "the cap alone takes 18.0 ml",
        ),
        (
            "fill",
            {"void_ml": 10, "packing_fraction": 0.6, "shot_density_g_cm3": 8, "cap_mm": 1},
            "cap_area_cm2 is missing",
        ),
    ],
)
def test_an_impossible_wish_is_refused_with_its_reason(
    name: str, typed: dict[str, object], says: str
) -> None:
    with pytest.raises(Refused) as refused:
        answer(name, typed)
    assert says in str(refused.value)


@given(st.integers(1, 5000), st.integers(1, 400))
def test_a_multiple_of_the_largest_mix_takes_just_so_many(count: int, tenths: int) -> None:
    largest_g = tenths / 10
    assert guarded_ceil(count * largest_g / largest_g) == count
    assert split(count * largest_g, 2.0, largest_g=largest_g).mixes == count


def test_whole_numbers_forgive_a_hair() -> None:
    assert 2.1 / 0.3 > 7
    assert guarded_ceil(2.1 / 0.3) == 7
    assert guarded_floor(0.3 / 0.1) == 3
    assert guarded_ceil(7.01) == 8


def test_layers_are_shared_out_between_cups() -> None:
    typed = {"resin_g": 90, "ratio": 2, "by": "weight", "pot_life_min": 25}
    found = answer("resin-mix", {**typed, "work_min_per_layer": 8, "layers": 4})
    assert found.number("mixes") == 2
    assert found.number("layers_per_mix") == 2


def test_pot_life_is_never_scaled_but_warned_of() -> None:
    typed = {"resin_g": 200, "ratio": 2, "by": "weight", "pot_life_min": 25, "label_mass_g": 100}
    notes = answer("resin-mix", typed).notes
    assert trade.POT_LIFE_BY_MASS in notes
    assert any("more than the label's 100 g" in note for note in notes)


@pytest.mark.parametrize(
    ("metal", "rest", "caution"),
    [
        ("lead", {"wood": "white oak"}, trade.LEAD_CORRODES),
        ("chilled lead shot", {"glue_is_water_borne": True}, trade.LEAD_CORRODES),
        ("lead", {}, trade.LEAD_HANDLING),
        ("steel shot", {"is_sanded": True}, trade.STEEL_SPARKS),
    ],
)
def test_the_trades_cautions_come_up(metal: str, rest: dict[str, Any], caution: str) -> None:
    assert caution in trade.cautions(metal, **rest)


@pytest.mark.parametrize(
    ("metal", "rest"),
    [
        ("lead-free shot", {"wood": "white oak"}),
        ("steel shot", {"is_sanded": True, "cap_mm": 1.5}),
        ("bismuth", {"wood": "white oak", "glue_is_water_borne": True}),
    ],
)
def test_no_caution_where_there_is_no_danger(metal: str, rest: dict[str, Any]) -> None:
    assert trade.cautions(metal, **rest) == ()


def test_lead_is_cautioned_where_it_is_reckoned_with() -> None:
    assert trade.LEAD_HANDLING in answer("metal", {"name": "lead"}).notes
    typed = {"void_ml": 100, "packing_fraction": 0.6}
    assert trade.LEAD_CORRODES in answer("fill", {**typed, "shot_density_g_cm3": 11.35}).notes
    assert trade.STEEL_SPARKS in answer("fill", {**typed, "shot_density_g_cm3": 7.8}).notes


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("walnut", "black walnut"),
        ("Juglans nigra", "black walnut"),
        ("hard maple", "sugar maple"),
        ("douglas fir", "Douglas-fir"),
        ("CHERRY", "black cherry"),
    ],
)
def test_a_wood_is_known_by_part_of_its_name(typed: str, name: str) -> None:
    assert find_species(typed).name == name
