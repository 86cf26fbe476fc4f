"""Scales against outside values: HID reports, line check set, stability cases.

HID: usage names and report layout by the USB HID usage tables, Point of Sale devices (page 0x8D);
factors by the definition of the pound. H-1 and H-2 are reports that two independent public
descriptions print; H-3 to H-9 follow from the layout by arithmetic. Lines: a made-up check set,
common practice, no source. Stability: "the last n readings lie within δ", common practice, no
source; T-1 to T-4 by hand.
"""

from __future__ import annotations

import random
from statistics import mean

import pytest

from benchmate.quantities import parse_reading
from benchmate.scales.hid import read_report
from benchmate.scales.lines import LineForm
from benchmate.scales.reading import Reading
from benchmate.scales.steady import Steady

HID = [
    ("H-1", "03 04 02 00 14 00", "stable", 20.0),
    ("H-2", "03 04 0B FF 34 19", "stable", 18_291.11232),
    ("H-3", "03 02 02 00 00 00", "stable", 0.0),
    ("H-4", "03 04 03 FD E8 03", "stable", 1000.0),
    ("H-5", "03 03 02 FF 39 30", "moving", 1234.5),
    ("H-6", "03 04 02 01 2C 01", "stable", 3000.0),
    ("H-7", "03 06 0C FE FF FF", "over", None),
    ("H-8", "03 01 02 00 00 00", "fault", None),
    ("under zero", "03 05 02 FF 39 30", "under", None),
]


@pytest.mark.parametrize(("report", "mark", "grams"), [h[1:] for h in HID], ids=[h[0] for h in HID])
def test_a_report(report: str, mark: str, grams: float | None) -> None:
    found = read_report(bytes.fromhex(report))
    assert found is not None
    assert found.mark == mark
    assert found.grams == (None if grams is None else pytest.approx(grams, abs=1e-6))
    if grams is not None:
        assert parse_reading(found.text).value_g == pytest.approx(grams, abs=1e-6)


def test_h9_a_report_without_its_id_counts_only_where_that_is_known() -> None:
    report = bytes.fromhex("04 02 FF 39 30")
    assert read_report(report) is None
    found = read_report(report, None)
    assert found is not None
    assert (found.mark, found.grams) == ("stable", pytest.approx(1234.5, abs=1e-6))


def test_another_id_is_the_devices_choice_and_a_tael_is_refused() -> None:
    assert read_report(bytes.fromhex("04 04 02 00 14 00")) is None
    found = read_report(bytes.fromhex("04 04 02 00 14 00"), 4)
    assert found is not None
    assert found.grams == 20.0
    assert read_report(bytes.fromhex("03 04 05 00 14 00")) is None


def test_random_reports_never_raise_and_never_weigh_below_nothing() -> None:
    chance = random.Random(8)
    for _ in range(20_000):
        report = chance.randbytes(chance.randint(0, 8))
        for report_id in (3, None, report[0] if report else 0):
            found = read_report(report, report_id)
            assert found is None or found.grams is None or found.grams >= 0.0


CHECK_SET = (
    r"(?:(?P<stable>ST)|US),(?:GS|NT),(?P<sign>[+-]) *(?P<weight>\d+\.\d+) +(?P<unit>g|kg)"
    r"|-{6}|OL"
)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("ST,GS,+  123.4  g", ("stable", 123.4)),
        ("US,NT,-   0.25 kg", ("moving", -250.0)),
        ("ST,GS,+  12", None),
        ("------", ("over", None)),
        ("OL", ("over", None)),
        ("     12,5 g", None),
    ],
)
def test_a_line_of_the_check_set(line: str, expected: tuple[str, float | None] | None) -> None:
    found = LineForm(CHECK_SET).read(line)
    assert (found and (found.mark, found.grams)) == expected


def test_a_decimal_comma_only_where_that_is_set() -> None:
    form = r" *(?P<weight>\d+,\d) (?P<unit>g)"
    assert LineForm(form).read("     12,5 g") is None
    found = LineForm(form, comma=True).read("     12,5 g")
    assert found == Reading("", "12.5 g", 12.5, pytest.approx(0.1))


APPROACH = (120, 318, 401.5, 411, 412.4, 412.6, 412.5, 412.5)


@pytest.mark.parametrize(
    ("readings", "n", "spread", "division", "at", "value"),
    [
        (APPROACH, 4, 2, 0.1, 8, 412.5),
        (APPROACH, 3, 5, 0.1, 7, 412.5),
        ((10, 12, 14, 16), 3, 1, 1.0, None, None),
        ((5.0, 5.1, 5.2, 5.3), 3, 2, 0.1, 3, 5.1),
    ],
    ids=["T-1", "T-2", "T-3", "T-4"],
)
def test_when_a_weight_is_steady(
    readings: tuple[float, ...],
    n: int,
    spread: int,
    division: float,
    at: int | None,
    value: float | None,
) -> None:
    steady = Steady(n, spread, span_s=0.0)
    found = [
        steady.hear(Reading("", f"{r} g", r, division), 10.0 + k / 10).state
        for k, r in enumerate(readings)
    ]
    first = found.index("steady") + 1 if "steady" in found else None
    assert first == at
    if at is not None:
        assert mean(readings[at - n : at]) == pytest.approx(value)
