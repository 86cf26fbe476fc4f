"""A reckoner's answer to what was typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from benchmate.reckon.asking.frame import Plain, Reckoner, Refused, WithU
from benchmate.reckon.asking.reading import read_inputs
from benchmate.reckon.asking.registry import find
from benchmate.reckon.asking.suffixes import unit_of


@dataclass(frozen=True)
class Value:
    """One result: its value, its unit as shown ("" for none), its standard uncertainty if known."""

    value: Plain
    unit: str
    u: float | None = None
    if_none: str = "not known"
    """What is said to people where there is no value."""
    decimals: int | None = None
    """How many a person can use; None: as usual for its unit."""


@dataclass(frozen=True)
class Answer:
    """What a reckoner answers: the inputs it used, its results, notes and sources."""

    name: str
    inputs: Mapping[str, Any]
    results: Mapping[str, Value]
    notes: tuple[str, ...]
    sources: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """Return the answer as plain data, ready for `json.dumps`."""
        return {
            "name": self.name,
            "inputs": dict(self.inputs),
            "results": {key: _plain(value) for key, value in self.results.items()},
            "notes": list(self.notes),
            "sources": list(self.sources),
        }

    def number(self, key: str) -> float:
        """Return a result that is a number; raises KeyError or TypeError when it isn't one."""
        value = self.results[key].value
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise TypeError(f"{key} is not a number")
        return float(value)


def answer(name: str, typed: Mapping[str, object]) -> Answer:
    """Return the answer of the reckoner `name` to typed texts or values.

    Raises Refused, one sentence, for an unknown name or key, a value that can't be read or is out
    of range, or a wish that can't be met.
    """
    return answer_with(find(name), typed)


def answer_with(reckoner: Reckoner, typed: Mapping[str, object]) -> Answer:
    """Return the answer of a reckoner at hand; raises Refused, see `answer`."""
    given, notes = read_inputs(reckoner, typed)
    try:
        worked = reckoner.work(given)
    except ArithmeticError as error:
        raise Refused(
            f"{reckoner.name} finds no finite answer for these numbers; check their sizes and units"
        ) from error
    results = {
        result.key: _value(reckoner, result.key, worked.values) for result in reckoner.results
    }
    used = {key: _listed(value) for key, value in given.values.items() if value is not None}
    return Answer(reckoner.name, used, results, (*notes, *worked.notes), reckoner.sources)


def _value(reckoner: Reckoner, key: str, values: Mapping[str, "Plain | WithU"]) -> Value:
    found = values[key]
    result = next(item for item in reckoner.results if item.key == key)
    unit = "" if isinstance(found, str) else unit_of(key, result.unit).shown
    none = result.if_none
    if isinstance(found, WithU):
        value = Value(found.value, unit, found.u, none, result.decimals)
    else:
        value = Value(found, unit, None, none, result.decimals)
    if not _is_finite(value.value) or not _is_finite(value.u):
        raise Refused(f"{reckoner.name} finds no finite {key} for these numbers; check their sizes")
    return value


def _is_finite(value: Plain) -> bool:
    if isinstance(value, float):
        return isfinite(value)
    if isinstance(value, list):
        return all(_is_finite(item) for item in value)
    return all(_is_finite(item) for item in value.values()) if isinstance(value, dict) else True


def _plain(value: Value) -> dict[str, Plain]:
    plain: dict[str, Plain] = {"value": value.value, "unit": value.unit}
    return plain if value.u is None else {**plain, "u": value.u}


def _listed(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value
