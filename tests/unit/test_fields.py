"""The room that reads what people write: every example holds, and every mistake is said once."""

from __future__ import annotations

from typing import Annotated, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from benchmate.fields import types
from benchmate.fields.label import LABEL, read_answer
from benchmate.fields.model import Table, key, keys_of, needed, validated
from benchmate.fields.problem import Fault
from benchmate.fields.sections import names_of, table_of
from benchmate.procedure.file import schema
from benchmate.quantities import QuantityError
from benchmate.settings import Settings


def tables(module: Any) -> list[type[Table]]:
    found = [v for v in vars(module).values() if isinstance(v, type) and issubclass(v, Table)]
    return [table for table in found if table is not Table]


TABLES = sorted({*tables(schema)}, key=lambda t: t.__name__)


def faults_of(model: type[Table], data: dict[str, Any]) -> list[Fault]:
    faults: list[Fault] = []
    validated(model, data, (), faults)
    return faults


def as_file_has_it(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


@pytest.mark.parametrize("model", TABLES, ids=lambda t: t.__name__)
def test_what_a_message_tells_people_to_write_can_be_read(model: type[Table]) -> None:
    for name, info in model.model_fields.items():
        word = info.alias or name
        assert info.examples, f"{model.__name__}.{word} has no example"
        # What else its table needs may be missing.
        assert unread(model, word, as_file_has_it(info.examples[0])) == []


def unread(model: type[Table], word: str, value: Any) -> list[Any]:
    try:
        model.model_validate({word: value})
    except ValidationError as error:
        return [e for e in error.errors() if e["loc"][0] == word]
    return []


@pytest.mark.parametrize("answer", LABEL)
def test_every_question_of_a_label_can_be_answered_as_its_example(answer: str) -> None:
    assert read_answer(answer, LABEL[answer].example) is not None


@pytest.mark.parametrize("answer", sorted(set(LABEL) - {"data_sheet", "grit"}))
def test_a_label_that_says_something_else_is_refused_in_a_sentence(answer: str) -> None:
    with pytest.raises(QuantityError, match=r"“walnut”|walnut"):
        read_answer(answer, "walnut")


class Inner(Table):
    """A table in a table."""

    size: types.Length = needed("6 mm")
    kind: types.Text = key("slot", "")


class Outer(Table):
    """One of everything."""

    name: types.Text = needed("lid")
    mass: types.Mass | None = key("12 g")
    share: types.Percent = key("9 %", 0.0)
    count: Annotated[int, types.whole(1, 5)] = key(2, 1)
    inner: Inner | None = key({"size": "6 mm"})
    several: tuple[Inner, ...] = key([{"size": "6 mm"}], (), max_length=2)
    called: dict[str, types.Mass] = key({"left": "12 g"}, {})


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({}, ['name: is missing; write it like name = "lid"']),
        ({"nam": "lid"}, ['nam: there is no such key; the nearest is "name"']),
        (
            {"name": "lid", "mass": 5},
            ['mass: 5 has no unit; write it with its unit and in quotes, like "12 g"'],
        ),
        ({"name": "lid", "share": "120 %"}, ["share: “120 %” is too much; write 100 % or less"]),
        ({"name": "lid", "count": 9}, ["count: “9” is too much; write 5 or less"]),
        (
            {"name": "lid", "inner": "6 mm"},
            [
                "inner: “6 mm” is not a table of key = value; "
                'write it like inner = { size = "6 mm" }'
            ],
        ),
        ({"name": "lid", "inner": {}}, ['inner.size: is missing; write it like size = "6 mm"']),
        (
            {"name": "lid", "several": {}},
            ['several: a table is not a list in [ ]; write it like several = [{ size = "6 mm" }]'],
        ),
        ({"name": "lid", "several": [{"size": "6 mm"}] * 3}, ["several: lists 3; write at most 2"]),
        ({"name": "lid", "called": {"left": "6 mm"}}, ["called.left: “6 mm” is a length;"]),
        ({"name": 1, "mass": "x", "count": 0}, ["name:", "mass:", "count:"]),
    ],
)
def test_all_that_is_wrong_is_said_once_with_what_to_write(
    data: dict[str, Any], said: list[str]
) -> None:
    found = [f"{'.'.join(map(str, f.where))}: {f.sentence}" for f in faults_of(Outer, data)]
    assert len(found) == len(said)
    for one, start in zip(found, said, strict=True):
        assert one.startswith(start)


_odd = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.dates(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=5,
)


@given(data=st.dictionaries(st.sampled_from(keys_of(Outer)) | st.text(max_size=5), _odd))
def test_any_table_whatever_is_read_or_refused_in_sentences(data: dict[str, Any]) -> None:
    faults: list[Fault] = []
    read = validated(Outer, data, (), faults)
    assert (read is None) == bool(faults)
    assert all(fault.wrong for fault in faults)


def test_settings_are_of_the_same_family() -> None:
    model = table_of(Settings)
    assert keys_of(model) == [name for name in names_of(Settings) if "." not in name]
    (fault,) = faults_of(model, {"reminders": {"volume": 11}})
    assert (fault.where, fault.wrong) == (("reminders", "volume"), "“11” is too much")
