"""How sure a weighing is, against worked uncertainty budgets and a library for error budgets."""

import math

import pytest
import uncertainties
from uncertainties import ufloat

from benchmate.reckon import answer
from benchmate.reckon.weight.weighing import (
    Scale,
    Term,
    combine,
    half_width,
    net_weight,
    shared_reading_covariance,
)
from tests.reference.outside import check

GUM = "GUM F.2.2.1, 5.1.2, G.4.1, recalculated by hand"
LIBRARY = f"uncertainties {uncertainties.__version__}"


def test_one_reading_of_a_1_g_scale() -> None:
    check("weight", Scale(1.0).rounding_g, 0.288675135, rel=1e-8, source=GUM)


def test_a_net_weight_of_a_scale_of_which_nothing_else_is_known() -> None:
    net = net_weight([850.0], [150.0], Scale(1.0))
    check(
        "weight",
        [net.net_g, net.u_g, 2 * net.u_g],
        [700, 0.408248290, 0.816496581],
        rel=1e-8,
        source=GUM,
    )
    assert net.dof == math.inf


BUDGETS = [
    ("U-3", Scale(1.0, 0.5, 10, 1.0), 1, 1.0, 36.0, 2.07187, 2.07187, 1e-5),
    ("U-4", Scale(0.1, 0.1, 10, 0.2), 1, 0.187083, 27.5625, 2.094877, 0.391916, 3e-6),
    ("U-5", Scale(5.0, 2.0, 10, 5.0), 1, 4.527693, 59.0977, 2.043196, 9.250965, 1e-6),
    ("U-6", Scale(1.0, 1.2, 4, 0.0), 1, 1.745470, 3.357, 3.109, 5.4266, 1e-3),
    ("U-7", Scale(1.0, 0.5, 10, 1.0), 3, 0.816497, 144.0, 2.0175, 1.64729, 1e-4),
]


@pytest.mark.parametrize(
    ("scale", "readings", "u", "dof", "k", "expanded", "rel"),
    [case[1:] for case in BUDGETS],
    ids=[case[0] for case in BUDGETS],
)
def test_net_weights_have_the_worked_budget(
    scale: Scale, readings: int, u: float, dof: float, k: float, expanded: float, rel: float
) -> None:
    net = net_weight([850.0] * readings, [150.0] * readings, scale)
    check("weight", [net.u_g, net.dof, net.k, net.U_g], [u, dof, k, expanded], rel=rel, source=GUM)


def test_the_terms_of_a_budget_are_those_worked_by_hand() -> None:
    terms = net_weight([850.0], [150.0], Scale(1.0, 0.5, 10, 1.0)).terms
    want = [0.288675, 0.288675, 0.707107, 0.577350]
    check("weight", [term.share for term in terms], want, abs=1e-6, source=GUM)


def test_a_10_kg_weight_calibrated_by_comparison() -> None:
    found = combine(
        [
            Term("standard", 45.0 / 2),
            Term("drift", half_width(15.0)),
            Term("difference", 25.0 / math.sqrt(3)),
            Term("eccentricity", half_width(10.0)),
            Term("buoyancy", half_width(10.0)),
        ]
    )
    source = "EA-4/02 example S2, in mg"
    check("weight", [found.u, 2 * found.u], [29.2617, 58.5235], rel=1e-5, source=source)


def test_the_end_gauge_of_the_guide_to_first_order() -> None:
    found = combine(
        [
            Term("standard", 25.0, 18),
            Term("difference", 9.7, 25.6),
            Term("expansion", 0.58e-6, 50, sensitivity=-50_000_623.0 * -0.1),
            Term("temperature", 0.029, 2, sensitivity=-50_000_623.0 * 11.5e-6),
        ]
    )
    check("weight", found.u, 31.7106, rel=1e-5, source="GUM H.1, first order, recalculated")
    check("weight", found.dof, 16.656, rel=1e-4, source="GUM H.1, effective degrees of freedom")


def test_two_nets_of_one_tare_err_together() -> None:
    scale = Scale(0.1, 0.2, 10)
    gross_a, gross_b, tare = (ufloat(0, math.sqrt(scale.reading_variance_g2(1))) for _ in range(3))
    net_a, net_b = gross_a - tare, gross_b - tare
    shared = shared_reading_covariance(scale)
    alone = net_weight([1.0], [0.0], scale).u_g ** 2
    check("weight", math.sqrt(2.0 * (alone + shared)), (net_a + net_b).s, rel=1e-9, source=LIBRARY)
    check("weight", math.sqrt(2.0 * (alone - shared)), (net_a - net_b).s, rel=1e-9, source=LIBRARY)


def test_one_layers_end_is_the_next_ones_beginning() -> None:
    scale = Scale(0.5, 0.3, 10)
    first, middle, last = (ufloat(0, math.sqrt(scale.reading_variance_g2(2))) for _ in range(3))
    one, two = middle - first, last - middle
    shared = shared_reading_covariance(scale, 2, opposite=True)
    alone = net_weight([1.0, 1.0], [0.0, 0.0], scale).u_g ** 2
    check("weight", math.sqrt(2.0 * (alone + shared)), (one + two).s, rel=1e-9, source=LIBRARY)


def test_the_reckoner_answers_the_same_budget() -> None:
    found = answer(
        "weight",
        {
            "gross_g": "850",
            "tare_g": "150",
            "division_g": "1",
            "repeatability_g": "0.5",
            "repeatability_n": "10",
            "linearity_g": "1",
        },
    )
    got = [found.number(key) for key in ("net_g", "u_g", "k", "U_g", "dof")]
    check("weight", got, [700.0, 1.0, 2.07187, 2.07187, 36.0], rel=1e-5, source=GUM)
    assert found.results["probability_inside"].value is None


def test_the_reckoner_tells_the_probability_of_being_inside() -> None:
    # u = d/√6 alone: d = 4.898979486 g makes u = 2 g.
    found = answer(
        "weight",
        {
            "gross_g": 1009,
            "division_g": math.sqrt(24.0),
            "target_g": 1000,
            "tolerance_g": 10,
        },
    )
    check("weight", found.number("probability_inside"), 0.69146246, abs=1e-7, source="JCGM 106 7")
