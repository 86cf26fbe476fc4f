"""A log of time and temperature, as people have it: JSON rows or objects, or a CSV file's text.

Times are hours (or minutes, seconds, days, where the column's name ends in _min, _s, _d), or dates
and times as "2026-11-26 17:00"; temperatures are °C (or °F where the name says so).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Any

from benchmate.localtime import instant_s
from benchmate.quantities import QuantityError, parse_number, quote
from benchmate.reckon.asking.csvtext import read_csv
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.asking.suffixes import checked

MOST_ROWS = 200_000
_TIME_NAMES = ("time", "t_", "hour", "h", "date", "when", "at", "min", "elapsed")
_PER_HOUR = {"_s": 3600.0, "_min": 60.0, "_d": 1 / 24.0}


@dataclass(frozen=True, slots=True)
class TemperatureLog:
    """Hours on the log's own clock and °C, in order; `began` is the first row's date, if any."""

    points: tuple[tuple[float, float], ...]
    began: datetime | None = None


def temperature_log(data: object, where: str = "log") -> TemperatureLog:
    """The log in data that came as JSON, or in a CSV file's text.

    Raises Refused, naming the row, where a time or temperature can't be read, where time runs
    backwards, or where there is no row at all.
    """
    rows, time_name, c_name = _rows(data, where)
    if not rows or len(rows) > MOST_ROWS:
        raise Refused(f"{where} has {len(rows)} rows of time and °C; it needs 1 to {MOST_ROWS}")
    times = [_time(cell, f"{where} row {i}") for i, (cell, _) in enumerate(rows, start=1)]
    began = times[0] if isinstance(times[0], datetime) else None
    hours = _hours(times, time_name, where)
    celsius = [
        _celsius(cell, c_name, f"{where} row {i}") for i, (_, cell) in enumerate(rows, start=1)
    ]
    for i, (before, after) in enumerate(pairwise(hours), start=2):
        if after < before:
            raise Refused(f"{where} row {i} is earlier than the row before it; put them in order")
    return TemperatureLog(tuple(zip(hours, celsius, strict=True)), began)


def _rows(data: object, where: str) -> tuple[list[tuple[Any, Any]], str, str]:
    """Pairs of time and temperature, and the names of their columns ("" where unnamed)."""
    if isinstance(data, str):
        data = read_csv(data)
    if not isinstance(data, Sequence) or isinstance(data, str) or not data:
        raise Refused(
            f"{where} must be rows of time and °C, like [[0, 18], [8, 12.5]] or @file.csv"
        )
    if all(isinstance(row, Mapping) for row in data):
        names = [str(name) for name in data[0]]
        table = [[row.get(name) for name in names] for row in data]
    else:
        table = [list(row) if isinstance(row, list | tuple) else [row] for row in data]
        names = [str(cell) for cell in table[0]] if _is_heading(table[0]) else []
        table = table[1:] if names else table
    time, celsius = _columns(names)
    for i, row in enumerate(table, start=1):
        if len(row) <= max(time, celsius):
            raise Refused(f"{where} row {i} has no time and temperature")
    pairs = [(row[time], row[celsius]) for row in table]
    return pairs, names[time] if names else "", names[celsius] if names else ""


def _is_heading(row: Sequence[object]) -> bool:
    return all(isinstance(cell, str) and cell[:1].isalpha() for cell in row[:2])


def _columns(names: Sequence[str]) -> tuple[int, int]:
    """Which columns hold time and temperature, by their names; else the first two."""
    low = [name.strip().casefold() for name in names]
    celsius = [i for i, n in enumerate(low) if "temp" in n or n in ("c", "°c") or n.endswith("_c")]
    time = [i for i, n in enumerate(low) if i not in celsius[:1] and n.startswith(_TIME_NAMES)]
    at = time[0] if time else 0
    if celsius:
        return at, celsius[0]
    return at, 1 if at == 0 else 0


def _time(cell: object, where: str) -> float | datetime:
    try:
        return _number(cell, where)
    except Refused:
        if not isinstance(cell, str):
            raise
    try:
        return datetime.fromisoformat(cell.strip())
    except ValueError as error:
        raise Refused(
            f'{where}: {quote(cell)} is neither hours nor a date like "2026-11-26 17:00"'
        ) from error


def _number(cell: object, where: str) -> float:
    try:
        return parse_number(cell).value if isinstance(cell, str) else checked(cell)
    except QuantityError as error:
        raise Refused(f"{where}: {error}") from error


def _hours(times: Sequence[float | datetime], name: str, where: str) -> list[float]:
    dates = [t for t in times if isinstance(t, datetime)]
    plain = [t for t in times if not isinstance(t, datetime)]
    if dates and plain:
        raise Refused(f"{where} mixes dates with plain hours")
    if dates:
        if len({date.tzinfo is None for date in dates}) > 1:
            raise Refused(f"{where} has dates with a zone and dates without one")
        # Hours that really passed, also over a night in which the clocks are changed.
        begun_s = instant_s(dates[0])
        return [(instant_s(date) - begun_s) / 3600.0 for date in dates]
    per_hour = next((n for end, n in _PER_HOUR.items() if name.casefold().endswith(end)), 1.0)
    return [t / per_hour for t in plain]


def _celsius(cell: object, name: str, where: str) -> float:
    value = _number(cell, where)
    low = name.casefold()
    if low.endswith(("_f", "°f", "(f)")):
        value = (value - 32.0) / 1.8
    if not (math.isfinite(value) and -50.0 <= value <= 200.0):
        raise Refused(f"{where}: {quote(str(cell))} °C is no shop's air; it must be -50 to 200")
    return value
