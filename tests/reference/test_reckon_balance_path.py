"""Balance, the order of activities, scales' classes, boards and drills against outside values."""

import json
import math
from itertools import pairwise
from typing import Any

import pytest

from benchmate.reckon import Refused, answer
from benchmate.reckon.turning.balance import Part, balance
from tests.reference.outside import check

STATICS = "moment balance and parallel-axis theorem, worked by hand"


def test_two_parts_balance_between_them() -> None:
    # 90 g at 120 and 310 g at 265: (10 800 + 82 150)/400 = 232.375
    # About it: 90 x 112.375² + 310 x 32.625² = 1 136 542.66 + 329 957.34; the grip is at 60.
    parts = [{"weight_g": 90, "position_mm": 120}, {"weight_g": 310, "position_mm": 265}]
    found = answer("balance", {"parts": parts, "grip_mm": 60})
    wanted = {
        "total_g": 400,
        "centre_mm": 232.375,
        "inertia_centre_g_mm2": 1_466_493.75,
        "inertia_grip_g_mm2": 1_466_493.75 + 400 * 172.375**2,
    }
    got = {key: found.number(key) for key in wanted}
    check("balance", got, wanted, rel=1e-9, source=STATICS)


def test_a_weighted_round_from_wood_taken_out_and_a_filling() -> None:
    # Wood 0.7056 g/cm³, 30 mm by 300 mm; a bore of 16 mm by 100 mm filled to 7.25 g/cm³.
    def rod(rho: float, d: float, length: float, sign: float) -> Part:
        m = sign * rho / 1000 * math.pi * d**2 / 4 * length
        return Part("", m, length / 2, m * (3 * (d / 2) ** 2 + length**2) / 12)

    parts = [rod(0.7056, 30, 300, 1), rod(0.7056, 16, 100, -1), rod(7.25, 16, 100, 1)]
    whole = balance(parts)
    source = "composite bodies: subtract removed wood, add fill; cylinder m(3r² + h²)/12"
    got = [whole.total_g, whole.centre_mm, whole.inertia_g_mm2]
    check("balance", got, [281.210744, 103.208413, 1_942_514.78], rel=1e-8, source=source)


ONE = '[{"weight_g": 290, "position_mm": 100}]'


def test_weight_added_beyond_the_target_moves_the_centre_there() -> None:
    found = answer("balance", {"parts": ONE, "target_centre_mm": 120, "added_at_mm": 280})
    check("balance", found.number("added_g"), 36.25, rel=1e-9, source="290 x 20/160")


@pytest.mark.parametrize("at_mm", [60, 110, 120])
def test_weight_on_the_wrong_side_is_impossible(at_mm: float) -> None:
    with pytest.raises(Refused, match=r"^impossible: "):
        answer("balance", {"parts": ONE, "target_centre_mm": 120, "added_at_mm": at_mm})


def test_when_it_tips() -> None:
    # A centre as high as half the base is wide: 45°; height √3 of that: 30°.
    for height, angle in ((50, 45), (50 * math.sqrt(3), 30)):
        found = answer("balance", {"parts": ONE, "centre_height_mm": height, "base_mm": 100})
        source = "tan 45° = 1, tan 30° = 1/√3"
        check("balance", found.number("tip_angle_deg"), angle, rel=1e-12, source=source)


LIBRARY = "test data of a public general-purpose graph library, recomputed by hand"
NINE: dict[str, tuple[float, list[str]]] = {
    "1": (6, []),
    "2": (7, []),
    "3": (8, []),
    "4": (11, ["2"]),
    "5": (8, ["1", "2", "3"]),
    "6": (7, ["3"]),
    "7": (4, ["4"]),
    "8": (4, ["4", "6"]),
    "9": (10, ["5"]),
}
NINE_SLOTS = {
    "1": [0, 6, 2, 8, 2, 2],
    "2": [0, 7, 1, 8, 1, 0],
    "3": [0, 8, 0, 8, 0, 0],
    "4": [7, 18, 11, 22, 4, 0],
    "5": [8, 16, 8, 16, 0, 0],
    "6": [8, 15, 15, 22, 7, 3],
    "7": [18, 22, 22, 26, 4, 4],
    "8": [18, 22, 22, 26, 4, 4],
    "9": [16, 26, 16, 26, 0, 0],
}
BENCH = {
    "rough": (2, []),
    "bore": (1, ["rough"]),
    "fill": (1, ["bore"]),
    "cure": (24, ["fill"]),
    "turn": (3, ["cure"]),
    "base": (4, []),
    "finish": (8, ["turn", "base"]),
}
BENCH_SLOTS = {
    "rough": [0, 2, 0, 2, 0, 0],
    "cure": [4, 28, 4, 28, 0, 0],
    "base": [0, 4, 27, 31, 27, 27],
    "finish": [31, 39, 31, 39, 0, 0],
}


@pytest.mark.parametrize(
    ("net", "slots", "minutes", "critical", "source"),
    [
        (NINE, NINE_SLOTS, 26, ["3", "5", "9"], LIBRARY),
        (
            BENCH,
            BENCH_SLOTS,
            39,
            ["rough", "bore", "fill", "cure", "turn", "finish"],
            "forward and backward pass by hand",
        ),
    ],
)
def test_floats_and_the_critical_path(
    net: dict[str, tuple[float, list[str]]],
    slots: dict[str, list[float]],
    minutes: float,
    critical: list[str],
    source: str,
) -> None:
    activities = [{"id": k, "duration_min": d, "after": a} for k, (d, a) in net.items()]
    found = answer("path", {"activities": json.dumps(activities)})
    per_id: Any = found.results["per_id"].value
    keys = ("es", "ef", "ls", "lf", "total_float", "free_float")
    for one, wanted in slots.items():
        check("path", [per_id[one][key] for key in keys], wanted, abs=1e-9, source=source)
    check("path", found.number("project_min"), minutes, abs=1e-9, source=source)
    check("path", found.results["critical"].value, critical, source=source)


TABLE = "a published PERT table: mean (a + 4m + b)/6, sd (b - a)/6"


@pytest.mark.parametrize(
    ("amb", "mean", "sd"),
    [((5, 5, 7), 5.33333333, 0.333333333), ((1, 10, 17), 9.66666667, 2.66666667)],
)
def test_three_guesses(amb: tuple[float, float, float], mean: float, sd: float) -> None:
    found = answer("path", {"activities": [{"id": 1, **dict(zip("amb", amb, strict=True))}]})
    got = {key: found.number(key) for key in ("mean", "sd", "var")}
    check("path", got, {"mean": mean, "sd": sd, "var": sd**2}, rel=1e-7, source=TABLE)
    assert found.results["critical"].value == [1]


def test_a_path_of_guesses_and_its_deadline() -> None:
    guesses = [(5, 5, 7), (5, 5, 5), (1, 10, 17), (4, 4, 6)]
    guesses += [(2, 7, 10), (6, 10, 13), (2, 2, 3), (7, 7, 12)]
    activities = [
        {"id": i, "a": a, "m": m, "b": b, "after": [i - 1] if i else []}
        for i, (a, m, b) in enumerate(guesses)
    ]
    found = answer("path", {"activities": activities, "deadline_min": 55})
    wanted = {"mean": 50.8333333, "sd": 3.34580998, "probability": 0.893496363}
    got = {key: found.number(key) for key in wanted}
    source = "means and variances of a published table added up; scipy.stats.norm"
    check("path", got, wanted, rel=1e-7, source=source)


def test_of_tied_paths_the_largest_spread_counts() -> None:
    # Both branches take 10 in the mean; sd 0 on one, 2 on the other.
    activities = [
        {"id": "sure", "duration_min": 10},
        {"id": "guess", "a": 4, "m": 10, "b": 16},
        {"id": "end", "duration_min": 5, "after": ["sure", "guess"]},
    ]
    found = answer("path", {"activities": activities, "deadline_min": 17})
    check("path", found.number("sd"), 2.0, rel=1e-12, source="(16 - 4)/6")
    check("path", found.number("probability"), 0.841344746, rel=1e-8, source="Φ(1), any table")
    assert found.results["critical"].value == ["sure", "guess", "end"]


def test_a_ring_is_refused_by_name() -> None:
    ring = [
        {"id": "glue", "duration_min": 1, "after": ["plane"]},
        {"id": "plane", "duration_min": 1, "after": ["cure"]},
        {"id": "cure", "duration_min": 1, "after": ["glue"]},
    ]
    with pytest.raises(Refused, match="in a ring") as refused:
        answer("path", {"activities": ring})
    assert all(name in str(refused.value) for name in ("glue", "plane", "cure"))


@pytest.mark.parametrize(
    ("accuracy", "load", "e", "mpe"),
    [
        ("III", 500, 1, 0.5),
        ("III", 500.5, 1, 1),
        ("III", 2000, 1, 1),
        ("III", 2001, 1, 1.5),
        ("III", 251, 0.5, 0.5),
        ("III", 250, 0.5, 0.25),
        ("III", 4000, 2, 2),
        ("II", 600, 0.1, 0.1),
        ("II", 500, 0.1, 0.05),
        ("I", 300_000, 1, 1.5),
        ("IIII", 1000, 1, 1.5),
        ("iii", 0, 1, 0.5),
    ],
)
def test_permissible_errors(accuracy: str, load: float, e: float, mpe: float) -> None:
    # 251 g at e = 0.5 g are 502 e, above the first bound: 1 e is 0.5 g.
    found = answer("scale-class", {"class": accuracy, "e_g": e, "load_g": load})
    source = "OIML R 76-1 table as in UK SI 1995/1907 schedule 2"
    check("scale-class", found.number("mpe_g"), mpe, rel=1e-12, source=source)
    check("scale-class", found.number("in_service_g"), 2 * mpe, rel=1e-12, source=source)


@pytest.mark.parametrize(
    ("accuracy", "load", "says"),
    [("III", 10_001, "over the largest"), ("III", -1, "at least 0|from 0"), ("V", 1, "class must")],
)
def test_what_no_table_holds_is_refused(accuracy: str, load: float, says: str) -> None:
    with pytest.raises(Refused, match=says):
        answer("scale-class", {"class": accuracy, "e_g": 1, "load_g": load})


MODEL = "linear shrinkage model, exact form; moisture on the oven-dry mass"


def test_a_board_of_white_oak_dries() -> None:
    # 100 mm across at 10.5 % tangential, 12 to 8 %: -1.4941302; at 5.6 % radial: -0.772626932.
    typed = {"sizes_mm": "[500, 100, 100]", "species": "white oak", "to_moisture_pct": 8}
    flat = answer("board", typed)
    sizes = [500, 98.5058698, 99.227373068]
    check("board", flat.results["to_sizes_mm"].value, sizes, abs=1e-6, source=MODEL)
    quarter = answer("board", {**typed, "cut": "quarter"})
    sizes = [500, 99.227373068, 98.5058698]
    check("board", quarter.results["to_sizes_mm"].value, sizes, abs=1e-6, source=MODEL)
    # 5 l at 0.68 x 1.12.
    fia = "USDA FIA: specific gravity at 12 % x 1.12"
    check("board", flat.number("mass_g"), 3808.0, rel=1e-9, source=fia)
    check("board", flat.number("to_mass_g"), 3808 * 1.08 / 1.12, rel=1e-9, source=MODEL)


def test_a_wet_board_shrinks_from_fibre_saturation_only() -> None:
    # Cherry, 80 mm at 7.1 %, 40 to 10 %: -3.78666667.
    typed = {"sizes_mm": [400, 80, 20], "species": "black cherry", "moisture_pct": 40}
    found = answer("board", {**typed, "to_moisture_pct": 10})
    sizes: Any = found.results["to_sizes_mm"].value
    check("board", sizes[1], 80 - 3.78666667, abs=1e-6, source=MODEL)


@pytest.mark.parametrize(
    ("material", "diameter_in", "sfm"),
    [("steel", 0.5, 82), ("brass", 1.0, 148), ("resin", 0.5, 65.6)],
)
def test_a_drills_speed_is_that_of_the_machinists_rule(
    material: str, diameter_in: float, sfm: float
) -> None:
    # rpm = 3.82 x surface feet a minute / diameter; our m/min in feet, rounded.
    found = answer("drills", {"final_mm": f"{diameter_in} in", "material": material})
    source = "machinists' rule rpm = 3.82 SFM/D, from memory"
    check("drills", found.number("rpm"), 3.82 * sfm / diameter_in, rel=5e-3, source=source)


@pytest.mark.parametrize(
    ("screw", "material", "pilot"),
    [(4.2, "hardwood", 3.2), (4.2, "softwood", 2.8), (4.8, "hardwood", 3.6)],
)
def test_a_pilot_is_about_that_of_a_screw_chart(screw: float, material: str, pilot: float) -> None:
    found = answer("drills", {"final_mm": 5, "screw_mm": screw, "material": material})
    source = "screw chart, no. 8: 1/8 in hardwood, 7/64 in softwood, no. 10: 9/64 in; from memory"
    check("drills", found.number("pilot_mm"), pilot, abs=0.15, source=source)


@pytest.mark.parametrize("final_mm", [3, 6, 6.5, 10, 16, 25.4, 40])
def test_a_series_of_drills_keeps_its_own_rule(final_mm: float) -> None:
    series: Any = answer("drills", {"final_mm": final_mm}).results["series_mm"].value
    assert series[-1] == final_mm
    assert series[0] <= 6.0
    steps = [b / a for a, b in pairwise(series)]
    assert all(1.0 < step <= 1.7 + 1e-9 for step in steps)
