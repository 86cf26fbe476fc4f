"""What a thermometer's file says: a plain number, thousandths of a degree, CSV or JSON.

"number" is °C, or °F where an F stands behind it. "millidegrees" is what a kernel's sensors write:
17500 for 17.5 °C. "csv" takes the last line, by the names in the first line or by column number;
"json" takes a field of the object (or of the last object in a list), "indoor.temperature" going
one level down at each dot. Where no field is named the usual names are tried.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Literal, NamedTuple

from benchmate.quantities import QuantityError, parse_number, parse_temperature_c, quote

Format = Literal["number", "millidegrees", "csv", "json"]

USUAL = ("temperature_c", "temperature", "temp_c", "temp", "celsius", "t", "c")
USUAL_HUMIDITY = ("humidity_pct", "humidity", "rh", "relative_humidity", "hum")
LONGEST_SHOWN = 60


class Unheard(ValueError):  # noqa: N818 - nothing went wrong here; there is just nothing to hear
    """The file gives no reading just now; the text is one sentence without the file's name."""


class Heard(NamedTuple):
    """A temperature and, where the file has it, a humidity; `age_s`: written so long ago."""

    temperature_c: float
    humidity_pct: float | None = None
    age_s: float = 0.0


def hear(text: str, form: Format = "number", field: str = "", humidity_field: str = "") -> Heard:
    """The reading in a file's text. Raises Unheard."""
    if not text.strip():
        raise Unheard("it is empty")
    if form == "number":
        return Heard(_celsius(text.split("\n")[0].strip()))
    if form == "millidegrees":
        return Heard(_number(text.strip()) / 1000.0)
    row = _last_row(text) if form == "csv" else _object(text)
    humidity = _humidity(row, humidity_field)
    return Heard(_celsius(_pick(row, field, USUAL)), humidity)


def _humidity(row: Mapping[str, Any], field: str) -> float | None:
    if field:
        return _number(_pick(row, field, ()))
    found = next((row[name] for name in USUAL_HUMIDITY if row.get(name) not in (None, "")), None)
    try:
        return None if found is None else _number(found)
    except Unheard:
        return None  # Nobody asked for it; a temperature alone is worth having.


def _last_row(text: str) -> Mapping[str, str]:
    """The last line's cells, by the first line's names and by their numbers from 1.

    A last line without its line end is still being written, where another stands before it.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > 2 and not text.endswith(("\n", "\r")):
        lines.pop()
    mark = next((m for m in "\t;," if m in lines[-1]), ",")
    cells = [cell.strip().strip('"') for cell in lines[-1].split(mark)]
    names = [name.strip().strip('"').casefold() for name in lines[0].split(mark)]
    row = {str(i): cell for i, cell in enumerate(cells, start=1)}
    if len(lines) > 1 and not _is_number(names[-1]):
        row.update(zip(names, cells, strict=False))
    return row


def _is_number(text: str) -> bool:
    try:
        parse_number(text)
    except QuantityError:
        return False
    return True


def _object(text: str) -> Mapping[str, Any]:
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Unheard("it is not JSON; perhaps it was being written") from error
    if isinstance(data, Sequence) and not isinstance(data, str) and data:
        data = data[-1]
    if not isinstance(data, Mapping):
        raise Unheard("its JSON is no object with named fields")
    return {str(key).casefold(): value for key, value in data.items()}


def _pick(row: Mapping[str, Any], field: str, usual: Sequence[str]) -> Any:
    """The named field, or the first of the usual names that is there."""
    if not field:
        found = next((row[name] for name in usual if row.get(name) not in (None, "")), None)
        if found is None:
            raise Unheard(f"it names no temperature; say which field, as one of {_names(row)}")
        return found
    value: Any = row
    for part in [field.casefold()] if field.casefold() in row else field.casefold().split("."):
        value = {str(k).casefold(): v for k, v in value.items()} if _is_object(value) else {}
        value = value.get(part)
    if value is None or value == "":
        raise Unheard(f"it has no {quote(field)}; it has {_names(row)}")
    return value


def _is_object(value: Any) -> bool:
    return isinstance(value, Mapping)


def _names(row: Mapping[str, Any]) -> str:
    names = [name for name in row if not name.isdigit()] or list(row)
    return quote(", ".join(names)[:LONGEST_SHOWN])


def _celsius(value: Any) -> float:
    if not isinstance(value, str):
        return _number(value)
    try:
        return parse_temperature_c(value, "°C")
    except QuantityError as error:
        raise Unheard(f"{quote(value[:LONGEST_SHOWN])} is no temperature") from error


def _number(value: Any) -> float:
    if isinstance(value, str):
        try:
            return parse_number(value.rstrip("% ")).value
        except QuantityError as error:
            raise Unheard(f"{quote(value[:LONGEST_SHOWN])} is no number") from error
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e9:
        raise Unheard(f"{quote(str(value)[:LONGEST_SHOWN])} is no number")
    return float(value)
