"""The curve of a reckoner runs over what can be answered and marks where the maker stands."""

import pytest

from benchmate.reckon.asking.answering import answer_with
from benchmate.reckon.asking.curve import curve
from benchmate.reckon.asking.registry import find, names


@pytest.mark.parametrize("name", [name for name in names() if find(name).curve])
def test_a_curve_goes_through_the_examples_answer(name: str) -> None:
    reckoner = find(name)
    found = curve(reckoner, reckoner.example, 20)
    assert found is not None
    assert found.at is not None
    assert found.at[1] == answer_with(reckoner, reckoner.example).number(found.y_key)
    xs = [x for x, _ in found.points]
    assert xs == sorted(xs)
    assert xs[0] <= found.at[0] <= xs[-1] or len(xs) < 20


def test_where_nothing_can_be_answered_there_is_no_curve() -> None:
    assert curve(find("packing"), {"shot_mm": "99", "gap_mm": "30"}) is None
    assert curve(find("metal"), {"name": "lead"}) is None


def test_what_is_refused_leaves_a_gap() -> None:
    found = curve(find("packing"), {"shot_mm": "2", "gap_mm": "30"})
    assert found is not None
    assert found.points[0][0] >= 3.0, "below 1.5 shot wide no formula holds"
