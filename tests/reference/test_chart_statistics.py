"""Basic statistics against certified values.

Sources: NIST Statistical Reference Datasets (certified values; Lew and Lottery by exact decimal
arithmetic on the data, since the copy read had no certified block); GUM (JCGM 100) annex H.3, data
from memory, fit recalculated.
"""

import pytest

from benchmate.charts.groups import one_way
from benchmate.charts.line import fit_line
from benchmate.charts.summary import summarise
from tests.reference.charting import column
from tests.reference.outside import check

STRD = "NIST Statistical Reference Datasets"
GUM = "GUM annex H.3 (data from memory, fit recalculated)"

UNIVARIATE = [
    ("michelso", 100, 299.852400000000, 0.0790105478190518, 0.535199668621283, 1e-12),
    ("lew", 200, -177.435, 277.33216804431613, -0.3073048006056794, 1e-12),
    ("lottery", 218, 518.95871559633027, 291.69972747096908, -0.1209486229673928, 1e-12),
    ("numacc1", 3, 10000002.0, 1.0, -0.5, 1e-12),
    ("numacc2", 1001, 1.2, 0.1, -0.999, 1e-12),
    ("numacc3", 1001, 1000000.2, 0.1, -0.999, 1e-8),
    ("numacc4", 1001, 10000000.2, 0.1, -0.999, 1e-7),
]


@pytest.mark.parametrize(
    ("name", "count", "mean", "sd", "lag1", "rel_sd"),
    UNIVARIATE,
    ids=[row[0] for row in UNIVARIATE],
)
def test_summary_agrees_with_the_certified_values(
    name: str, count: int, mean: float, sd: float, lag1: float, rel_sd: float
) -> None:
    got = summarise(column(f"strd-{name}.csv"))
    assert got.count == count
    check("statistics", got.mean, mean, rel=1e-14, source=STRD)
    check("statistics", got.sd, sd, rel=rel_sd, source=STRD)
    check("statistics", got.lag1, lag1, rel=max(rel_sd, 1e-10), source=STRD)


def test_line_agrees_with_norris() -> None:
    line = fit_line(column("strd-norris.csv", "x"), column("strd-norris.csv", "y"))
    got = [
        line.intercept,
        line.slope,
        line.u_intercept,
        line.u_slope,
        line.residual_sd,
        line.r_squared,
    ]
    want = [
        -0.262323073774029,
        1.00211681802045,
        0.232818234301152,
        0.000429796848199937,
        0.884796396144373,
        0.999993745883712,
    ]
    check("line", got, want, rel=1e-9, source=f"{STRD}, Norris")


def test_groups_agree_with_sirstv() -> None:
    values, group = column("strd-sirstv.csv"), column("strd-sirstv.csv", "group")
    groups = [
        [value for value, name in zip(values, group, strict=True) if name == wanted]
        for wanted in sorted(set(group))
    ]
    got = one_way(groups)
    assert (got.between_dof, got.within_dof) == (4, 20)
    want = [0.0511462616, 0.21663656, 1.18046237440255, 0.190999039051129, 0.104076068334656]
    found = [got.between, got.within, got.f, got.r_squared, got.residual_sd]
    check("groups", found, want, rel=1e-9, source=f"{STRD}, SiRstv")


def test_line_agrees_with_the_thermometer_of_the_gum() -> None:
    t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    line = fit_line([x - 20.0 for x in t], b)
    got = [line.intercept, line.slope, line.u_slope, line.correlation, line.residual_sd]
    want = [-0.171204, 0.00218270, 0.00066794, -0.93043, 0.00349756]
    check("line", got, want, rel=1e-4, source=GUM)
    check("line", line.u_intercept, 0.002878, rel=1.8e-4, source=GUM)  # given to four digits only
    check("line", [line.at(10.0), line.u_at(10.0)], [-0.149377, 0.0041386], rel=1e-4, source=GUM)
