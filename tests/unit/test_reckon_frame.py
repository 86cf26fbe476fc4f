"""The frame: what is typed, what is refused and how, and that each description is whole."""

import json
import math

import pytest

from benchmate.nearest import nearest
from benchmate.reckon import Refused, answer
from benchmate.reckon.asking.answering import answer_with
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Result, WithU, Worked
from benchmate.reckon.asking.registry import WHERE, all_of_them, find, names
from benchmate.reckon.asking.suffixes import number_in, unit_of


@pytest.mark.parametrize("name", names())
def test_a_description_is_whole_and_its_example_answers(name: str) -> None:
    reckoner = find(name)
    found = answer_with(reckoner, reckoner.example).to_json()
    assert set(found) == {"name", "inputs", "results", "notes", "sources"}
    assert list(found["results"]) == [result.key for result in reckoner.results]
    for key, value in found["results"].items():
        assert {"value", "unit"} <= set(value) <= {"value", "unit", "u"}, key
    assert reckoner.formula
    assert reckoner.sources
    assert reckoner.limits
    assert all(item.meaning for item in (*reckoner.inputs, *reckoner.results))
    assert all(item.choices for item in reckoner.inputs if item.takes == "choice")
    json.dumps(found, allow_nan=False)


@pytest.mark.parametrize("name", names())
def test_what_is_said_to_have_an_uncertainty_is_not_alone_in_it(name: str) -> None:
    reckoner = find(name)
    found = answer_with(reckoner, reckoner.example)
    with_u = {key for key, value in found.results.items() if value.u is not None}
    assert with_u <= {result.key for result in reckoner.results if result.has_u}


def test_each_name_is_in_one_module_only() -> None:
    assert len({reckoner.name for reckoner in all_of_them()}) == len(WHERE)


def twice(given: Given) -> Worked:
    """Answer with twice the length, or with what a test wants to see refused."""
    if given.word("how") == "nan":
        return Worked({"double_mm": math.nan, "rows": None})
    if given.word("how") == "zero":
        return Worked({"double_mm": 1.0 / (given.number("size_mm") * 0.0), "rows": None})
    if given.word("how") == "deep":
        return Worked({"double_mm": 1.0, "rows": [{"x": [1.0, math.inf]}]})
    return Worked({"double_mm": WithU(2 * given.number("size_mm"), 0.1), "rows": [{"x": 1}]})


TWICE = Reckoner(
    name="twice",
    title="Twice a length",
    inputs=(
        Input("size_mm", "a length", low=1.0, high=100.0, source_high=50.0),
        Input("share", "a share", default=0.5, low=0.0, high=1.0),
        Input("count", "how many", takes="count", default=1, low=1, high=9),
        Input("how", "a way", takes="word", needed=False),
        Input("sure", "yes or no", takes="flag", default=False),
        Input("parts", "a ratio", takes="ratio", default=1.0, above=0.0),
        Input("readings_g", "weights", takes="numbers", needed=False, low=0.0),
        Input("table", "anything", takes="data", needed=False),
    ),
    results=(
        Result(key="double_mm", meaning="twice", has_u=True),
        Result(key="rows", meaning="rows", unit=""),
    ),
    formula="2 x",
    sources=("arithmetic",),
    limits=("none",),
    example={"size_mm": "2"},
    work=twice,
)


@pytest.mark.parametrize(
    ("typed", "key", "read"),
    [
        ({"size_mm": "3/4 in"}, "size_mm", 19.05),
        ({"size_mm": "2"}, "size_mm", 2.0),
        ({"size_mm": 2}, "size_mm", 2.0),
        ({"size_mm": "2,5"}, "size_mm", 2.5),
        ({"size_mm": "2", "share": "60 %"}, "share", 0.6),
        ({"size_mm": "2", "share": " "}, "share", 0.5),
        ({"size_mm": "2", "sure": "Yes"}, "sure", True),
        ({"size_mm": "2", "parts": "100:30"}, "parts", 100 / 30),
        ({"size_mm": "2", "parts": "3.5"}, "parts", 3.5),
        ({"size_mm": "2", "readings_g": "12.5"}, "readings_g", [12.5]),
        ({"size_mm": "2", "readings_g": '[12.5, "1 oz"]'}, "readings_g", [12.5, 28.349523125]),
        ({"size_mm": "2", "table": '{"a": [1]}'}, "table", {"a": [1]}),
    ],
)
def test_what_is_typed_is_read_in_the_unit_of_the_suffix(
    typed: dict[str, object], key: str, read: object
) -> None:
    assert answer_with(TWICE, typed).inputs[key] == read


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, "size_mm is missing (a length); give it as size_mm=…"),
        ({"size_mm": "0"}, "size_mm must be from 1 to 100 mm; 0 is not"),
        ({"size_mm": "2 g"}, "size_mm: “2 g” is a weight; expected a length"),
        ({"size_mm": math.nan}, "size_mm: nan is not a number that can be used"),
        ({"size_mm": 10**5000}, "is not a number that can be used"),
        ({"size_mm": True}, "size_mm: “True” is not a number"),
        ({"size_mm": "2", "share": "60"}, "share must be from 0 to 1; 60 is not"),
        ({"size_mm": "2", "count": "1.5"}, "count: “1.5” is not a whole number"),
        ({"size_mm": "2", "sise_mm": "2"}, "no input “sise_mm”; did you mean size_mm?"),
        ({"size_mm": "2", "sure": "perhaps"}, "neither yes nor no"),
        ({"size_mm": "2", "parts": "1:0"}, "is not a ratio"),
        ({"size_mm": "2", "table": "[1,"}, "table is not JSON at line 1, column 4"),
        ({"size_mm": "2", "table": '{"a": NaN}'}, "holds a number that can't be used"),
        ({"size_mm": "2", "table": "[" * 100_000}, "nested too deeply"),
        ({"size_mm": "2", "table": '"' + "x" * 1_100_000 + '"'}, "larger than 1 MiB"),
        ({"size_mm": "2", "readings_g": "[]"}, "a list of 0 values"),
        ({"size_mm": "2", "how": "nan"}, "finds no finite double_mm"),
        ({"size_mm": "2", "how": "zero"}, "finds no finite answer"),
        ({"size_mm": "2", "how": "deep"}, "finds no finite rows"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_sentence(
    typed: dict[str, object], says: str
) -> None:
    with pytest.raises(Refused) as refused:
        answer_with(TWICE, typed)
    assert says in str(refused.value)
    assert str(refused.value).isprintable()


def test_beyond_a_sources_range_the_answer_carries_a_note() -> None:
    assert answer_with(TWICE, {"size_mm": "50"}).notes == ()
    (note,) = answer_with(TWICE, {"size_mm": "60"}).notes
    assert note.startswith("size_mm 60 is outside 50 mm")


def test_a_result_with_uncertainty_has_it_in_the_json() -> None:
    found = answer_with(TWICE, {"size_mm": "2"}).to_json()
    assert found["results"]["double_mm"] == {"value": 4.0, "unit": "mm", "u": 0.1}


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ("resinmix", "did you mean resin-mix?"),
        ("pack", "did you mean packing?"),
        ("wood", "did you mean wood-density?"),
    ],
)
def test_a_wrong_name_gets_the_nearest_right_one(wrong: str, says: str) -> None:
    with pytest.raises(Refused, match=says.replace("?", r"\?")):
        answer(wrong, {})


def test_the_nearest_name_is_near_or_none() -> None:
    assert nearest("leed", ["lead", "iron"]) == "lead"
    assert nearest("zirconium", ["lead", "iron"], alike=0.7) is None


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("time_min", "1 h 30", 90.0),
        ("time_h", "90 min", 1.5),
        ("pace_g_m2", "150 g/m²", 150.0),
        ("energy_j_mol", "55000 J/mol", 55000.0),
        ("heat_j_gk", "1.8 J/(g K)", 1.8),
        ("warm_c", "64 °F", 17.7777777777778),
        ("wood_g_cm3", "620 kg/m3", 0.62),
        ("area_cm2", "1 in2", 6.4516),
        ("plain", "3.5", 3.5),
    ],
)
def test_a_suffix_brings_a_quantity_to_its_unit(key: str, text: str, value: float) -> None:
    assert number_in(unit_of(key), text) == pytest.approx(value)
