"""What was typed for a reckoner → its inputs as numbers in range.

Texts come from the command line and the form; values that are already numbers, lists or dicts come
from procedures and JSON files and are taken as being in the unit of the key.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import partial
from math import isclose
from textwrap import shorten
from typing import TYPE_CHECKING, Annotated, Any

import msgspec

from benchmate.fields.problem import MISSING, NO_SUCH_KEY, Fault
from benchmate.fields.types import UNKNOWN, Reads
from benchmate.nearest import or_nearest
from benchmate.quantities import QuantityError, Units, parse_number, quote, show_number
from benchmate.quantities.doubts import celsius_meant, humidity_question
from benchmate.quantities.worded import Worded, WordedAmount
from benchmate.reckon.asking.csvtext import read_csv
from benchmate.reckon.asking.frame import Given, Input, Plain, Reckoner, Refused
from benchmate.reckon.asking.inches import inch_text
from benchmate.reckon.asking.suffixes import Unit, number_in, unit_of

if TYPE_CHECKING:
    from benchmate.fields.model import Table

LONGEST_DATA = 1 << 20
LONGEST_LIST = 10_000
_YES = {
    "yes": True,
    "y": True,
    "true": True,
    "on": True,
    "no": False,
    "n": False,
    "false": False,
    "off": False,
}


def read_inputs(reckoner: Reckoner, typed: Mapping[str, object]) -> tuple[Given, list[str]]:
    """Return every input of the reckoner and the notes its ranges call for.

    Raises Refused with a sentence for each thing that is wrong, one on a line.
    """
    given = {item.key: _typed_or_default(item, typed) for item in reckoner.inputs}
    values = _plainly(reckoner, typed, given)
    if values is None:
        raise Refused(_together(_all_that_is_wrong(reckoner, typed, given)))
    notes: list[str] = []
    for item in reckoner.inputs:
        notes.extend(_source_note(item, values[item.key]))
        notes.extend(_slip_note(item, given[item.key], values[item.key]))
    return Given(values), notes


def _plainly(
    reckoner: Reckoner, typed: Mapping[str, object], given: Mapping[str, object]
) -> dict[str, Any] | None:
    """The inputs where all is well; None on any surprise: the table says what is wrong."""
    missing = any(i.must_be_given and given[i.key] is None for i in reckoner.inputs)
    if missing or any(key not in given for key in typed):
        return None
    try:
        return {
            i.key: None if given[i.key] is None else read_input(i, given[i.key])
            for i in reckoner.inputs
        }
    except Refused:
        return None


def _all_that_is_wrong(
    reckoner: Reckoner, typed: Mapping[str, object], given: Mapping[str, object]
) -> list[str]:
    # Only who typed something wrong pays for the models.
    from benchmate.fields.model import validated

    known = {key: raw for key, raw in given.items() if raw is not None}
    strange = {key: raw for key, raw in typed.items() if key not in given}
    faults: list[Fault] = []
    validated(table_of(reckoner), {**strange, **known}, (), faults)
    faults.sort(key=lambda fault: fault.wrong == MISSING)
    return [_sentence(reckoner, fault) for fault in faults]


def _typed_or_default(item: Input, typed: Mapping[str, object]) -> object:
    raw = typed.get(item.key)
    return item.default if raw is None or (isinstance(raw, str) and not raw.strip()) else raw


def table_of(reckoner: Reckoner) -> type[Table]:
    """The inputs as a table, each read in its unit and range."""
    from pydantic import Field, create_model

    from benchmate.fields.model import Table

    made: dict[str, Any] = {}
    for number, item in enumerate(reckoner.inputs):
        reads = Reads(partial(read_input, item), UNKNOWN)
        default = ... if item.must_be_given else None
        # Under a name that no model has for something else.
        made[f"input_{number}"] = (Annotated[Any, reads], Field(default, alias=item.key))
    return create_model("Inputs", __base__=Table, **made)


def _sentence(reckoner: Reckoner, fault: Fault) -> str:
    key = str(fault.where[0])
    if fault.wrong == NO_SUCH_KEY:
        known = [item.key for item in reckoner.inputs]
        return f"{reckoner.name} has no input {quote(key)}{or_nearest(key, known)}"
    item = reckoner.input(key)
    if fault.wrong == MISSING and item is not None:
        meaning = shorten(item.meaning, 70, placeholder="…")
        return f"{key} is missing ({meaning}); give it as {key}=…"
    return fault.sentence


def _together(sentences: list[str]) -> str:
    """One on a line; each keeps its quantities, for whoever says them in other units."""
    if len(sentences) == 1:
        return sentences[0]
    names = [f"line_{number}" for number in range(len(sentences))]
    template = "\n".join(f"{{{name}}}" for name in names)
    return Worded(template, **dict(zip(names, sentences, strict=True)))


def read_input(item: Input, raw: object) -> Any:
    """Return one input as read and in range; raises Refused with a sentence led by its key."""
    try:
        return _READERS[item.takes](item, raw)
    except QuantityError as error:
        raise Refused(f"{item.key}: {error}") from error


def _number(item: Input, raw: object) -> float:
    return in_range(item, number_in(unit_of(item.key, item.unit), raw))


def _count(item: Input, raw: object) -> int:
    number = _plain_number(raw)
    if number != int(number):
        raise QuantityError(f"{quote(str(raw))} is not a whole number")
    return int(in_range(item, number))


def _plain_number(raw: object) -> float:
    return number_in(Unit(""), raw)


def _choice(item: Input, raw: object) -> str:
    word = str(raw).strip().casefold()
    if word not in item.choices:
        raise Refused(f"{item.key} can't be {quote(str(raw))}{or_nearest(word, item.choices)}")
    return word


def _word(item: Input, raw: object) -> str:
    word = " ".join(str(raw).split())
    if len(word) > 200 or not word.isprintable():
        raise Refused(f"{item.key}: {quote(word)} is not a name; type it by hand")
    return word


def _ratio(item: Input, raw: object) -> float:
    if not isinstance(raw, str):
        return in_range(item, number_in(Unit(""), raw))
    parts = raw.replace("/", ":").split(":")
    numbers = [parse_number(part).value for part in parts]
    if len(numbers) > 2 or min(numbers) <= 0:
        raise QuantityError(f"{quote(raw)} is not a ratio; write it like 100:30 or 2:1")
    return in_range(item, numbers[0] / numbers[1] if len(numbers) == 2 else numbers[0])


def _numbers(item: Input, raw: object) -> tuple[float, ...]:
    values = parse_json(item.key, raw) if isinstance(raw, str) and raw.lstrip()[:1] == "[" else raw
    if not isinstance(values, list | tuple):
        values = [values]
    if not values or len(values) > LONGEST_LIST:
        raise QuantityError(
            f"a list of {len(values)} values can't be used; give 1 to {LONGEST_LIST}"
        )
    return tuple(_number(item, value) for value in values)


def _data(item: Input, raw: object) -> object:
    if not isinstance(raw, str):
        return raw
    rows = read_csv(raw) if len(raw) <= LONGEST_DATA else None
    return parse_json(item.key, raw) if rows is None else rows


def _flag(item: Input, raw: object) -> bool:
    value = raw if isinstance(raw, bool) else _YES.get(str(raw).strip().casefold())
    if value is None:
        raise QuantityError(f"{quote(str(raw))} is neither yes nor no")
    return value


_READERS = {
    "number": _number,
    "count": _count,
    "choice": _choice,
    "word": _word,
    "ratio": _ratio,
    "numbers": _numbers,
    "data": _data,
    "flag": _flag,
}


def parse_json(key: str, text: str) -> Plain:
    """Return JSON text as data; raises Refused with the line and column of what is wrong."""
    if len(text) > LONGEST_DATA:
        raise Refused(f"{key} is larger than 1 MiB; give the sizes and nothing else")
    try:
        data: Plain = json.loads(
            text, parse_constant=_no_constant, object_pairs_hook=lambda pairs: _once(key, pairs)
        )
    except Refused:
        raise
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise Refused(f"{key} is not JSON at {where}: {error.msg}: {quote(text)}") from error
    except RecursionError as error:
        raise Refused(f"{key} is nested too deeply; a shape needs a few levels") from error
    except ValueError as error:
        raise Refused(f"{key} holds a number that can't be used: {quote(text)}") from error
    return data


def _once(key: str, pairs: list[tuple[str, Plain]]) -> dict[str, Plain]:
    """The pairs as a table; raises Refused where a name stands in it twice: the last would win
    without a word."""
    names = [name for name, _ in pairs]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise Refused(f"{key} has {quote(twice)} twice; leave one of them out")
    return dict(pairs)


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number")


def in_range(item: Input, value: float) -> float:
    """Return the value when the input's range allows it, else raise Refused with the range."""
    too_low = item.low is not None and value < item.low and not isclose(value, item.low)
    too_high = item.high is not None and value > item.high and not isclose(value, item.high)
    if too_low or too_high or (item.above is not None and value <= item.above):
        raise Refused(_out_of_range(item, value))
    return value


def _out_of_range(item: Input, value: float) -> Worded:
    unit = unit_of(item.key, item.unit).shown
    return Worded(
        "{key} must be {bounds}; {value} is not",
        key=item.key,
        bounds=WordedAmount(value, lambda _, units: range_text(item, units)),
        value=WordedAmount(value, lambda v, units: bound_text(v, unit, units)),
    )


def bound_text(value: float, unit: str, units: Units) -> str:
    """A limit or a value as its reader's units show it, without a unit where they are ours."""
    return (inch_text(value, unit) if units == "inch" else None) or shown(value)


GUARD = 1e5
"""A bound as large as this only guards against slips: it isn't worth reading beforehand."""


def usual_range_text(item: Input) -> str:
    """Return the range without a bound that is only a guard: "at least 0 g", "above 0 ml"."""
    high = None if item.high is not None and item.high >= GUARD else item.high
    low = None if item.low is not None and item.low <= -GUARD else item.low
    return range_text(msgspec.structs.replace(item, low=low, high=high))


def range_text(item: Input, units: Units = "metric") -> str:
    """Return the range as words: "from 0.5 to 12 mm", "above 0 g", "" when anything goes."""
    unit = unit_of(item.key, item.unit).shown
    inches = units == "inch" and inch_text(1.0, unit) is not None
    tail = f" {unit}" if unit and not inches else ""
    high = "" if item.high is None else bound_text(item.high, unit, units)
    if item.above is not None:
        low = bound_text(item.above, unit, units)
        return f"above {low}" + (f" and at most {high}" if high else "") + tail
    if item.low is not None:
        low = bound_text(item.low, unit, units)
        return (f"from {low} to {high}" if high else f"at least {low}") + tail
    return f"at most {high}{tail}" if high else ""


def shown(value: float) -> str:
    """Return a number for a sentence, without noise digits and, if it can be, no exponent."""
    if 1e6 <= abs(value) < 1e15 and value == int(value):
        return f"{value:,.0f}".replace(",", " ")
    return f"{value:.4g}" if abs(value) >= 1e6 or 0 < abs(value) < 1e-3 else show_number(value, 4)


def _slip_note(item: Input, raw: object, value: Any) -> list[str]:
    """What looks like a fraction for per cent, or °F for °C, in a number just read."""
    if not isinstance(value, float):
        return []
    unit = unit_of(item.key, item.unit).shown
    if unit == "%" and "humidity" in item.key and (asked := humidity_question(value)):
        return [f"{item.key}: {asked}"]
    typed_f = isinstance(raw, str) and raw.strip().upper().endswith("F")
    if unit != "°C" or not typed_f or (meant := celsius_meant(value)) is None:
        return []
    return [f"{item.key}: {meant:g} °F is {value:.1f} °C; was {meant:g} °C meant?"]


def _source_note(item: Input, value: object) -> list[str]:
    if not isinstance(value, int | float) or isinstance(value, bool):
        return []
    low, high = item.source_low, item.source_high
    if (low is None or value >= low) and (high is None or value <= high):
        return []
    unit = unit_of(item.key, item.unit).shown
    bounds = " to ".join(shown(edge) for edge in (low, high) if edge is not None)
    lead = f"{item.key} {shown(float(value))} is outside {bounds} {unit}".rstrip()
    return [f"{lead}: {item.beyond or 'the source says nothing there; take it as a guess'}."]
