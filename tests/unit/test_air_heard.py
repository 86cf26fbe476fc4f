"""What a thermometer's file says, in the forms that programs and kernels write."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.air.followed.parse_file import Form, Format, Heard, Unheard


@pytest.mark.parametrize(
    ("form", "text", "fields", "heard"),
    [
        pytest.param("number", "17.5\n", {}, Heard(17.5), id="a plain number"),
        pytest.param("number", "-3,5", {}, Heard(-3.5), id="a decimal comma"),
        pytest.param("number", "63.5 F\n", {}, Heard(17.5), id="Fahrenheit says so"),
        pytest.param("number", "17.5 °C\nfrom the box\n", {}, Heard(17.5), id="first line counts"),
        pytest.param("number", "17.5\n18.5\n", {}, Heard(18.5), id="newest line of a growing file"),
        pytest.param("number", "63.5\n", {"unit": "°F"}, Heard(17.5), id="the unit is set"),
        pytest.param("csv", 't,rh\n"17,5","61,5"\n', {}, Heard(17.5, 61.5), id="quoted commas"),
        pytest.param(
            "csv", 't;n\n"17,5; warm";1\n18,5;2\n', {}, Heard(18.5), id="a mark inside quotes"
        ),
        pytest.param("millidegrees", "17500\n", {}, Heard(17.5), id="a kernel's sensor"),
        pytest.param("millidegrees", "-4125", {}, Heard(-4.125), id="below freezing"),
        pytest.param("csv", "time,temp,rh\n1,17,60\n2,17.5,61\n", {}, Heard(17.5, 61), id="csv"),
        pytest.param("csv", "time;t\n1;17,0\n2;17,5\n", {}, Heard(17.5), id="semicolons"),
        pytest.param("csv", "1,17\n2,17.5\n", {"field": "2"}, Heard(17.5), id="column number"),
        pytest.param(
            "csv",
            "2,17.5,61\n",
            {"field": "2", "humidity_field": "3"},
            Heard(17.5, 61),
            id="one line",
        ),
        pytest.param(
            "csv",
            "when,temp\n1,17.0\n2,17.5\n3,1",
            {},
            Heard(17.5),
            id="a line still being written",
        ),
        pytest.param(
            "csv",
            '"time","Box"\n"1","17.5"\n',
            {"field": "box"},
            Heard(17.5),
            id="quotes and capitals",
        ),
        pytest.param(
            "json", '{"temperature": 17.5, "humidity": 61}', {}, Heard(17.5, 61), id="json"
        ),
        pytest.param(
            "json",
            '{"indoor": {"Temp": "17.5"}}',
            {"field": "indoor.temp"},
            Heard(17.5),
            id="a level down",
        ),
        pytest.param("json", '[{"t": 16}, {"t": 17.5}]', {}, Heard(17.5), id="the last of many"),
        pytest.param(
            "json",
            '{"t": 17.5, "rh": "dry"}',
            {},
            Heard(17.5),
            id="a humidity that is none is left out unasked",
        ),
    ],
)
def test_a_reading_is_heard(form: Format, text: str, fields: dict[str, str], heard: Heard) -> None:
    assert Form(form, **fields).hear(text) == heard


@pytest.mark.parametrize(
    ("form", "text", "fields", "says"),
    [
        pytest.param("number", "  \n", {}, "empty", id="empty"),
        pytest.param("number", "offline", {}, "“offline” is no temperature", id="a word"),
        pytest.param("number", "\x1b[2J", {}, "is no temperature", id="control characters"),
        pytest.param("number", "17500", {}, "is the format “millidegrees” meant", id="thousandths"),
        pytest.param("millidegrees", "17.5", {}, "is the format “number” meant", id="degrees"),
        pytest.param("millidegrees", "OL", {}, "“OL” is no number", id="no number"),
        pytest.param("csv", "time,volts\n1,5\n", {}, "names no temperature", id="no such column"),
        pytest.param(
            "csv",
            "time,volts\n1,5\n",
            {"field": "temp"},
            "no “temp”; it has “time, volts”",
            id="a field that isn't there",
        ),
        pytest.param("csv", "a,temp\n1,\n", {"field": "temp"}, "no “temp”", id="an empty cell"),
        pytest.param("json", '{"t": 17', {}, "not JSON; perhaps it was being written", id="torn"),
        pytest.param("json", "17.5", {}, "no object", id="a bare number"),
        pytest.param("json", '{"t": true}', {}, "“True” is no number", id="a yes"),
        pytest.param("json", '{"t": NaN}', {}, "“nan” is no number", id="not a number"),
        pytest.param(
            "json",
            '{"t": 17, "rh": "dry"}',
            {"humidity_field": "rh"},
            "“dry” is no number",
            id="a humidity that was asked for",
        ),
        pytest.param("json", '{"a": {"t": 17}}', {"field": "a.b.c"}, "no “a.b.c”", id="too deep"),
        pytest.param("json", "[" * 100_000, {}, "not JSON", id="nested without end"),
    ],
)
def test_what_is_no_reading_is_said_in_a_sentence(
    form: Format, text: str, fields: dict[str, str], says: str
) -> None:
    with pytest.raises(Unheard) as unheard:
        Form(form, **fields).hear(text)
    assert says in str(unheard.value)
    assert str(unheard.value).isprintable()
    assert len(str(unheard.value)) < 200


@given(st.text(max_size=80), st.sampled_from(["number", "millidegrees", "csv", "json"]))
def test_any_text_is_a_number_or_a_sentence(text: str, form: Format) -> None:
    said = ""
    try:
        found = Form(form).hear(text)
    except Unheard as error:
        found, said = Heard(0.0), str(error)
    assert said.isprintable()
    assert abs(found.temperature_c) < 1e12


@pytest.mark.parametrize(
    ("row", "fields", "age_s"),
    [
        ("2026-11-26T16:40:00+00:00,17.5", {}, 120.0),
        ("2026-11-26 17:40:00+01:00,17.5", {}, 120.0),
        ("1795711200,17.5", {}, 120.0),
        ("1795711200000,17.5", {}, 120.0),
        ("7,17.5", {}, 0.0),
        ("noon,17.5", {}, 0.0),
    ],
)
def test_a_row_is_as_old_as_its_own_time(row: str, fields: dict[str, str], age_s: float) -> None:
    """1795711200 is 2026-11-26 16:40:00 UTC by `date -u`."""
    heard = Form("csv", **fields).hear(f"time,t\n{row}\n", 1_795_711_320.0)
    assert heard == Heard(17.5, None, age_s)


def test_a_time_that_was_named_and_is_none_is_said() -> None:
    with pytest.raises(Unheard, match="“noon” is no time"):
        Form("csv", time_field="when").hear("when,t\nnoon,17.5\n", 1_795_711_320.0)
