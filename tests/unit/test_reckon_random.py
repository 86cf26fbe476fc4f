"""Whatever is typed, a reckoner answers with finite numbers or with one sentence."""

from random import Random

import pytest

from benchmate.reckon.asking.registry import find, names
from tests.reckon_random import outcome, random_inputs


@pytest.mark.parametrize("name", names())
def test_random_inputs_give_numbers_or_one_sentence(name: str) -> None:
    reckoner, chance = find(name), Random(f"{name} 100")
    outcomes = [outcome(reckoner, random_inputs(reckoner, chance)) for _ in range(150)]
    assert outcomes.count("answered") >= 10, "the inputs are too wild to say anything"
    assert len(set(outcomes)) >= 3, "the inputs are too tame to say anything"


@pytest.mark.fuzz
@pytest.mark.parametrize("name", names())
def test_ten_thousand_random_inputs_give_numbers_or_one_sentence(name: str) -> None:
    reckoner, chance = find(name), Random(f"{name} 10000")
    for _ in range(10_000):
        outcome(reckoner, random_inputs(reckoner, chance))
