"""What a thermometer's file says: a plain number, thousandths of a degree, CSV or JSON.

"number" is °C, or °F where an F stands behind it. "millidegrees" is what a kernel's sensors write:
17500 for 17.5 °C. "csv" takes the last line, by the names in the first line or by column number;
"json" takes a field of the object (or of the last object in a list), "indoor.temperature" going
one level down at each dot. Where no field is named the usual names are tried.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from math import inf
from typing import Any, Literal, NamedTuple

from benchmate.quantities import QuantityError, parse_number, parse_temperature_c, quote

Format = Literal["number", "millidegrees", "csv", "json"]

USUAL = ("temperature_c", "temperature", "temp_c", "temp", "celsius", "t", "c")
USUAL_TIMES = ("time", "timestamp", "datetime", "date_time", "when")
USUAL_HUMIDITY = ("humidity_pct", "humidity", "rh", "relative_humidity", "hum")
LONGEST_SHOWN = 60
_QUOTED = re.compile(r'"[^"]*"')


class Unheard(ValueError):  # noqa: N818 - nothing went wrong here; there is just nothing to hear
    """The file gives no reading just now; the text is one sentence without the file's name."""


class Heard(NamedTuple):
    """A temperature and, where the file has it, a humidity; `age_s`: written so long ago."""

    temperature_c: float
    humidity_pct: float | None = None
    age_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Form:
    """How a file is written, as the settings say."""

    form: Format = "number"
    field: str = ""
    humidity_field: str = ""
    time_field: str = ""
    unit: str = ""

    def hear(self, text: str, wall_s: float = inf) -> Heard:
        """The reading in a file's text, and how old it is by its own time. Raises Unheard."""
        if not text.strip():
            raise Unheard("it is empty")
        unit = self.unit or "°C"
        if self.form == "number":
            return Heard(_newest(_lines(text), unit))
        if self.form == "millidegrees":
            milli = _number(text.strip())
            if 0.0 < abs(milli) < MILLI_LEAST:
                raise Unheard(
                    f"{quote(text.strip()[:LONGEST_SHOWN])} is hardly in thousandths of a degree; "
                    "is the format “number” meant?"
                )
            return Heard(milli / 1000.0)
        row = _last_row(text) if self.form == "csv" else _object(text)
        humidity = _humidity(row, self.humidity_field)
        found = _celsius(_pick(row, self.field, USUAL), unit)
        return Heard(found, humidity, _age_s(row, self.time_field, wall_s))


MILLI_LEAST = 200.0
"""A fifth of a degree: a shop that is really so near zero is asked about too."""
MILLI_MOST = 1000.0
"""No degrees of any unit, but plausible in thousandths."""


def _newest(lines: Sequence[str], unit: str) -> float:
    """The temperature of the last line that has one: the file may grow, or end in a remark."""
    for line in reversed(lines[1:]):
        with suppress(Unheard):
            return _celsius(line.strip(), unit)
    return _celsius(lines[0].strip(), unit)


def _age_s(row: Mapping[str, Any], field: str, wall_s: float) -> float:
    """How long before `wall_s` the row says it was taken; 0 where it has no time."""
    value = (
        _pick(row, field, ())
        if field
        else next((row[name] for name in USUAL_TIMES if row.get(name) not in (None, "")), None)
    )
    if value is None or wall_s == inf:
        return 0.0
    try:
        taken_s = float(value) if not isinstance(value, str) or _is_number(value) else _read(value)
    except ValueError:
        if not field:
            return 0.0
        raise Unheard(f"{quote(str(value)[:LONGEST_SHOWN])} is no time") from None
    taken_s = taken_s / 1000.0 if taken_s > 1e11 else taken_s
    # A smaller number counts lines, not seconds since 1970.
    return max(0.0, wall_s - taken_s) if taken_s > 1e8 else 0.0


def _read(text: str) -> float:
    """Unix seconds of "2026-11-26 16:42" or any other form of ISO 8601; local without a zone."""
    return datetime.fromisoformat(text.strip()).timestamp()


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
    lines = _lines(text)
    bare = _QUOTED.sub("", lines[-1])
    mark = next((m for m in "\t;," if m in bare), ",")
    # Each by itself: a quote left open in the first would swallow the last.
    ends = ([line] for line in (lines[0], lines[-1]))
    first, last = (next(csv.reader(e, delimiter=mark, skipinitialspace=True)) for e in ends)
    cells, names = [cell.strip() for cell in last], [name.strip().casefold() for name in first]
    row = {str(i): cell for i, cell in enumerate(cells, start=1)}
    if len(lines) > 1 and not _is_number(names[-1]):
        row.update(zip(names, cells, strict=False))
    return row


def _lines(text: str) -> list[str]:
    """Its lines but the empty ones, and but a last one that is still being written."""
    lines = [line for line in text.splitlines() if line.strip()]
    return lines[:-1] if len(lines) > 2 and not text.endswith(("\n", "\r")) else lines


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


def _celsius(value: Any, unit: str) -> float:
    text = value if isinstance(value, str) else f"{_number(value)!r}"
    try:
        return parse_temperature_c(text, unit)
    except QuantityError as error:
        milli = _is_number(text) and abs(parse_number(text).value) > MILLI_MOST
        asked = "; is the format “millidegrees” meant?" if milli else ""
        raise Unheard(f"{quote(text[:LONGEST_SHOWN])} is no temperature{asked}") from error


def _number(value: Any) -> float:
    if isinstance(value, str):
        try:
            return parse_number(value.rstrip("% ")).value
        except QuantityError as error:
            raise Unheard(f"{quote(value[:LONGEST_SHOWN])} is no number") from error
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e9:
        raise Unheard(f"{quote(str(value)[:LONGEST_SHOWN])} is no number")
    return float(value)
