"""Conformity with a tolerance, against the worked cases of the guide."""

import pytest

from benchmate.reckon.weight.conformity import (
    Verdict,
    guard_zones,
    probability_inside,
)
from tests.reference.outside import check

PRINTED = "JCGM 106, printed to two digits, and recalculated"
CASES = [
    ("C-1", 1000, 2, 990, 1010, 0.99999943, Verdict.ACCEPT),
    ("C-2", 1009, 2, 990, 1010, 0.69146246, Verdict.INCONCLUSIVE),
    ("C-3", 1010, 2, 990, 1010, 0.5, Verdict.INCONCLUSIVE),
    ("C-4", 1014, 2, 990, 1010, 0.02275013, Verdict.INCONCLUSIVE),
    ("C-5", 988, 2, 990, 1010, 0.15865525, Verdict.INCONCLUSIVE),
    ("C-6", 1000, 8, 990, 1010, 0.78870045, Verdict.NO_ACCEPTANCE_ZONE),
]


@pytest.mark.parametrize(
    ("y", "u", "low", "high", "inside", "verdict"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_results_near_a_tolerance(
    y: float, u: float, low: float, high: float, inside: float, verdict: Verdict
) -> None:
    source = "JCGM 106 clause 7, recalculated; guard band w = 2u after ISO 14253-1"
    check("conformity", probability_inside(y, u, low, high), inside, abs=1e-7, source=source)
    assert guard_zones(low, high, 2 * u).verdict(y) is verdict


@pytest.mark.parametrize(
    ("y", "u", "low", "high", "inside"),
    [
        (-5.47, 0.05, None, -5.40, 0.91924334),
        (509.7, 8.6, 490, None, 0.98900955),
        (13.6, 1.8, 12.5, 16.3, 0.66262979),
    ],
    ids=["upper limit", "lower limit", "both"],
)
def test_the_guides_own_examples(
    y: float, u: float, low: float | None, high: float | None, inside: float
) -> None:
    check("conformity", probability_inside(y, u, low, high), inside, abs=1e-7, source=PRINTED)
