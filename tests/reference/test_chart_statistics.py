"""Basic statistics against certified values.

Sources: NIST Statistical Reference Datasets (certified values; Lew and Lottery by exact decimal
arithmetic on the data, since the copy read had no certified block); GUM (JCGM 100) annex H.3, data
from memory, fit recalculated.
"""

import pytest

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
