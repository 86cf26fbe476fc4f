"""Tenons, tapers, wedges, spacers, glue and clamps against geometry and makers' figures."""

import math

import pytest

from benchmate.reckon import Refused, answer
from benchmate.reckon.joinery.tenon import largest_square_mm, tenon_in_round
from tests.reference.outside import check

PYTHAGORAS = "Pythagoras: the square and the rectangle in a circle (identity)"
TRIPLE = "Pythagorean triples 3-4-5, 5-12-13, 8-15-17"
TAPER = "linear taper, worked by hand"


@pytest.mark.parametrize(("round_mm", "side"), [(50, 35.3553391), (100, 70.7106781)])
def test_the_square_in_a_round(round_mm: float, side: float) -> None:
    found = answer("tenon", {"round_mm": round_mm})
    check("tenon", found.number("square_mm"), side, rel=1e-8, source=PYTHAGORAS)
    check("tenon", found.number("width_mm"), side, rel=1e-8, source=PYTHAGORAS)


@pytest.mark.parametrize(("thick", "wide", "round_mm"), [(30, 40, 50), (5, 12, 13), (8, 15, 17)])
def test_triples_fit_their_rounds_exactly(thick: float, wide: float, round_mm: float) -> None:
    both = answer("tenon", {"thickness_mm": thick, "width_mm": wide, "round_mm": round_mm})
    check("tenon", both.number("smallest_round_mm"), round_mm, rel=1e-12, source=TRIPLE)
    assert both.results["corners_full"].value is True
    one = answer("tenon", {"thickness_mm": thick, "round_mm": round_mm})
    check("tenon", one.number("width_mm"), wide, rel=1e-12, source=TRIPLE)
    # The same rectangle with 1 mm of allowance a side: 28 x 38 in the round of 50.
    typed = {"width_mm": wide - 2, "round_mm": round_mm, "allowance_mm": 1}
    held = answer("tenon", {"thickness_mm": thick - 2, **typed})
    check("tenon", held.number("smallest_round_mm"), round_mm, rel=1e-12, source=TRIPLE)
    less = answer("tenon", typed)
    check("tenon", less.number("thickness_mm"), thick - 2, rel=1e-12, source=TRIPLE)


def test_a_tenon_of_20_in_a_round_of_50() -> None:
    found = answer("tenon", {"round_mm": 50, "thickness_mm": 20})
    check("tenon", found.number("width_mm"), 45.8257569, rel=1e-8, source=PYTHAGORAS)


def test_a_corner_that_lies_outside_lacks_half_of_what_the_diagonal_is_longer() -> None:
    # 30 x 40 has a diagonal of 50; in a round of 46 each corner lacks 2 mm.
    found = answer("tenon", {"round_mm": 46, "thickness_mm": 30, "width_mm": 40})
    check("tenon", found.number("corner_missing_mm"), 2.0, rel=1e-12, source=TRIPLE)
    assert found.results["corners_full"].value is False


SAID = {
    "d1_mm": 20,
    "d2_mm": 14,
    "length_mm": 60,
    "ratio_1_in": 10,
    "half_angle_deg": 2.86240523,
}


@pytest.mark.parametrize(
    "given",
    [
        ("d2_mm", "length_mm"),
        ("d2_mm", "ratio_1_in"),
        ("d2_mm", "half_angle_deg"),
        ("length_mm", "ratio_1_in"),
        ("length_mm", "half_angle_deg"),
    ],
)
def test_a_taper_is_the_same_from_any_two_of_its_measures(given: tuple[str, str]) -> None:
    found = answer("taper", {"d1_mm": 20, "at_mm": 25, **{key: SAID[key] for key in given}})
    wanted = {**SAID, "included_deg": 5.72481045, "d_at_mm": 17.5}
    got = {key: found.number(key) for key in wanted}
    check("taper", got, wanted, rel=1e-7, source=TAPER)


def test_standard_tapers() -> None:
    # Metric tapers run 1 in 20: included 2°51'51". Taper pins 1 in 50: included 1°8'45".
    for ratio, included in ((20, 2 + 51 / 60 + 51 / 3600), (50, 1 + 8 / 60 + 45 / 3600)):
        found = answer("taper", {"d1_mm": 30, "length_mm": 40, "ratio_1_in": ratio})
        source = "ISO 296 metric taper 1:20 and ISO 2339 taper pin 1:50, from memory"
        check("taper", found.number("included_deg"), included, abs=2e-4, source=source)


def test_a_widening_taper_and_a_place_on_it() -> None:
    found = answer("taper", {"d1_mm": 12, "d2_mm": 18, "length_mm": 30, "widening": "yes"})
    check("taper", found.number("ratio_1_in"), 5, rel=1e-12, source=TAPER)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"d2_mm": 14, "length_mm": 60, "at_mm": 61}, "beyond the taper"),
        ({"d2_mm": 26, "length_mm": 60}, "widening=yes"),
        ({"d2_mm": 14, "length_mm": 60, "ratio_1_in": 10}, "two of"),
        ({"ratio_1_in": 10, "half_angle_deg": 3}, "say the same"),
        ({"length_mm": 300, "ratio_1_in": 10}, "comes to a point"),
        ({"d2_mm": 20, "length_mm": 60}, "cylinder"),
    ],
)
def test_what_is_no_taper_is_refused(typed: dict[str, object], says: str) -> None:
    with pytest.raises(Refused, match=says):
        answer("taper", {"d1_mm": 20, **typed})


WEDGE = "centred wedge driven flush: w + t - k, atan((t - k)/2l), worked by hand"


@pytest.mark.parametrize(
    ("tenon", "kerf", "head", "length", "mortise", "flare"),
    [
        (18, 1.5, 5, 40, 21.5, 2.50509287),
        (20, 2, 4, 50, 22, math.degrees(math.atan(2 / 100))),
        (30, 3, 5, 57.2899616, 32, 1.0),  # 1 mm aside in 57.29 mm is one degree
    ],
)
def test_a_wedge_spreads_a_tenon(
    tenon: float, kerf: float, head: float, length: float, mortise: float, flare: float
) -> None:
    typed = {"tenon_mm": tenon, "kerf_mm": kerf, "wedge_head_mm": head, "wedge_length_mm": length}
    found = answer("wedge", typed)
    check("wedge", found.number("outer_mortise_mm"), mortise, rel=1e-12, source=WEDGE)
    check("wedge", found.number("half_flare_deg"), flare, rel=1e-6, source=WEDGE)
    check("wedge", found.number("spread_mm"), (mortise - tenon) / 2, rel=1e-12, source=WEDGE)


def test_a_leaf_bends_like_a_cantilever() -> None:
    # End load P on b x h x l: δ = P l³/(3 E I), σ = P l/(b h²/6), so σ/E = 3 h δ/(2 l²).
    b, h, length, load, stiffness = 25.0, 6.0, 40.0, 100.0, 12_000.0
    inertia = b * h**3 / 12
    moved = load * length**3 / (3 * stiffness * inertia)
    strain = load * length / (b * h**2 / 6) / stiffness
    typed = {"tenon_mm": 14, "kerf_mm": 2, "wedge_length_mm": length, "leaf_mm": h}
    found = answer("wedge", {**typed, "wedge_head_mm": 2 + 2 * moved})
    source = "cantilever with a load at its end, beam formulas"
    check("wedge", found.number("strain_pct"), 100 * strain, rel=1e-9, source=source)


@pytest.mark.parametrize(
    ("species", "limit"), [("black walnut", 0.869), ("sugar maple", 0.863), ("white oak", 0.854)]
)
def test_the_limit_is_strength_over_stiffness(species: str, limit: float) -> None:
    typed = {"tenon_mm": 18, "kerf_mm": 1.5, "wedge_head_mm": 3, "wedge_length_mm": 40}
    found = answer("wedge", {**typed, "species": species})
    source = "Wood Handbook Table 5-3: 14 600/1.68, 15 800/1.83, 15 200/1.78 (public copy)"
    check("wedge", found.number("limit_pct"), limit, abs=5e-4, source=source)


@pytest.mark.parametrize(
    ("hole_mm", "said"),
    [(None, "about 3"), (1.5, "no wider than the kerf"), (4, "stops the split")],
)
def test_a_relief_hole_is_wider_than_its_kerf(hole_mm: float | None, said: str) -> None:
    typed = {"tenon_mm": 18, "kerf_mm": 1.5, "wedge_head_mm": 3, "wedge_length_mm": 40}
    found = answer("wedge", typed if hole_mm is None else {**typed, "hole_mm": hole_mm})
    assert any(said in str(note) for note in found.notes)
    with pytest.raises(Refused, match="half of a tenon"):
        answer("wedge", {**typed, "hole_mm": 9})


def test_a_square_without_an_allowance_fills_its_round() -> None:
    check("tenon", largest_square_mm(50), 50 / math.sqrt(2), rel=1e-12, source=PYTHAGORAS)
    held = tenon_in_round(50, 30, 40).smallest_round
    check("tenon", held, 50, rel=1e-12, source=TRIPLE)


def test_two_kerfs_spread_twice_as_far() -> None:
    typed = {"tenon_mm": 24, "kerf_mm": 1.5, "wedge_head_mm": 3, "wedge_length_mm": 40, "kerfs": 2}
    found = answer("wedge", typed)
    check("wedge", found.number("outer_mortise_mm"), 27, rel=1e-12, source=WEDGE)
    check("wedge", found.number("spread_mm"), 1.5, rel=1e-12, source=WEDGE)


HAND = "sizes taken off by hand"


def test_a_tapered_spacer_in_tape() -> None:
    typed = {"from_mm": [12, 25], "to_mm": [12, 20], "depth_mm": 30}
    found = answer("spacer", {**typed, "tape_mm": 0.06, "tape_layers": 2, "clearance_mm": 0.1})
    check("spacer", found.results["spacer_from_mm"].value, [11.56, 24.56], rel=1e-9, source=HAND)
    check("spacer", found.results["spacer_to_mm"].value, [11.56, 19.56], rel=1e-9, source=HAND)
    check("spacer", found.number("key_taper_1_in"), 6.0, rel=1e-9, source=HAND)
    check("spacer", found.number("clearance_mm"), 0.22, rel=1e-9, source=HAND)
    assert found.results["taps_out"].value is True
    assert found.results["taps_out_from"].value == "to"


@pytest.mark.parametrize(
    ("ends", "halves", "tapped"),
    [
        (([12, 20], [12, 25]), False, "from"),
        (([12, 25], [10, 20]), False, "to"),
        (([10, 25], [12, 20]), False, "neither"),
        (([10, 25], [12, 20]), True, "from"),
        (([12, 20], [12, 20]), False, "either"),
        (([12, 25], [12, 20]), True, "to"),
    ],
)
def test_a_spacer_comes_out_where_nothing_holds_it(
    ends: tuple[list[float], list[float]], halves: bool, tapped: str
) -> None:
    typed = {"from_mm": ends[0], "to_mm": ends[1], "depth_mm": 30, "clearance_mm": 0.2}
    found = answer("spacer", {**typed, "halves": halves})
    assert found.results["taps_out_from"].value == tapped
    assert found.results["taps_out"].value is (tapped != "neither")


@pytest.mark.parametrize(
    ("typed", "grams", "source"),
    [
        ({"area_cm2": 450, "spread_g_m2": 150}, 6.75, "mass = spread x area"),
        ({"area_cm2": 450, "spread_g_m2": 150, "faces": 2}, 13.5, "mass = spread x area"),
        # 30 lb on 1000 ft² is 146.472829 g/m² (a units library).
        ({"area_cm2": "1 m²", "spread_g_m2": 146.472829}, 146.472829, "pint 0.25.3"),
        # A quarter of the pot wasted: 6.75 g on the joint are three quarters of 9 g.
        ({"area_cm2": 450, "spread_g_m2": 150, "waste_share": 0.25}, 9.0, "6.75/(1 - 1/4)"),
    ],
)
def test_glue(typed: dict[str, object], grams: float, source: str) -> None:
    check("glue", answer("glue", typed).number("glue_g"), grams, rel=1e-9, source=source)


LONG_JOINT = {"length_mm": 600, "width_mm": 20, "head_mm": 30, "distance_mm": 50}


def test_clamps_by_cover_and_by_force() -> None:
    found = answer("clamps", {**LONG_JOINT, "pressure_mpa": "150 psi"})
    check("clamps", found.number("force_n"), 12410.5631, rel=1e-6, source="pint 0.25.3: 150 psi")
    cone = "45° cone: ceil(600/(30 + 2 x 50)), worked by hand"
    check("clamps", found.number("cover_mm"), 130, rel=1e-12, source=cone)
    check("clamps", found.number("clamps"), 5, source=cone)
    check("clamps", found.number("spacing_mm"), 120, rel=1e-12, source=cone)
    # 600 x 20 mm at 1 MPa is 12 kN; at 2 kN a clamp that is six, more than the five by cover.
    more = answer("clamps", {**LONG_JOINT, "pressure_mpa": 1, "clamp_force_n": 2000})
    got = [more.number(key) for key in ("force_n", "clamps_by_force", "clamps_by_cover", "clamps")]
    check("clamps", got, [12_000, 6, 5, 6], rel=1e-12, source="F = p A: 1 MPa on 1 cm² is 100 N")


def test_a_broad_joint_takes_rows() -> None:
    typed = {"length_mm": 390, "width_mm": 250, "head_mm": 30, "distance_mm": 50}
    found = answer("clamps", {**typed, "pressure_mpa": 0.2})
    got = [found.number(key) for key in ("rows", "clamps_by_cover", "spacing_mm")]
    check("clamps", got, [2, 6, 130], rel=1e-12, source="45° cone, two rows, by hand")
