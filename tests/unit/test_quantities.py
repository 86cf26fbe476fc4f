"""What people type is read, or refused in one sentence."""

from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.quantities import (
    KINDS,
    Limits,
    QuantityError,
    TimedAt,
    Toleranced,
    parse,
    parse_area_mm2,
    parse_density_g_cm3,
    parse_duration_s,
    parse_length_mm,
    parse_limits,
    parse_mass_g,
    parse_number,
    parse_percent,
    parse_reading,
    parse_size_mm,
    parse_temperature_c,
    parse_timed,
    parse_toleranced,
    parse_volume_ml,
    quote,
    show_countdown,
    show_duration,
    show_fraction,
    show_length,
    show_mass,
    show_size,
    show_temperature,
    show_volume,
)

PARSERS = {
    "mass": parse_mass_g,
    "length": parse_length_mm,
    "volume": parse_volume_ml,
    "area": parse_area_mm2,
    "temperature": parse_temperature_c,
    "duration": parse_duration_s,
    "percent": parse_percent,
    "density": parse_density_g_cm3,
}


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        ("mass", "850 g", 850.0),
        ("mass", "850g", 850.0),
        ("mass", "1.2 kg", 1200.0),
        ("mass", "1 lb 4 oz", 566.9904625),
        ("mass", "3 oz.", 85.048569375),
        ("mass", "½ lb", 226.796185),
        ("mass", "12,5 g", 12.5),
        ("mass", "0,125 kg", 125.0),
        ("mass", "12345,678 g", 12345.678),
        ("mass", "1 kg 200 g", 1200.0),
        ("length", "3/4 in", 19.05),
        ("length", "1 1/2 in", 38.1),
        ("length", '1-1/2"', 38.1),
        ("length", "1½″", 38.1),
        ("length", "1 ft 6 in", 457.2),
        ("length", "3,2 cm", 32.0),
        ("length", "50 µm", 0.05),
        ("volume", "4 fl. oz", 118.29411825),
        ("volume", "120 cm³", 120.0),
        ("volume", "2 in^3", 32.774128),
        ("area", "7 sq in", 4516.12),
        ("area", "45 cm²", 4500.0),
        ("temperature", "17.5C", 17.5),
        ("temperature", "68 °F", 20.0),
        ("temperature", "-5 °C", -5.0),
        ("temperature", "293.15 K", 20.0),
        ("duration", "45 min", 2700.0),
        ("duration", "1 h 30", 5400.0),
        ("duration", "1h30", 5400.0),
        ("duration", "1 d 20 h", 158400.0),
        ("duration", "1 h 30 min 5", 5405.0),
        ("duration", "1½ h", 5400.0),
        ("duration", "2 d", 172800.0),
        ("percent", "12 %", 12.0),
        ("density", "620 kg/m³", 0.62),
    ],
)
def test_a_quantity_is_read_in_the_unit_inside(kind: str, text: str, value: float) -> None:
    assert PARSERS[kind](text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "text", "says"),
    [
        ("mass", "abc", "is not a weight"),
        ("mass", "", "nothing was typed"),
        ("mass", "OL", "no weight to give"),
        ("mass", "NaN", "is not a number"),
        ("mass", "12", "has no unit"),
        ("mass", "12 mm", "is a length; expected a weight"),
        ("mass", "12 gr", "unknown unit “gr”"),
        ("mass", "-3 g", "below zero"),
        ("mass", "1,234 g", "could mean two numbers; write 1.234 or 1234"),
        ("mass", "1.234,5 g", "two marks"),
        ("mass", "12, g", "ends in a comma"),
        ("mass", "1e9 kg", "too large to be a weight"),
        ("mass", "1e400 g", "too large"),
        ("mass", "1 234 g", "two numbers"),
        ("mass", "4 oz 1 lb", "more than one amount"),
        ("mass", "12.5.3 g", "can't be read"),
        ("mass", "3/0 g", "divides by zero"),
        ("length", "12 g", "is a weight; expected a length"),
        ("length", "5 in2", "is an area; expected a length"),
        ("area", "5 cm2 3 cm2", "more than one amount"),
        ("temperature", "-300 C", "below absolute zero"),
        ("temperature", "18", "has no unit"),
        ("duration", "1:30", "may be hours or minutes; write 1 h 30 or 1 min 30"),
        ("duration", "30 min 1 h", "more than one amount"),
        ("duration", "2 d 4", "has no unit"),
        ("duration", "21 °C", "is a temperature; expected a time"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_was_expected(
    kind: str, text: str, says: str
) -> None:
    with pytest.raises(QuantityError, match=says.replace("/", ".")):
        PARSERS[kind](text)


@pytest.mark.parametrize(
    "text",
    [
        "x" * 100_000,
        "5 g\n" * 2000,
        "\x1b]0;title\x07\x1b[31m5 g",
        "\u202e5 g",
        "9" * 119,
        "g" * 119,
    ],
    ids=["long word", "pasted page", "escape codes", "direction override", "digits", "letters"],
)
def test_a_pasted_page_gives_one_short_printable_sentence(text: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_mass_g(text)
    sentence = str(refused.value)
    assert len(sentence) < 200
    assert sentence.isprintable()


def read_or_sentence(read: Callable[[], Any]) -> Any:
    """Return what was read, or the sentence of the refusal; anything else raised is a fault."""
    try:
        return read()
    except QuantityError as refusal:
        return str(refusal)


@given(st.text(max_size=60), st.sampled_from(sorted(KINDS)))
def test_any_text_is_a_number_or_one_sentence(text: str, kind: str) -> None:
    found = read_or_sentence(lambda: parse(kind, text, signed=True))
    assert found.isprintable() if isinstance(found, str) else abs(found) <= KINDS[kind].limit


@given(st.text(alphabet="0123456789.,-/ '\"ginmlbozhxd±%°CFat²³½", max_size=30))
def test_texts_of_a_makers_characters_never_raise_anything_else(text: str) -> None:
    reads = [
        partial(read, text)
        for read in (parse_duration_s, parse_timed, parse_size_mm, parse_reading, parse_number)
    ]
    for kind in ("mass", "temperature", "duration"):
        reads += [partial(parse_toleranced, kind, text), partial(parse_limits, kind, text)]
    for read in reads:
        found = read_or_sentence(read)
        assert not isinstance(found, str) or found.isprintable()


def test_a_bare_number_takes_the_unit_it_is_offered() -> None:
    assert parse_mass_g("12.5", "g") == 12.5
    assert parse_length_mm("3/4", "in") == 19.05
    assert parse_duration_s("90", "min") == 5400.0
    assert parse_toleranced("mass", "850 ± 8", "g") == Toleranced(850.0, 8.0)


def test_a_kind_by_name_is_read_as_its_own_parser_reads_it() -> None:
    assert parse("duration", "1 h 30") == parse_duration_s("1 h 30")
    assert parse("mass", "1 lb 4 oz") == parse_mass_g("1 lb 4 oz")


def test_below_zero_is_read_where_it_is_allowed() -> None:
    assert parse_mass_g("-3.2 g", signed=True) == -3.2
    assert parse_mass_g("−3.2 g", signed=True) == -3.2


@pytest.mark.parametrize(
    ("text", "value", "tolerance"),
    [
        ("850 g ± 8 g", 850.0, 8.0),
        ("850 ± 8 g", 850.0, 8.0),
        ("850 g +/- 8", 850.0, 8.0),
        ("850 g ± 1 %", 850.0, 8.5),
        ("850 g", 850.0, None),
    ],
)
def test_a_tolerance_is_read_with_its_value(
    text: str, value: float, tolerance: float | None
) -> None:
    assert parse_toleranced("mass", text) == Toleranced(value, tolerance)


def test_a_tolerance_of_a_temperature_is_a_difference() -> None:
    found = parse_toleranced("temperature", "68 ± 9 °F")
    assert found.value == pytest.approx(20.0)
    assert found.tolerance == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("text", "timed"),
    [
        ("45 min at 21 °C", TimedAt(2700.0, 21.0)),
        ("1 h 30 @ 68F", TimedAt(5400.0, 20.0)),
        ("24 h", TimedAt(86400.0, None)),
    ],
)
def test_a_time_holds_at_a_temperature(text: str, timed: TimedAt) -> None:
    assert parse_timed(text) == timed


@pytest.mark.parametrize(
    ("text", "lengths"),
    [
        ("120 x 90 x 60 mm", (120.0, 90.0, 60.0)),
        ("120 × 90 × 60 mm", (120.0, 90.0, 60.0)),
        ("4 3/4 x 3 1/2 x 2 3/8 in", (120.65, 88.9, 60.325)),
        ("4 in x 90 mm x 1/2 in", (101.6, 90.0, 12.7)),
    ],
)
def test_a_size_takes_its_unit_from_the_end(text: str, lengths: tuple[float, ...]) -> None:
    assert parse_size_mm(text) == pytest.approx(lengths)


@pytest.mark.parametrize(
    ("kind", "text", "limits"),
    [
        ("length", "at least 4 mm", Limits(4.0, None)),
        ("length", "at most 3/16 in", Limits(None, 4.7625)),
        ("duration", "20–30 min", Limits(1200.0, 1800.0)),
        ("length", "1/2 to 3/4 in", Limits(12.7, 19.05)),
        ("length", "1-1/2 in", Limits(38.1, 38.1)),
        ("length", "1/2-3/4 in", Limits(12.7, 19.05)),
    ],
)
def test_limits_are_read_from_words_and_ranges(kind: str, text: str, limits: Limits) -> None:
    assert parse_limits(kind, text) == limits


@pytest.mark.parametrize(
    ("text", "shown", "division_g"),
    [
        ("12.50", "12.50 g", 0.01),
        ("12.50 g", "12.50 g", 0.01),
        ("850", "850 g", 1.0),
        ("-3.2 g", "-3.2 g", 0.1),
        ("2 lb 3.5 oz", "2 lb 3.5 oz", 2.8349523125),
        ("1/2 lb", "1/2 lb", None),
    ],
)
def test_a_reading_keeps_the_digits_that_were_read(
    text: str, shown: str, division_g: float | None
) -> None:
    reading = parse_reading(text)
    assert reading.text == shown
    assert reading.division_g == (None if division_g is None else pytest.approx(division_g))


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0.0, "0 s"),
        (45.0, "45 s"),
        (480.0, "8 min"),
        (3599.0, "1 h"),
        (12000.0, "3 h 20"),
        (7200.0, "2 h"),
        (158400.0, "1 d 20 h"),
        (-480.0, "-8 min"),
    ],
)
def test_a_duration_is_shown_in_its_two_largest_units(seconds: float, shown: str) -> None:
    assert show_duration(seconds) == shown


def test_what_is_left_is_rounded_as_asked() -> None:
    assert show_duration(539.0, rounding="down") == "8 min"
    assert show_duration(481.0, rounding="up") == "9 min"
    assert show_countdown(520.2) == "8:41"
    assert show_countdown(3600.0) == "1:00:00"


def test_quantities_are_shown_in_metric_or_inch() -> None:
    assert show_mass(117.04) == "117 g"
    assert show_mass(12.5, decimals=2) == "12.50 g"
    assert show_mass(118.44, sign=True) == "+118.4 g"
    assert show_mass(850.0, "inch") == "1 lb 14 oz"
    assert show_mass(453.5, "inch") == "16 oz"
    assert show_length(38.1, "inch") == "1 1/2 in"
    assert show_length(4.0, "inch", denominator=32) == "5/32 in"
    assert show_size((120.0, 90.0, 60.0)) == "120 x 90 x 60 mm"
    assert show_temperature(17.5, "inch") == "63.5 °F"
    assert show_volume(1250.0) == "1.25 l"


@given(st.floats(0.0, 9_000.0))
def test_a_weight_shown_and_read_again_is_the_same_to_the_shown_digit(g: float) -> None:
    assert parse_mass_g(show_mass(g)) == pytest.approx(g, abs=0.0501)
    assert parse_mass_g(show_mass(g, "inch")) == pytest.approx(g, abs=0.0501 * 28.35)


@given(st.floats(0.0, 5_000.0), st.sampled_from([8, 16, 32, 64]))
def test_a_length_in_inches_comes_back_to_the_nearest_fraction(mm: float, denominator: int) -> None:
    back = parse_length_mm(show_length(mm, "inch", denominator=denominator))
    assert back == pytest.approx(mm, abs=25.4 / denominator / 2 * 1.000001)


@given(st.integers(-5000, 5000), st.sampled_from([2, 4, 8, 16, 32]))
def test_a_fraction_of_an_inch_is_shown_exactly(steps: int, denominator: int) -> None:
    shown = show_fraction(steps / denominator, denominator)
    back = parse_length_mm(f"{shown} in", signed=True)
    assert back == pytest.approx(25.4 * steps / denominator)


@given(st.floats(0.0, 30 * 86400.0))
def test_a_duration_shown_and_read_again_is_near(seconds: float) -> None:
    slack = 0.5 if seconds < 59 else 30.1 if seconds < 86340 else 1800.1
    assert parse_duration_s(show_duration(seconds)) == pytest.approx(seconds, abs=slack)


@given(st.floats(-50.0, 200.0), st.sampled_from(["metric", "inch"]))
def test_a_temperature_shown_and_read_again_is_near(c: float, units: str) -> None:
    assert parse_temperature_c(show_temperature(c, units)) == pytest.approx(c, abs=0.051)  # type: ignore[arg-type]


def test_a_quoted_text_is_printable_and_short() -> None:
    assert quote("a\x1b[2Jb\nc") == "“a [2Jb c”"
    assert len(quote("x" * 500)) <= 42
