"""Reports of a weighing device on USB: HID usage page 0x8D, scale data report (usage 0x32).

Six bytes: report ID, status, unit, exponent (signed), weight low, weight high. Some systems leave
the ID out. Names of statuses and units from the public usage tables; factors by the definition of
the pound. A tael differs by country and is refused.
"""

from __future__ import annotations

from decimal import Decimal

from benchmate.scales.reading import Mark, Reading

USAGE_PAGE = 0x8D
SCALE_DATA = 0x32
LONGEST_EXPONENT = 6
LONGEST_REPORT = 6
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


USUAL_ID = 3


def report_id_of(descriptor: bytes) -> int | None:
    """The ID of the scale data report, by the device's own descriptor; None where its reports
    carry none. Items as in HID 1.11, 6.2.2.2: a byte of tag, kind and size, then the value."""
    page = usage = report_id = at = 0
    is_inside = False
    while at < len(descriptor):
        size = (0, 1, 2, 4)[descriptor[at] & 3]
        value = int.from_bytes(descriptor[at + 1 : at + 1 + size], "little")
        match descriptor[at] & 0xFC:
            case 0x04:
                page = value
            case 0x08:
                usage = value
            case 0x84:
                report_id = value
            case 0xA0:
                is_inside = is_inside or (page, usage) == (USAGE_PAGE, SCALE_DATA)
            case 0x80 if is_inside:
                return report_id or None
        at += 1 + size
    return USUAL_ID


def read_report(report: bytes, report_id: int | None = USUAL_ID) -> Reading | None:
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
