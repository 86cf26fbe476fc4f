"""A reckoner and its answers as text: for the command, the form and the docs.

`python -m benchmate.reckon.asking.render > docs/reckoners.md` writes the docs anew; a test
checks them.
"""

import sys
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from shlex import quote as shell_quote
from textwrap import fill, wrap

from benchmate.quantities import (
    Units,
    show_area,
    show_density,
    show_length,
    show_mass,
    show_temperature,
    show_temperature_step,
    show_volume,
)
from benchmate.quantities.units import G_PER_OZ, MM_PER_IN
from benchmate.quantities.worded import in_units
from benchmate.reckon.asking.answering import Answer, Value, answer_with
from benchmate.reckon.asking.digits import digits_text, share_text
from benchmate.reckon.asking.frame import Input, Plain, Reckoner, Result
from benchmate.reckon.asking.inches import inch_text
from benchmate.reckon.asking.reading import shown, usual_range_text
from benchmate.reckon.asking.registry import all_of_them
from benchmate.reckon.asking.suffixes import unit_of

WIDTH = 80
LONGEST_CELL = 24
_INCH: dict[str, tuple[float, Callable[[float], str], Callable[[float], str]]] = {
    unit: (factor, partial(show, units="inch"), partial(show_step, units="inch"))
    for unit, factor, show, show_step in (
        ("mm", 1.0, partial(show_length, denominator=32), partial(show_length, denominator=64)),
        ("g", 1.0, show_mass, show_mass),
        ("ml", 1.0, show_volume, show_volume),
        ("cm²", 100.0, show_area, show_area),
        ("g/cm³", 1.0, show_density, show_density),
        ("°C", 1.0, show_temperature, show_temperature_step),
        ("K", 1.0, show_temperature_step, show_temperature_step),
    )
}
"""Unit → (factor to the unit inside, how it is shown in inches and pounds, and its uncertainty)."""
_TAKES = {
    "count": "a whole number",
    "choice": "one of",
    "word": "a name",
    "ratio": "a ratio like 100:30",
    "numbers": "a number or a JSON list",
    "data": "JSON or @file",
    "flag": "yes or no",
}


def what_is_taken(item: Input) -> str:
    """Return what may be typed for an input: "from 0.1 to 12 mm", "one of poured, tapped"."""
    kind = _TAKES.get(item.takes, "")
    if item.takes == "choice":
        kind += " " + ", ".join(item.choices)
    unit = unit_of(item.key, item.unit).shown
    bounds = usual_range_text(item) or (f"in {unit}" if unit and item.takes == "number" else "")
    if item.must_be_given:
        need = "needed"
    else:
        need = "optional" if item.default is None else f"{plain_text(item.default)} if not given"
    return ", ".join(filter(None, [kind, bounds, need]))


def what_is_given(result: Result) -> str:
    """Return a result's unit and whether it comes with an uncertainty."""
    unit = unit_of(result.key, result.unit).shown
    return " ".join(filter(None, [unit, "with u" if result.has_u else ""]))


def plain_text(value: Plain) -> str:
    """Return a value for people: numbers to five digits, "not known" for None."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return number_text(value)
    if isinstance(value, list):
        apart = ", " if all(isinstance(item, int | float) for item in value) else "; "
        return apart.join(plain_text(item) for item in value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {plain_text(item)}" for key, item in value.items())
    return value


def number_text(value: float) -> str:
    """Return a number to five digits, without an exponent where it can be read without."""
    text = f"{value:.5g}"
    return shown(float(text)) if "e" in text and abs(value) < 1e9 else text


def value_text(value: Value, units: Units = "metric", key: str = "") -> str:
    """Return a result with its uncertainty and unit: "0.608 ± 0.061 g/cm³", "1 lb 2 oz".

    Of a number only the digits that a woodworker can use; `key` tells what it is.
    """
    found, unit = value.value, value.unit
    if found is None:
        return value.if_none
    if isinstance(found, str):
        return in_units(found, units)
    if isinstance(found, bool):
        return plain_text(found)
    if isinstance(found, dict):
        cells = ((k, value_text(Value(v, unit_of(k).shown), units, k)) for k, v in found.items())
        return ", ".join(f"{k} {text}" for k, text in cells)
    if key.endswith("_inside") and isinstance(found, float):
        return share_text(found)
    if isinstance(found, list):
        return _list_text(found, unit, units)
    if units == "inch" and unit in _INCH:
        text = _inch_text(float(found), value.u, unit)
        return _whole(text) if value.decimals == 0 and value.u is None else text
    plain_inch = inch_text(found, unit) if units == "inch" and value.u is None else None
    if plain_inch is not None:
        return plain_inch
    text = (
        str(found) if isinstance(found, int) else digits_text(found, unit, value.u, value.decimals)
    )
    return f"{text} {unit}".rstrip()


def _whole(text: str) -> str:
    number, space, unit = text.partition(" ")
    return f"{float(number):.0f}{space}{unit}"


def _list_text(found: list[Plain], unit: str, units: Units) -> str:
    """Numbers in a row with their unit once; pairs of numbers with semicolons between."""
    metric = units == "metric" or (unit not in _INCH and inch_text(1.0, unit) is None)
    tail = f" {unit}" if unit and metric else ""
    apart = ", " if all(isinstance(item, int | float) for item in found) else "; "
    texts = (value_text(Value(item, unit), units).removesuffix(tail) for item in found)
    return apart.join(texts) + tail


def _inch_text(value: float, u: float | None, unit: str) -> str:
    factor, show, show_step = _INCH[unit]
    text = show(value * factor)
    if u is None:
        return text
    spread = show_step(u * factor)
    if u and spread.startswith("0 "):
        # Less than the least fraction of an inch that is shown, and still not nothing.
        inside, shown = {"mm": (MM_PER_IN, "in"), "g": (G_PER_OZ, "oz")}.get(unit, (0.0, ""))
        spread = f"{u / inside:.2g} {shown}" if inside else spread
    return f"{text} ± {spread}"


def command_line(reckoner: Reckoner) -> str:
    """Return the example as it is typed in a shell."""
    pairs = (shell_quote(f"{key}={value}") for key, value in reckoner.example.items())
    return f"benchmate calc {reckoner.name} {' '.join(pairs)}"


def list_text(reckoners: Iterable[Reckoner]) -> str:
    """Return one line for each reckoner."""
    return "\n".join(f"{reckoner.name:<14} {reckoner.title}" for reckoner in reckoners)


def explain_text(reckoner: Reckoner, width: int = WIDTH) -> str:
    """Return everything there is to know about a reckoner, wrapped."""
    blocks = [
        _wrapped(f"{reckoner.name}: {reckoner.title}", width),
        _block("Inputs", ((i.key, what_is_taken(i), i.meaning) for i in reckoner.inputs), width),
        _block("Results", ((r.key, what_is_given(r), r.meaning) for r in reckoner.results), width),
        "Formula\n" + _wrapped(reckoner.formula, width, "  "),
        "Sources\n" + "\n".join(_wrapped(f"- {s}", width, "  ") for s in reckoner.sources),
        "Limits\n" + "\n".join(_wrapped(f"- {s}", width, "  ") for s in reckoner.limits),
        "Example\n  " + command_line(reckoner),
        answer_text(answer_with(reckoner, reckoner.example), width),
    ]
    return "\n\n".join(blocks)


def described(reckoner: Reckoner) -> dict[str, Plain]:
    """Return the description as plain data, for a program that calls the reckoner."""
    inputs: list[Plain] = [
        {"key": i.key, "takes": what_is_taken(i), "meaning": i.meaning, "default": i.default}
        for i in reckoner.inputs
    ]
    results: list[Plain] = [
        {"key": r.key, "unit": unit_of(r.key, r.unit).shown, "u": r.has_u, "meaning": r.meaning}
        for r in reckoner.results
    ]
    return {
        "name": reckoner.name,
        "title": reckoner.title,
        "inputs": inputs,
        "results": results,
        "formula": reckoner.formula,
        "sources": list(reckoner.sources),
        "limits": list(reckoner.limits),
        "example": dict(reckoner.example),
    }


def answer_text(answer: Answer, width: int = WIDTH, units: Units = "metric") -> str:
    """Return an answer for people: results in columns, lists as tables, notes below."""
    lines: list[str] = []
    broad = max(
        (len(key) for key, v in answer.results.items() if _rows(v.value) is None), default=0
    )
    hang = " " * (broad + 2)
    for key, value in answer.results.items():
        rows = _rows(value.value)
        if rows is None:
            text = f"{key:<{broad}}  {value_text(value, units, key)}"
            lines.append(_wrapped(text, width, "", hang))
        else:
            lines += [key, *_table(rows, units, width)]
    lines += [_wrapped(f"- {in_units(note, units)}", width, "", "  ") for note in answer.notes]
    return "\n".join(lines)


def _rows(value: Plain) -> list[Mapping[str, Plain]] | None:
    if isinstance(value, dict) and value and all(isinstance(v, dict) for v in value.values()):
        value = [{"id": key, **row} for key, row in value.items() if isinstance(row, dict)]
    if not isinstance(value, list) or not value:
        return None
    rows = [item for item in value if isinstance(item, dict)]
    return rows if len(rows) == len(value) else None  # type: ignore[return-value]


def _table(rows: list[Mapping[str, Plain]], units: Units, width: int) -> list[str]:
    """Records in columns; what is a list in itself stands beneath, record by record."""
    every = list(dict.fromkeys(key for row in rows for key in row))
    lists = [key for key in every if any(isinstance(row.get(key), list) for row in rows)]
    lists = [
        key for key in lists if any(len(_cell(row, key, units)) > LONGEST_CELL for row in rows)
    ]
    heads = [key for key in every if key not in lists]
    return [*_columns(rows, heads, units), *_beneath(rows, heads[0], lists, units, width)]


def _beneath(
    rows: list[Mapping[str, Plain]], first: str, keys: list[str], units: Units, width: int
) -> list[str]:
    return [
        _wrapped(f"{key}, {_cell(row, first, units)}: {_cell(row, key, units)}", width, "  ")
        for key in keys
        for row in rows
        if row.get(key)
    ]


def _columns(rows: list[Mapping[str, Plain]], heads: list[str], units: Units) -> list[str]:
    cells = [heads, *([_cell(row, key, units) for key in heads] for row in rows)]
    broad = [max(len(row[column]) for row in cells) for column in range(len(heads))]
    return [
        "  " + "  ".join(cell.rjust(w) for cell, w in zip(row, broad, strict=True)).rstrip()
        for row in cells
    ]


def _cell(row: Mapping[str, Plain], key: str, units: Units) -> str:
    if key not in row:
        return ""
    unit = unit_of(key).shown
    text = value_text(Value(row[key], unit), units, key)
    # The head of the column says the unit already.
    return text if units == "inch" and unit in _INCH else text.removesuffix(f" {unit}")


def _wrapped(text: str, width: int, lead: str = "", hang: str | None = None) -> str:
    return fill(
        text,
        width,
        initial_indent=lead,
        subsequent_indent=lead + "  " if hang is None else hang,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _block(head: str, rows: Iterable[tuple[str, str, str]], width: int) -> str:
    lines = [head]
    for key, short, meaning in rows:
        lines.append(_wrapped(f"{key}: {short}" if short else key, width, "  "))
        lines += wrap(meaning, width, initial_indent="      ", subsequent_indent="      ")
    return "\n".join(lines)


def markdown(reckoners: Iterable[Reckoner]) -> str:
    """Return the docs page of all reckoners."""
    head = (
        "# Ready reckoners\n\nWritten by the program from its own descriptions: edit the "
        "reckoner, not this page.\nA bare number is in the unit of the key's suffix; those with "
        "units (`3/4 in`, `1 h 30`, `64 °F`) are converted.\nLists and tables are JSON, or `@file` "
        "with JSON in it. `u` is a standard uncertainty (one standard deviation).\n"
    )
    return head + "\n" + "\n".join(_markdown_of(reckoner) for reckoner in reckoners)


def _markdown_of(reckoner: Reckoner) -> str:
    lines = [f"## {reckoner.name}", "", f"{reckoner.title[0].upper()}{reckoner.title[1:]}.", ""]
    lines += ["| input | takes | meaning |", "|---|---|---|"]
    lines += [_row(i.key, what_is_taken(i), i.meaning) for i in reckoner.inputs]
    lines += ["", "| result | unit | meaning |", "|---|---|---|"]
    lines += [_row(r.key, what_is_given(r), r.meaning) for r in reckoner.results]
    lines += ["", f"Formula: {reckoner.formula}", ""]
    lines += ["Sources:", "", *(f"- {source}" for source in reckoner.sources), ""]
    lines += ["Limits:", "", *(f"- {limit}" for limit in reckoner.limits), ""]
    lines += ["```", f"$ {command_line(reckoner)}"]
    lines += [answer_text(answer_with(reckoner, reckoner.example), 100), "```", ""]
    return "\n".join(lines)


def _row(key: str, short: str, meaning: str) -> str:
    cells = (text.replace("|", "\\|") for text in (f"`{key}`", short, meaning))
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    sys.stdout.write(markdown(all_of_them()))
