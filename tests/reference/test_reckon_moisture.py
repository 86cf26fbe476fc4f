"""Wood's moisture against the handbook's table, its inverse and its movement."""

import pytest

from benchmate.reckon import answer
from tests.reference.outside import check

TABLE = "USDA equilibrium moisture table (Wood Handbook ch. 4), as reprinted by a lumber retailer"
FORMULA = "Hailwood-Horrobin equation, coefficients as cited from FPL-RN-0268"
MODEL = "linear shrinkage below 30 %, exact form (Wood Handbook ch. 4), by hand"
FAHRENHEIT = (40, 50, 60, 70, 80)
CELLS = {
    20: (4.6, 4.6, 4.6, 4.5, 4.4),
    30: (6.3, 6.3, 6.2, 6.2, 6.1),
    40: (7.9, 7.9, 7.8, 7.7, 7.6),
    50: (9.5, 9.5, 9.4, 9.2, 9.1),
    60: (11.3, 11.2, 11.1, 11.0, 10.8),
    70: (13.5, 13.4, 13.3, 13.1, 12.9),
    80: (16.5, 16.4, 16.2, 16.0, 15.7),
}


@pytest.mark.parametrize("humidity_pct", CELLS)
def test_the_handbooks_cells_are_met(humidity_pct: int) -> None:
    for fahrenheit, want in zip(FAHRENHEIT, CELLS[humidity_pct], strict=True):
        typed = {"temperature_c": f"{fahrenheit} °F", "humidity_pct": humidity_pct}
        got = answer("moisture", typed).number("emc_pct")
        check("moisture", got, want, abs=0.1, source=TABLE)


@pytest.mark.parametrize(
    ("c", "humidity_pct", "emc_pct"),
    [
        (20, 50, 9.27114071),
        (20, 65, 11.9962672),
        (25, 40, 7.60817761),
        (10, 80, 16.3821732),
        (30, 30, 5.98539415),
    ],
)
def test_the_equation_gives_its_values(c: float, humidity_pct: float, emc_pct: float) -> None:
    got = answer("moisture", {"temperature_c": c, "humidity_pct": humidity_pct})
    check("moisture", got.number("emc_pct"), emc_pct, rel=1e-8, source=FORMULA)


def test_the_equation_at_140_fahrenheit() -> None:
    got = answer("moisture", {"temperature_c": "140 °F", "humidity_pct": 55})
    source = "an encyclopaedia's text: 8.4 % by the formula"
    check("moisture", got.number("emc_pct"), 8.4, abs=0.05, source=source)


@pytest.mark.parametrize(
    ("c", "emc_pct", "humidity_pct"), [(20, 8.0, 41.8291097), (22, 10.5, 57.6160122)]
)
def test_the_air_that_keeps_wood_as_it_is(c: float, emc_pct: float, humidity_pct: float) -> None:
    got = answer("moisture", {"temperature_c": c, "emc_pct": emc_pct})
    check("moisture", got.number("humidity_pct"), humidity_pct, rel=1e-7, source=FORMULA)


@pytest.mark.parametrize(
    ("width_mm", "shrinkage_pct", "from_pct", "to_pct", "change_mm"),
    [
        (100, 10.5, 12, 8, -1.4941302),
        (100, 5.6, 12, 8, -0.772626932),
        (80, 7.1, 40, 10, -3.78666667),
    ],
)
def test_a_width_moves_by_the_linear_model(
    width_mm: float, shrinkage_pct: float, from_pct: float, to_pct: float, change_mm: float
) -> None:
    typed = {
        "temperature_c": 20,
        "emc_pct": to_pct,
        "width_mm": width_mm,
        "shrinkage_pct": shrinkage_pct,
        "from_emc_pct": from_pct,
    }
    got = answer("moisture", typed).number("change_mm")
    check("moisture", got, change_mm, rel=1e-7, source=MODEL)
