"""Voids for a weight and weight budgets: properties, refusals, and what is said."""

import math
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchmate.reckon import Refused, answer
from benchmate.reckon.filling.fill import fill, mixed_density_g_cm3
from benchmate.reckon.filling.target import SHOTS, Wish, metals_that_reach, needed_void_ml
from benchmate.reckon.weight.budget import Part, read_parts, total_mass_g, total_u_g

masses = st.floats(0.0, 500.0)


@given(
    st.floats(50.0, 3000.0),
    st.floats(0.3, 1.0),
    st.floats(0.01, 0.95),
    st.floats(0.3, 0.7),
    st.floats(6.0, 19.0),
    masses,
    st.floats(0.0, 0.3),
)
def test_filling_the_void_that_was_asked_for_weighs_the_target(
    body_ml: float, body: float, share: float, packing: float, shot: float, other: float, off: float
) -> None:
    void_ml = share * body_ml
    filled = fill(void_ml, packing, shot, 1.1)
    off_g = off * (body_ml - void_ml) * body
    target_g = (body_ml - void_ml) * body + filled.total_g + other + 5.0 - off_g
    wish = Wish(target_g, body_ml, body, other, off_g, 5.0)
    density = mixed_density_g_cm3(packing, shot, 1.1)
    assume(target_g > wish.unfilled_g)
    assert needed_void_ml(wish, density) == pytest.approx(void_ml, rel=1e-6)
    assert wish.reached_g(void_ml, density) == pytest.approx(target_g)


@given(st.floats(500.0, 1500.0), st.floats(1.0, 200.0))
def test_a_heavier_target_needs_a_larger_void_and_a_denser_metal_a_smaller_one(
    target_g: float, more: float
) -> None:
    wish, heavier = Wish(target_g, 5000.0, 0.09), Wish(target_g + more, 5000.0, 0.09)
    assert needed_void_ml(heavier, 5.0) > needed_void_ml(wish, 5.0)
    reached = metals_that_reach(wish, None, 0.6, 1.1)
    voids = [reach.void_ml for reach in reached]
    assert [reach.metal for reach in reached] == list(SHOTS)
    assert voids == sorted(voids, reverse=True)


BOOKEND: dict[str, Any] = {
    "target_g": 850,
    "body": {"volume_ml": 648, "density_g_cm3": 0.62},
    "other_g": 12,
    "still_off_g": 6,
    "still_on_g": 9,
    "packing_fraction": 0.6,
    "shot_density_g_cm3": 7.8,
    "outline": {"length_mm": 80, "width_mm": 36, "depth_mm": 50, "corner_mm": 0},
    "wall_mm": 5,
}


def test_the_answer_fits_together() -> None:
    found = answer("target-void", BOOKEND)
    void_ml, depth = found.number("void_ml"), found.number("depth_mm")
    assert depth == pytest.approx(void_ml * 1000 / (80 * 36))
    assert found.number("wall_left_mm") == pytest.approx(55 - depth)
    packed = mixed_density_g_cm3(0.6, 7.8, 1.1)
    total = (648 - void_ml) * 0.62 + void_ml * packed + 12 + 9 - 6
    assert total == pytest.approx(850)


def test_thickness_and_wall_say_how_deep_it_may_go() -> None:
    found = answer("target-void", BOOKEND | {"thickness_mm": 44, "wall_mm": 10})
    assert found.number("wall_left_mm") == pytest.approx(44 - found.number("depth_mm"))
    with pytest.raises(Refused, match="at its deepest, 33 mm"):
        answer("target-void", BOOKEND | {"thickness_mm": 44, "wall_mm": 11})


def test_a_shape_may_be_the_outline() -> None:
    bore = {"shape": "bore", "diameter_mm": 60, "depth_mm": 50}
    found = answer("target-void", BOOKEND | {"outline": bore})
    area = math.pi * 30**2
    assert found.number("depth_mm") == pytest.approx(found.number("void_ml") * 1000 / area)


def test_without_an_outline_only_the_void_is_told() -> None:
    found = answer("target-void", BOOKEND | {"outline": None, "wall_mm": None})
    assert found.results["depth_mm"].value is None
    assert found.results["wall_left_mm"].value is None
    assert any("Without an outline" in note for note in found.notes)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"target_g": 400}, r"weighs 416\.8 g already, 16\.8 g over the target"),
        ({"target_g": 1200}, r"1064\.8 g is the most it reaches; .*tungsten shot could reach it"),
        ({"target_g": 20000}, "whole body"),
        (
            {
                "shot_density_g_cm3": 1.0,
                "packing_fraction": 0.9,
                "body": {"volume_ml": 648, "density_g_cm3": 1.1},
            },
            "no denser than the body",
        ),
        ({"volume_ml": 648}, "give the body once"),
        ({"body": None}, "volume_ml is missing"),
        ({"body": {"volume_ml": 648}}, "body lacks density_g_cm3"),
        ({"still_off_g": 500}, "takes 500 g off a body"),
        ({"thickness_mm": 5}, "leaves nothing to cut"),
        ({"outline": None}, "outline is missing"),
        (
            {"outline": {"shape": "ring", "outer_mm": 9, "inner_mm": 5, "length_mm": 5}},
            "must be one",
        ),
    ],
)
def test_what_cannot_be_reached_is_refused_with_the_reason(
    changed: dict[str, Any], said: str
) -> None:
    wish = {**BOOKEND, "target_g": 850, **changed}
    if changed.get("shot_density_g_cm3") == 1.0:
        wish["target_g"] = 1500
    with pytest.raises(Refused, match=said):
        answer("target-void", wish)


def test_a_target_met_without_fill_needs_no_void() -> None:
    wish = Wish(648 * 0.62, 648, 0.62)
    assert needed_void_ml(wish, 5.0) == 0.0


def test_lead_is_cautioned() -> None:
    found = answer("target-void", BOOKEND | {"shot_density_g_cm3": 11.35})
    assert any("corrodes" in note for note in found.notes)


parts_of_wood = st.lists(
    st.builds(
        Part,
        name=st.just("part"),
        mass_g=st.floats(0.1, 2000.0),
        u_own_g=st.floats(0.0, 50.0),
        u_density_g=st.floats(0.0, 50.0),
        stock=st.sampled_from([None, "board", "tin"]),
        moisture_pct=st.none() | st.floats(0.0, 30.0),
    ),
    min_size=1,
    max_size=8,
)


@given(parts_of_wood, st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_parts_of_one_stock_are_never_surer_together(
    parts: list[Part], u_off: float, u_on: float
) -> None:
    apart = [Part("", p.mass_g, p.u_own_g, p.u_density_g) for p in parts]
    together, alone = total_u_g(parts, u_off, u_on), total_u_g(apart, u_off, u_on)
    assert together >= alone * (1 - 1e-12)
    assert together <= sum(p.u_own_g + p.u_density_g for p in parts) + u_off + u_on + 1e-9


@given(parts_of_wood, st.floats(0.0, 1.0), st.floats(0.0, 100.0))
def test_what_comes_off_and_goes_on_shifts_the_total(
    parts: list[Part], off: float, on: float
) -> None:
    whole = total_mass_g(parts)
    off_g = 0.9 * off * whole
    assert total_mass_g(parts, off_g, on) == pytest.approx(whole - off_g + on)


@given(st.integers(1, 20), st.floats(1.0, 50.0))
def test_like_parts_are_as_heavy_as_so_many_single_ones(count: int, volume: float) -> None:
    one = {
        "volume_ml": volume,
        "density_g_cm3": 0.6,
        "u_volume_ml": 0.5,
        "u_density_g_cm3": 0.05,
        "stock": "board",
    }
    several, singles = read_parts([{**one, "count": count}]), read_parts([one] * count)
    assert total_mass_g(several) == pytest.approx(total_mass_g(singles))
    assert total_u_g(several) == pytest.approx(total_u_g(singles))


LAMP: list[dict[str, Any]] = [
    {
        "name": "foot",
        "volume_ml": 900,
        "density_g_cm3": 0.7,
        "u_density_g_cm3": 0.07,
        "moisture_pct": 10,
    },
    {"name": "fill", "weight_g": 410, "u_g": 3},
]


def test_shares_add_up_to_the_whole() -> None:
    found = answer("budget", {"parts": LAMP, "still_off_g": 20, "u_off_g": 5, "still_on_g": 8})
    rows: Any = found.results["shares"].value
    assert sum(row["share_pct"] for row in rows) == pytest.approx(100)
    assert sum(row["u_share_pct"] for row in rows) == pytest.approx(100)
    assert [row["part"] for row in rows] == ["foot", "fill", "still to come off", "still to go on"]
    assert found.number("moisture_1pct_g") == pytest.approx(630 / 110)
    assert any("largest doubt is foot" in note for note in found.notes)


def test_without_wood_or_u_it_says_so() -> None:
    found = answer("budget", {"parts": [{"weight_g": 5}]})
    assert found.results["moisture_1pct_g"].value is None
    assert any("taken as exact" in note for note in found.notes)
    assert any("moisture" in note for note in found.notes)


@pytest.mark.parametrize(
    ("parts", "more", "said"),
    [
        ([], {}, "list of 1 to 200"),
        ({}, {}, "list of 1 to 200"),
        ([3], {}, "must be an object"),
        ([{"weight_g": -1}], {}, "at least 0"),
        ([{"volume_ml": 3}], {}, "lacks density_g_cm3"),
        ([{"weight_g": 3, "volume_ml": 3}], {}, "no field"),
        ([{"weight_g": 3, "count": 1.5}], {}, "whole number"),
        ([{"weight_g": 3, "name": ""}], {}, "short name"),
        ([{"weight_g": 0}], {}, "weigh nothing"),
        ([{"weight_g": 3}], {"still_off_g": 3}, "can't come off"),
    ],
)
def test_parts_that_cannot_be_are_refused(parts: Any, more: dict[str, Any], said: str) -> None:
    with pytest.raises(Refused, match=said):
        answer("budget", {"parts": parts, **more})
