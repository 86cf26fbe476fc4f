"""Finishes and the lathe against coating glossaries, mechanics and the turners' guide."""

import pytest

from benchmate.reckon import Refused, answer
from tests.reference.outside import check

GLOSSARY = "two coating glossaries: WFT = 1000/coverage, DFT = WFT x VS, VS/(1 + R)"


def test_volume_of_three_coats() -> None:
    # 0.35 m² x 3 coats / 12 m²/l
    found = answer("finish", {"area_cm2": "0.35 m²", "coverage_m2_l": 12, "coats": 3})
    check("finish", found.number("volume_ml"), 87.5, rel=1e-12, source="V = A n/coverage")
    assert found.results["dry_um"].value is None


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ({"coverage_m2_l": 12, "solids_pct": 45}, {"wet_um": 83.3333333, "dry_um": 37.5}),
        ({"coverage_m2_l": 12, "solids_pct": 45, "thinner_pct": 10}, {"dry_um": 34.0909091}),
        ({"dry_film_um": 37.5, "solids_pct": 45}, {"spreading_m2_l": 12}),
        (
            {"coverage_m2_l": 9.5, "solids_pct": 32, "coats": 4},
            {"wet_um": 105.263158, "dry_total_um": 134.736842},
        ),
        ({"dry_film_um": 150, "solids_pct": 45, "coats": 4}, {"dry_um": 37.5, "wet_um": 83.33333}),
    ],
)
def test_films(typed: dict[str, object], wanted: dict[str, float]) -> None:
    found = answer("finish", {"area_cm2": 900, **typed})
    got = {key: found.number(key) for key in wanted}
    check("finish", got, wanted, rel=1e-6, source=GLOSSARY)


def test_ten_mil_wet_are_160_square_feet_a_gallon() -> None:
    # All solids, so that wet is dry: one US gallon at 10 mil covers 160.416667 ft².
    found = answer("finish", {"area_cm2": 1, "dry_film_um": "10 mil", "solids_pct": 100})
    ft2_gal = found.number("spreading_m2_l") / 0.09290304 * 3.785411784
    check("finish", ft2_gal, 160.416667, rel=1e-6, source="a maker's formula sheet: 160.417")


def test_what_misses_the_piece_is_a_share_of_the_whole() -> None:
    found = answer("finish", {"area_cm2": 3500, "coverage_m2_l": 12, "transfer_share": "70 %"})
    check("finish", found.number("volume_ml"), 0.35 / 12 * 1000 / 0.7, rel=1e-12, source=GLOSSARY)


def test_thinner_is_its_part_of_what_is_ready_to_use() -> None:
    # 0.36 m² / 12 m²/l are 30 ml, of which one part in five is thinner at 25 % of the finish.
    found = answer("finish", {"area_cm2": 3600, "coverage_m2_l": 12, "thinner_pct": 25})
    assert "Of it 6 ml is thinner" in str(found.notes[0])


@pytest.mark.parametrize(
    ("typed", "which"),
    [
        ({}, "neither is"),
        ({"coverage_m2_l": 12, "dry_film_um": 40, "solids_pct": 40}, "both are"),
    ],
)
def test_one_of_coverage_and_film_is_given(typed: dict[str, object], which: str) -> None:
    with pytest.raises(Refused, match=f"one of them; {which} given"):
        answer("finish", {"area_cm2": 900, **typed})


RIM = "v = pi d n, worked by hand"


@pytest.mark.parametrize(
    ("typed", "wanted", "source"),
    [
        (
            {"diameter_mm": 100, "rpm": 1000},
            {"speed_m_s": 5.23598776, "speed_m_min": 314.159265},
            RIM,
        ),
        (
            {"diameter_mm": 254, "rpm": 900},
            {"speed_m_s": 11.969468, "speed_m_min": 718.168081},
            RIM,
        ),
        ({"diameter_mm": 150, "speed_m_s": 10}, {"rpm": 1273.23954}, RIM),
        (
            {"diameter_mm": "14 in", "rpm": 1000},
            {"acceleration_gn": 198.823776},
            "w² r; a turners' forum quotes about 200 g",
        ),
        (
            {"diameter_mm": "14 in", "rpm": 700},
            {"acceleration_gn": 97.4236501},
            "w² r; the same forum: about half",
        ),
        (
            {"diameter_mm": 90, "rpm": 1500, "off_axis_g": 20, "off_axis_mm": 10},
            {"pull_n": 4.93480220},
            "m e w²: 20 g at 10 mm and 1500 rpm pull 4.93 N",
        ),
    ],
)
def test_speeds_and_pulls(typed: dict[str, object], wanted: dict[str, float], source: str) -> None:
    found = answer("lathe", typed)
    check("lathe", {key: found.number(key) for key in wanted}, wanted, rel=1e-6, source=source)


def test_the_turners_guide() -> None:
    found = answer("lathe", {"diameter_mm": "10 in"})
    source = "turners' forums: diameter in inches x rpm = 6000 to 9000"
    check("lathe", found.results["band_rpm"].value, [600, 900], rel=1e-12, source=source)


def test_rpm_and_rim_speed_are_not_both_given() -> None:
    with pytest.raises(Refused, match="one of them"):
        answer("lathe", {"diameter_mm": 90, "rpm": 1000, "speed_m_s": 10})


def test_a_coverage_or_a_speed_may_be_typed_in_feet() -> None:
    gallons = answer("finish", {"area_cm2": 929.0304, "coverage_m2_l": "400 ft²/gal"})
    feet = "the international foot, 0.3048 m, and the US gallon, 3.785411784 l (NIST SP 811)"
    check("finish", gallons.number("volume_ml"), 3785.411784 / 400, rel=1e-9, source=feet)
    fast = answer("lathe", {"diameter_mm": 90, "speed_m_s": "30 ft/s"})
    check("lathe", fast.number("speed_m_s"), 9.144, rel=1e-9, source=feet)
    spread = answer("glue", {"area_cm2": 1e4, "spread_g_m2": "40 lb/1000 ft²"})
    check("glue", spread.number("glue_g"), 40 * 453.59237 / 92.90304, rel=1e-9, source=feet)
