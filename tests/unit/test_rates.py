"""How fast a window's time runs: by family, temperature, humidity and the mass in the cup."""

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.plan import rates
from benchmate.plan.rates import Rule, rates_at

FAMILIES: list[rates.Family] = [
    "constant",
    "arrhenius",
    "waterborne",
    "evaporation",
    "moisture cure",
]
families = st.sampled_from(FAMILIES)
temperatures = st.floats(-30, 60)
humidities = st.none() | st.floats(0, 100)


def test_a_rule_survives_being_stored_as_json() -> None:
    rule = Rule(family="arrhenius", ref_c=25, mass_g=150, label_mass_g=100)
    assert msgspec.json.decode(msgspec.json.encode(rule), type=Rule) == rule
    assert msgspec.json.encode(Rule()) == b"{}"


@pytest.mark.parametrize("family", FAMILIES)
def test_at_the_labels_air_the_labels_time_holds(family: rates.Family) -> None:
    rule = Rule(family=family, ref_c=21, ref_humidity_pct=45)
    low, mid, high = rates_at(rule, 21, 45)
    assert mid == pytest.approx(1)
    spread = rates.FAMILY_SPREAD[family]
    assert low == pytest.approx(1 / spread)
    assert high == pytest.approx(spread)


@given(families, temperatures, humidities, st.floats(0, 10))
def test_the_middle_lies_between_the_ends_and_time_always_moves(
    family: rates.Family, c: float, h: float | None, doubt: float
) -> None:
    low, mid, high = rates_at(Rule(family=family), c, h, doubt)
    assert 0 < low <= mid <= high < math.inf


@given(families, temperatures, st.floats(0, 20), humidities)
def test_warmer_air_never_slows_anything_down(
    family: rates.Family, c: float, warmer: float, h: float | None
) -> None:
    rule = Rule(family=family)
    cold, warm = rates_at(rule, c, h), rates_at(rule, c + warmer, h)
    assert all(w >= k * (1 - 1e-12) for k, w in zip(cold, warm, strict=True))


@given(families, temperatures, humidities, st.floats(0, 5), st.floats(0, 5))
def test_more_doubt_only_widens(
    family: rates.Family, c: float, h: float | None, doubt: float, more: float
) -> None:
    near, far = (
        rates_at(Rule(family=family), c, h, doubt),
        rates_at(Rule(family=family), c, h, doubt + more),
    )
    assert far.low <= near.low * (1 + 1e-12)
    assert far.mid == near.mid
    assert far.high >= near.high * (1 - 1e-12)


@pytest.mark.parametrize(
    ("rule", "slows"),
    [
        pytest.param(Rule(family="waterborne"), True, id="glue and water-borne film dry slower"),
        pytest.param(Rule(family="evaporation", carrier="water"), True, id="so does water"),
        pytest.param(Rule(family="moisture cure"), False, id="polyurethane is helped by it"),
    ],
)
def test_damp_air_and_what_it_does(rule: Rule, *, slows: bool) -> None:
    dry, damp = rates_at(rule, 20, 35), rates_at(rule, 20, 80)
    assert (damp.mid < dry.mid) is slows
    assert (damp.low < dry.low) is slows


def test_solvent_leaves_no_slower_in_damp_air_by_our_reckoning() -> None:
    rule = Rule(family="evaporation")
    assert rates_at(rule, 18, 30) == rates_at(rule, 18, 90)


def test_humidity_that_nobody_read_widens_a_range_and_leaves_its_middle() -> None:
    rule = Rule(family="waterborne")
    known, unknown = rates_at(rule, 20, 50), rates_at(rule, 20)
    assert unknown.low < known.low
    assert unknown.mid == pytest.approx(known.mid)
    assert unknown.high > known.high


@pytest.mark.parametrize(
    ("family", "at_c", "spoiled", "too_cold"),
    [
        ("waterborne", 8.0, True, True),
        ("waterborne", 10.0, False, False),
        ("arrhenius", 8.0, False, True),
        ("evaporation", 8.0, False, True),
    ],
)
def test_cold_spoils_what_is_waterborne_and_delays_the_rest(
    family: rates.Family, at_c: float, *, spoiled: bool, too_cold: bool
) -> None:
    rule = Rule(family=family, lowest_c=10)
    assert rates.is_spoiled_by(rule, at_c) is spoiled
    assert rates.is_too_cold(rule, at_c) is too_cold


def test_without_a_lowest_working_temperature_nothing_is_said_to_be_spoiled() -> None:
    assert not rates.is_spoiled_by(Rule(family="waterborne"), -5)


@pytest.mark.parametrize(
    ("mass_g", "middle", "quickest"),
    [
        pytest.param(None, 1, 1, id="mass not known"),
        pytest.param(60.0, 1, 1, id="a smaller cup gets no credit"),
        pytest.param(100.0, 1, 1, id="the label's own cup"),
        pytest.param(800.0, 2, 4, id="eight times the mass: half the time, a quarter at worst"),
    ],
)
def test_a_larger_cup_gels_sooner(mass_g: float | None, middle: float, quickest: float) -> None:
    rule = Rule(family="arrhenius", label_mass_g=100, mass_g=mass_g)
    assert rates.cup_rates(rule) == pytest.approx((1, middle, quickest))
    alone = rates_at(Rule(family="arrhenius"), 25)
    assert rates_at(rule, 25) == pytest.approx(
        (alone.low, alone.mid * middle, alone.high * quickest)
    )


def test_only_range_families_are_shown_as_ranges_and_touch_is_asked_where_solvent_leaves() -> None:
    rules = {family: Rule(family=family) for family in FAMILIES}
    assert [f for f in FAMILIES if rates.is_range(rules[f])] == FAMILIES[2:]
    assert [f for f in FAMILIES if rates.asks_touch(rules[f])] == ["evaporation"]
