"""Reports of a weighing device on USB: HID usage page 0x8D, scale data report (usage 0x32).

Six bytes: report ID, status, unit, exponent (signed), weight low, weight high. Some systems leave
the ID out. Names of statuses and units from the public usage tables; factors by the definition of
the pound. A tael differs by country and is refused.
"""

from __future__ import annotations

from decimal import Decimal

from benchmate.scales.reading import Mark, Reading

USAGE_PAGE = 0x8D
LONGEST_EXPONENT = 6
FACTORS: dict[int, tuple[str, Decimal]] = {
    1: ("mg", Decimal("0.001")),
    2: ("g", Decimal(1)),
    3: ("kg", Decimal(1000)),
    4: ("carat", Decimal("0.2")),
    6: ("grain", Decimal("0.06479891")),
    7: ("pennyweight", Decimal("1.55517384")),
    8: ("ton", Decimal(1_000_000)),
    10: ("troy ounce", Decimal("31.1034768")),
    11: ("oz", Decimal("28.349523125")),
    12: ("lb", Decimal("453.59237")),
}
"""By the unit's number: its name, and a unit in grams. The avoirdupois ton (9) may be a short or a
long one: refused, as the tael (5)."""
AS_SHOWN = ("g", "kg", "oz", "lb")


def read_report(report: bytes, report_id: int | None = 3) -> Reading | None:
    """What a report says; None for one that isn't a scale's. Never raises.

    `report_id` is the device's own, by its descriptor; None where the system leaves it out.
    """
    if report_id is not None:
        if len(report) != 6 or report[0] != report_id:
            return None
        report = report[1:]
    if len(report) != 5:
        return None
    match report[0]:
        case 1 | 7 | 8:
            return Reading("fault")
        case 5:
            # It carries a magnitude without a sign: never a positive weight.
            return Reading("under")
        case 6:
            return Reading("over")
        case 2 | 4:
            return _weight("stable", report)
        case 3:
            return _weight("moving", report)
        case _:
            return None


def _weight(mark: Mark, report: bytes) -> Reading | None:
    exponent = int.from_bytes(report[2:3], signed=True)
    if report[1] not in FACTORS or abs(exponent) > LONGEST_EXPONENT:
        return None
    name, factor = FACTORS[report[1]]
    shown = Decimal(int.from_bytes(report[3:5], "little")).scaleb(exponent)
    grams, division_g = shown * factor, Decimal(1).scaleb(exponent) * factor
    text = f"{shown:f} {name}" if name in AS_SHOWN else f"{grams:f} g"
    return Reading(mark, text, float(grams), float(division_g))
