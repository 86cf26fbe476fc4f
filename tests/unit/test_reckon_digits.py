"""Answers show the digits that a woodworker can use, in the maker's units, and what is missing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.quantities.worded import Worded, celsius, in_units, millimetres
from benchmate.reckon import answer
from benchmate.reckon.asking.digits import digits_text, share_text
from benchmate.reckon.asking.registry import all_of_them
from benchmate.reckon.asking.render import answer_text, explain_text
from benchmate.tui.present.pages.answer import about_lines


@pytest.mark.parametrize(
    ("value", "unit", "u", "text"),
    [
        pytest.param(33.4291, "mm", None, "33.4", id="a length"),
        pytest.param(0.5555, "mm", None, "0.56", id="a small one"),
        pytest.param(548.69, "ml", None, "548.7", id="a volume"),
        pytest.param(123456.7, "g", None, "123457", id="a heavy one"),
        pytest.param(850.2, "g", 0.168, "850.20 ± 0.17", id="as many decimals as its doubt"),
        pytest.param(878.32, "g", 39.2, "878 ± 39", id="no more than its doubt"),
        pytest.param(-0.0075, "K", None, "0", id="no hundredth of a degree"),
        pytest.param(176.59, "min", None, "177", id="minutes"),
        pytest.param(0.0, "g", None, "0", id="nothing"),
        pytest.param(40.641, "", None, "40.6", id="a bare number"),
        pytest.param(0.0000123, "ml", None, "0.000012", id="next to nothing"),
    ],
)
def test_a_result_has_the_digits_that_can_be_used(
    value: float, unit: str, u: float | None, text: str
) -> None:
    assert digits_text(value, unit, u) == text


@given(st.floats(1e-4, 1e8), st.sampled_from(["mm", "g", "ml", "h", "%", "g/cm³", ""]))
def test_what_is_shown_is_the_value_within_its_rounding(value: float, unit: str) -> None:
    assert float(digits_text(value, unit)) == pytest.approx(value, rel=0.06, abs=0.05)


@pytest.mark.parametrize(
    ("p", "text"), [(1.0, "more than 0.999"), (0.5, "0.5"), (0.0, "less than 0.001")]
)
def test_no_probability_is_ever_one(p: float, text: str) -> None:
    assert share_text(p) == text


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("reckoner", all_of_them(), ids=lambda r: r.name)
def test_no_answer_of_an_example_shows_noise(reckoner: object, units: str) -> None:
    found = answer(reckoner.name, reckoner.example)  # type: ignore[attr-defined]
    text = answer_text(found, units=units)  # type: ignore[arg-type]
    assert "not known mm" not in text
    assert "e+0" not in text
    assert max(len(line) for line in text.splitlines()) <= 90


@pytest.mark.parametrize("reckoner", all_of_them(), ids=lambda r: r.name)
def test_no_description_holds_a_guard_against_slips_or_an_empty_list(reckoner: object) -> None:
    assert "e+0" not in explain_text(reckoner)  # type: ignore[arg-type]
    said = "\n".join(
        "".join(getattr(part, "text", str(part)) for part in row)
        for row in about_lines(reckoner, 80)  # type: ignore[arg-type]
    )
    assert "from   ;" not in said


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("moisture", {"temperature_c": 20, "humidity_pct": 60}, "not asked: give width_mm"),
        ("weight", {"gross_g": 128, "division_g": 1}, "without limit"),
        ("weight", {"gross_g": 128.4, "division_g": 1}, "steps of 1 g doesn't show 128.4 g"),
        ("cure", {"label_time_h": 24, "label_c": 20, "shop_c": 13}, "done_at           41.7 h"),
        (
            "dew-point",
            {"temperature_c": 20, "humidity_pct": 60, "surface_c": 12.0},
            "The surface at 12 °C is at the dew point of 12 °C",
        ),
    ],
)
def test_what_is_not_there_is_said_and_slips_are_noted(
    name: str, typed: dict[str, object], said: str
) -> None:
    text = answer_text(answer(name, typed), 200)
    assert said in text


@pytest.mark.parametrize("reading", [128.4, [128.0, 128.5]])
def test_a_reading_that_fits_the_scale_is_not_doubted(reading: object) -> None:
    notes = answer("weight", {"gross_g": reading, "division_g": 0.1}).notes
    assert not any("doesn't show" in note for note in notes)


def test_notes_follow_the_units() -> None:
    found = answer("dew-point", {"temperature_c": 20, "humidity_pct": 60, "surface_c": 13})
    assert "55.4 °F" in answer_text(found, units="inch")
    assert "°C" not in answer_text(found, units="inch")


def test_a_worded_sentence_is_a_text_and_speaks_other_units_when_asked() -> None:
    inner = Worded("below {lowest}", lowest=celsius(10.0))
    said = Worded("Too cold: {inner}, {wall} of wall.", inner=inner, wall=millimetres(25.4))
    assert said == "Too cold: below 10 °C, 25.4 mm of wall."
    assert in_units(said, "inch") == "Too cold: below 50 °F, 1 in of wall."
    assert in_units("plain", "inch") == "plain"
    assert inner.lowered() == inner
