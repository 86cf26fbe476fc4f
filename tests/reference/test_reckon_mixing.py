"""Resin mixes against a maker's published pair of ratios and worked cases."""

import pytest

from benchmate.reckon import answer
from benchmate.reckon.filling.mixing import mixed_density_g_cm3, ratio_by_weight
from tests.reference.outside import check

BY_HAND = "definition of the ratio, worked by hand"
MAKER = "an epoxy maker's mixing page: 3:1 by volume is 3.5:1 by weight for the same pair"
PRACTICE = "cups limited by size and by pot life: common practice, worked by hand"


def test_260_g_at_100_to_30_is_200_and_60() -> None:
    found = answer("resin-mix", {"resin_g": "260", "ratio": "100:30", "by": "weight"})
    got = [found.number(key) for key in ("mixes", "a_g", "b_g")]
    check("resin-mix", got, [1, 200, 60], rel=1e-9, source=BY_HAND)


def test_a_makers_two_ratios_agree() -> None:
    got = ratio_by_weight(3.0, "volume", 1.16666667, 1.0)
    check("resin-mix", got, 3.5, rel=1e-8, source=MAKER)


def test_two_to_one_by_volume_is_2_37_by_weight() -> None:
    typed = {"resin_g": 100, "ratio": "2:1", "by": "volume"}
    found = answer("resin-mix", {**typed, "density_a_g_cm3": 1.15, "density_b_g_cm3": 0.97})
    got = found.number("a_g") / found.number("b_g")
    check("resin-mix", got, 2.37113402, rel=1e-8, source=BY_HAND)


@pytest.mark.parametrize(
    ("typed", "mixes", "each_g"),
    [
        ({"resin_g": "2.1 kg", "max_mix_g": "0.3 kg"}, 7, 300),
        ({"resin_g": 480, "max_mix_g": 150}, 4, 120),
        (
            {
                "resin_g": 900,
                "max_mix_g": 400,
                "pot_life_min": 25,
                "mixing_min": 5,
                "pour_rate_g_per_min": 12,
            },
            4,
            225,
        ),
    ],
    ids=["2.1 kg in cups of 0.3 kg", "480 g in cups of 150 g", "limited by the pot life"],
)
def test_cups_are_equal_and_as_few_as_may_be(
    typed: dict[str, object], mixes: int, each_g: float
) -> None:
    found = answer("resin-mix", {**typed, "ratio": "2:1", "by": "weight"})
    got = [found.number("mixes"), found.number("a_g") + found.number("b_g")]
    check("resin-mix", got, [mixes, each_g], rel=1e-9, source=PRACTICE)


def test_a_loss_divides_by_what_remains() -> None:
    found = answer("resin-mix", {"resin_g": 90, "ratio": "1:1", "by": "weight", "loss_pct": 10})
    got = found.number("a_g") + found.number("b_g")
    check("resin-mix", got, 100.0, rel=1e-9, source="need/(1 - loss), worked by hand")


def test_volume_and_weight_of_a_mix_agree() -> None:
    # 2 ml of 1.15 and 1 ml of 0.97 g/cm³ are 3.27 g in 3 ml.
    got = mixed_density_g_cm3(2.0 * 1.15 / 0.97, 1.15, 0.97)
    check("resin-mix", got, 3.27 / 3.0, rel=1e-12, source=BY_HAND)
