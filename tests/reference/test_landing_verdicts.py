"""The probability behind a verdict, against worked cases.

Source: the formula p = Phi((T_U - y)/u) - Phi((T_L - y)/u) of JCGM 106, 7.3, worked by a general
library (scipy) for these values; the last is the guide's own example 13.6, 1.8, 12.5 to 16.3, of
which it prints 66 % (inputs from memory).
"""

import pytest
from scipy.stats import norm

from benchmate.landing.likely import judge


@pytest.mark.parametrize(
    ("y", "u", "low", "high", "expected"),
    [
        pytest.param(1000.0, 2.0, 990.0, 1010.0, 0.99999943, id="in the middle"),
        pytest.param(1009.0, 2.0, 990.0, 1010.0, 0.69146246, id="near the limit"),
        pytest.param(1010.0, 2.0, 990.0, 1010.0, 0.5, id="on the limit"),
        pytest.param(1014.0, 2.0, 990.0, 1010.0, 0.02275013, id="beyond it"),
        pytest.param(988.0, 2.0, 990.0, 1010.0, 0.15865525, id="below"),
        pytest.param(1000.0, 8.0, 990.0, 1010.0, 0.78870045, id="a coarse scale"),
        pytest.param(13.6, 1.8, 12.5, 16.3, 0.66262979, id="the guide's example"),
    ],
)
def test_probability_inside_is_the_guides(
    y: float, u: float, low: float, high: float, expected: float
) -> None:
    found = judge(y, u, (low + high) / 2.0, (high - low) / 2.0).probability
    assert found == pytest.approx(expected, abs=1e-7)
    assert found == pytest.approx(float(norm.cdf(high, y, u) - norm.cdf(low, y, u)), abs=1e-12)
