"""What a label says of one edge: its own temperature, a range, two points."""

from __future__ import annotations

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.windows.windows import Around, edges_from
from benchmate.moment import Timeline
from benchmate.quantities import QuantityError
from benchmate.quantities.compound import parse_timed
from benchmate.reckon.heat.kinetics import rate_ratio
from benchmate.shelf.clocks import rule_of, windows_of
from benchmate.shelf.filling import filled
from benchmate.shelf.material import Material
from benchmate.shelf.questions import answered, new_material, shown

H = 3600.0
CURE = "poured/cure/full"
POT = "mixed/pot life/closes"


def resin(key: str, text: str) -> Material:
    return answered(new_material("slow", "slow casting epoxy"), key, text)


def at(celsius: float) -> Around:
    """A shop whose air has stood at a temperature, read every quarter of an hour."""
    readings = [Reading(15 * 60.0 * n, celsius) for n in range(1000)]
    return Around(Timeline(), {"shop": AirLog(readings)})


def test_a_time_lent_by_common_practice_keeps_its_own_temperature() -> None:
    """72 h typed at 10 °C is no reason to take the lent 24 h, which are for 21 °C, as for 10 °C."""
    full = filled(resin(CURE, "72 h at 10 °C"))
    cure = next(w for w in full.windows if w.name == "cure")
    assert (cure.at_c, cure.opens_c, cure.full_c) == (10.0, 21.0, None)
    (window,) = (w for w in windows_of(full, "poured") if w.name == "cure")
    opens, reached, _ = edges_from(window, at(21.0), 0.0)
    assert opens is not None
    assert reached is not None
    assert opens.middle == pytest.approx(24 * H)
    assert reached.middle == pytest.approx(72 * H / rate_ratio(21.0, 10.0, 55_000.0), rel=1e-6)


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("8-10 min at 70 °F", 480.0, 600.0),
        ("8–10 min", 480.0, 600.0),
        ("8 to 10 min", 480.0, 600.0),
        ("45 min to 1 h 30", 2700.0, 5400.0),
    ],
)
def test_a_range_is_read_with_both_its_ends(text: str, least: float, most: float) -> None:
    found = parse_timed(text)
    assert (found.least_s, found.duration_s) == (least, most)


def test_a_range_backwards_is_refused() -> None:
    with pytest.raises(QuantityError, match="the shorter time first"):
        parse_timed("10-8 min")


def test_of_a_range_the_safe_end_counts_each_way() -> None:
    pot = resin(POT, "40 to 50 min at 20 °C")
    (window,) = (w for w in windows_of(pot, "mixed") if w.name == "pot life")
    closes = edges_from(window, Around(), 0.0)[2]
    assert closes is not None
    assert (closes.at, closes.latest) == (40 * 60.0, 50 * 60.0)
    cure = resin(CURE, "48 to 72 h at 20 °C")
    (window,) = (w for w in windows_of(cure, "poured") if w.name == "cure")
    reached = edges_from(window, Around(), 0.0)[1]
    assert reached is not None
    assert (reached.at, reached.earliest) == (72 * H, 48 * H)
    assert shown(pot, POT) == "40 min to 50 min at 20 °C"


def test_two_points_give_the_activation_energy() -> None:
    """By hand: R ln 2 / (1/288.15 K - 1/298.15 K) = 49.5 kJ/mol."""
    pot = resin(POT, "30 min at 25 °C; 60 min at 15 °C")
    (window,) = pot.windows
    rule = rule_of(filled(pot), window)
    assert rule.activation_j_mol == pytest.approx(49_510, rel=1e-3)
    assert rule.activation_low_j_mol < rule.activation_j_mol < rule.activation_high_j_mol
    (made,) = (w for w in windows_of(pot, "mixed") if w.name == "pot life")
    closes = edges_from(made, at(15.0), 0.0)[2]
    assert closes is not None
    assert closes.middle == pytest.approx(3600.0, rel=1e-6)


def test_the_activation_energy_may_be_typed_itself() -> None:
    full = resin(CURE, "72 h at 21 °C; 62.5 kJ/mol")
    (cure,) = (w for w in full.windows if w.name == "cure")
    assert (cure.full_s, cure.at_c, cure.activation_j_mol) == (72 * H, 21.0, 62_500.0)
    rule = rule_of(full, cure)
    assert (rule.activation_low_j_mol, rule.activation_high_j_mol) == (56_250.0, 68_750.0)
    with pytest.raises(QuantityError, match="no cure's activation energy"):
        resin(CURE, "72 h at 21 °C; 625 kJ/mol")


def test_two_points_that_contradict_each_other_are_refused() -> None:
    with pytest.raises(QuantityError, match="slower where it is warmer"):
        resin(POT, "60 min at 25 °C; 30 min at 15 °C")
    with pytest.raises(QuantityError, match="needs a temperature at both"):
        resin(POT, "60 min; 30 min at 15 °C")
